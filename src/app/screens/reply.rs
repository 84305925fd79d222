//! A reply to paste, lying over a screen: what is said and in which format; copied, or written to a file.

use std::sync::Arc;

use super::ranking;
use crate::app::asks::Format;
use crate::app::overlay::Reply;
use crate::app::{Done, Effect, Goal, Line, May, Overlay, ReplyAsk, State, report};
use crate::report::answer::Kind;

pub fn allowed(state: &State) -> May {
    report::allowed(state)?;
    if state.unjudged() > 0 { Err("the builds are still being judged") } else { Ok(()) }
}

fn open(state: &State) -> Option<&Reply> {
    match &state.overlay {
        Some(Overlay::Reply(reply)) => Some(reply),
        _ => None,
    }
}

pub fn written(state: &State) -> May {
    if open(state).is_some_and(|r| r.text.is_some()) { Ok(()) } else { Err("it is being written") }
}

pub fn begin(state: &mut State) {
    asked(state, state.reply);
}

pub fn kind(state: &mut State, by: isize) {
    let (kind, format) = state.reply;
    asked(state, (kind.turned(by), format));
}

pub fn format(state: &mut State) {
    let (kind, format) = state.reply;
    asked(state, (kind, format.turned(1)));
}

fn asked(state: &mut State, how: (Kind, Format)) {
    state.reply = how;
    let Some(tank) = state.tank.clone() else { return };
    ranking::fill(state);
    let number = open(state).map_or(0, |r| r.number) + 1;
    state.overlay = Some(Overlay::Reply(Reply { number, text: None }));
    state.overlay_scroll = 0;
    let builds = ranking::scope(state).0;
    let builds = builds.into_iter().filter_map(|i| state.entries.get(i).cloned()).collect();
    let (kind, format) = how;
    let ask =
        ReplyAsk { number, builds, tank: with_priorities(state, tank), kind, format, units: state.units };
    state.ask(Effect::Reply(Box::new(ask)));
}

/// The tank with the priorities as they are on screen.
fn with_priorities(state: &State, tank: Arc<crate::model::tank::Tank>) -> Arc<crate::model::tank::Tank> {
    if !ranking::changed(state) {
        return tank;
    }
    let moved = state.ranking.weights.iter().map(|(m, w)| (m.key().to_owned(), *w)).collect();
    Arc::new(crate::model::tank::Tank { priorities: moved, ..crate::model::tank::Tank::clone(&tank) })
}

/// Takes in what was written, unless another was asked for since.
pub fn take(state: &mut State, number: u64, text: String) {
    if let Some(Overlay::Reply(reply)) = &mut state.overlay
        && reply.number == number
    {
        reply.text = Some(text);
    }
}

pub fn copy(state: &mut State) {
    if let Some(Overlay::Reply(Reply { text: Some(text), .. })) = state.overlay.take() {
        state.ask(Effect::CopyText(text));
    }
}

/// Asks for the file to write it in; the report is a folder.
pub fn file(state: &mut State) {
    if state.reply.0 == Kind::Report {
        state.overlay = None;
        return report::begin(state);
    }
    let name = if state.reply.1 == Format::Markdown { "reply.md" } else { "reply.txt" };
    state.line = Some(Line::new(Goal::Reply, name));
}

pub fn on_submit(state: &mut State, line: &Line, done: Done) {
    let text = open(state).and_then(|r| r.text.clone());
    if let (Done::Take(_), Some(text), false) = (done, text, line.text().trim().is_empty()) {
        state.ask(Effect::SaveText { path: line.text().trim().into(), text });
    }
}
