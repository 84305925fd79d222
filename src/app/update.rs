//! State + message → effects. Pure: whatever must happen outside is returned.

mod hit;
mod steps;

use super::actions::{self, Action, Row};
use super::diff;
use super::effect::{Effect, Message};
use super::key::{Code, Key};
use super::keys::WAY_OUT;
use super::layout;
use super::line::{Done, Goal};
use super::narrow;
use super::overlay::{Of, Overlay};
use super::panes::Pane;
use super::ranking;
use super::report_asked;
use super::restack;
use super::screens::Screen;
use super::seek;
use super::sources;
use super::state::State;
use super::tank_form;
use super::unsaved::{Loss, may_lose};

/// Takes in what happened.
pub fn update(state: &mut State, message: Message) -> Vec<Effect> {
    let mut effects = take_in(state, message);
    if state.screen == Screen::Ranking
        && state.ranking.stale
        && ranking::allowed(state).is_ok()
        && let Some(ask) = ranking::ask(state)
    {
        effects.push(Effect::Rank(Box::new(ask)));
    }
    match state.screen {
        Screen::Restack => effects.extend(restack::follow(state)),
        Screen::Tank => effects.extend(tank_form::follow(state)),
        Screen::Sources => effects.extend(sources::follow(state)),
        _ => {}
    }
    if state.screen == Screen::Diff
        && state.unjudged() == 0
        && let Some(pair) = diff::pair_here(state)
        && !state.whys.contains_key(&pair)
    {
        state.whys.insert(pair, None);
        effects.push(Effect::Why(pair));
    }
    effects
}

fn take_in(state: &mut State, message: Message) -> Vec<Effect> {
    match message {
        Message::Key(key) => {
            state.told = None;
            state.asked.next_key();
            press(state, key)
        }
        Message::Act(name) => {
            state.told = None;
            state.asked.next_key();
            let place = actions::place(state);
            if let Some(row) = place.and_then(|p| actions::of_place(p).find(|row| row.name == name)) {
                return perform(state, row);
            }
            state.told = Some(format!("{name} does nothing here"));
            Vec::new()
        }
        Message::Paste(text) => {
            steps::paste(state, &text);
            Vec::new()
        }
        Message::Mouse { what, x, y } => hit::mouse(state, what, x, y),
        Message::Size(w, h) => {
            state.size = (w, h);
            state.ranking.stale = true;
            keep(state);
            Vec::new()
        }
        // Quietly: nothing on screen moves until they are read.
        Message::Changed => vec![Effect::Load],
        Message::Loaded(mut loaded) => {
            state.restack.listed = std::mem::take(&mut loaded.media);
            state.take(loaded);
            state.whys.clear();
            state.round += 1;
            // What did not change keeps its figures; where that is all, nothing else will say that it is done.
            state.ranking.stale = true;
            if state.doubted.is_some() && state.to_judge().is_empty() {
                state.doubted = Some(1.0);
            }
            vec![Effect::Judge]
        }
        Message::Tank(tank) => {
            if tank_form::passes_over(state, &tank) {
                return Vec::new();
            }
            state.take_tank(Some(tank));
            vec![Effect::Judge]
        }
        Message::NotLoaded(why) => {
            state.loading = false;
            state.told = Some(format!("the files could not be read: {why}"));
            Vec::new()
        }
        Message::Judged { round, done } => {
            if round == state.round {
                for (i, judged) in done {
                    if let Some(entry) = state.entries.get_mut(i) {
                        entry.judge(judged);
                    }
                }
                state.settle();
                keep(state);
                // While builds come in by the hundred, ranking each time would only keep it busy.
                state.ranking.stale |= state.unjudged() == 0;
            }
            Vec::new()
        }
        Message::Whied { pair, round, line } => {
            if round == state.round {
                state.whys.insert(pair, Some(line));
            }
            Vec::new()
        }
        Message::Ranked { number, lines } => {
            if number == state.ranking.asked {
                state.ranking.lines = lines;
            }
            Vec::new()
        }
        Message::Doubted { round, done, share } => {
            if round == state.round {
                for (i, doubt) in done {
                    if let Some(entry) = state.entries.get_mut(i) {
                        entry.simulate(doubt);
                    }
                }
                state.ranking.stale |= share >= 1.0;
                state.doubted = Some(share.clamp(0.0, 1.0));
            }
            Vec::new()
        }
        Message::Failed { round, entry, why } => {
            if let Some(e) = state.entries.get_mut(entry).filter(|_| round == state.round) {
                state.told = Some(format!("{} could not be judged, by a fault of this program", e.name));
                e.failed = Some(why);
            }
            Vec::new()
        }
        Message::Form(answer) => {
            tank_form::answer(state, answer);
            Vec::new()
        }
        Message::Uses { round, uses } => {
            sources::take_uses(state, round, uses);
            Vec::new()
        }
        Message::Restack(answer) => restack::answer(state, answer),
        Message::Explained { entry, measure, lines } => {
            if let Some(Overlay::Explain { of, measure: asked, lines: slot }) = &mut state.overlay
                && *of == Of::Listed(entry)
                && *asked == measure
            {
                *slot = Some(lines);
            }
            Vec::new()
        }
        Message::Tell(text) => {
            state.told = Some(text);
            Vec::new()
        }
    }
}

pub use steps::column_lines;

/// The rows of the table of actions that help lists now, in its order.
pub fn help_rows(state: &State, wanted: &str) -> Vec<&'static Row> {
    actions::of_place(actions::behind(state))
        .filter(|row| {
            narrow::holds(&format!("{} {} {}", state.keys.labels(row), row.short, row.says), wanted)
        })
        .collect()
}

fn press(state: &mut State, key: Key) -> Vec<Effect> {
    // At once, whatever is unsaved: what asks before it leaves is the action.
    if key == WAY_OUT {
        return vec![Effect::Quit];
    }
    if matches!(state.overlay, Some(Overlay::Help { .. })) {
        return steps::help_key(state, key);
    }
    if state.typing && state.overlay.is_none() {
        return steps::narrow_key(state, key);
    }
    if state.line.is_some() && !matches!(state.overlay, Some(Overlay::Explain { .. })) {
        return line_key(state, key);
    }
    if let Some(row) = actions::for_key(state, key) {
        perform(state, row)
    } else {
        let help = state.keys.fill("does nothing here ({help} lists the keys)");
        state.told = Some(format!("{} {help}", key.label()));
        Vec::new()
    }
}

/// A key while a line is typed on one of the screens: taken, it goes to the screen it was typed for.
fn line_key(state: &mut State, key: Key) -> Vec<Effect> {
    let Some(mut line) = state.line.take() else { return Vec::new() };
    if key.code == Code::Tab && tank_form::complete(&mut line) {
        state.line = Some(line);
        return Vec::new();
    }
    match line.key(key) {
        Done::No => {
            state.line = Some(line);
            seek::typed(state);
            keep(state);
            Vec::new()
        }
        done => match line.goal {
            Goal::Field(_) | Goal::SaveTank => tank_form::taken(state, &line, done),
            Goal::Sources => sources::taken(state, &line, done),
            Goal::Seek => seek::taken(state, done),
            Goal::Restack => restack::taken(state, &line, done),
            Goal::Report => report_asked::taken(state, &line, done),
        },
    }
}

/// Does what a row says, or tells why not.
fn perform(state: &mut State, row: &Row) -> Vec<Effect> {
    match (row.allowed)(state) {
        Ok(()) => act(state, row.action),
        Err(why) => {
            state.told = Some(state.keys.fill(why));
            Vec::new()
        }
    }
}

/// Does an action that is allowed.
fn act(state: &mut State, action: Action) -> Vec<Effect> {
    match action {
        Action::Move(by) => steps::step(state, by),
        Action::Page(by) => steps::page(state, by),
        Action::First => steps::step(state, isize::MIN / 2),
        Action::Last => steps::step(state, isize::MAX / 2),
        Action::Column(by) => steps::column(state, by),
        Action::Sort => steps::sort(state),
        Action::Mark => steps::mark(state),
        Action::Unmark => {
            state.marks.clear();
            keep(state);
        }
        Action::Narrow => {
            state.pane = Pane::Table;
            state.typing = true;
        }
        Action::Pane(by) => {
            state.pane = state.pane.step(by);
            state.scroll = 0;
            state.place();
        }
        Action::Scroll(by) => steps::scroll(state, by),
        Action::Columns => state.overlay = Some(Overlay::Columns { cursor: 0 }),
        Action::Toggle => steps::toggle_column(state),
        Action::Shift(by) => steps::shift_column(state, by),
        Action::Explain => return steps::explain(state),
        Action::Diff => to_screen(state, Screen::Diff),
        Action::All => {
            state.diff.all = !state.diff.all;
            state.diff.top = 0;
            keep(state);
        }
        Action::Weight(by) => {
            state.ranking.cursor = steps::moved(state.ranking.cursor, by, state.ranking.weights.len());
        }
        Action::Weigh(by) => ranking::weigh(state, by),
        Action::OwnWeights => ranking::own_weights(state),
        Action::Restack(what) => return restack::act(state, what),
        Action::Tank(what) => return tank_form::act(state, what),
        Action::Sources(what) => return sources::act(state, what),
        Action::Screen(screen) => to_screen(state, screen),
        Action::Turn(by) => to_screen(state, state.screen.step(by)),
        Action::Copy => return vec![Effect::CopyPane],
        Action::CopyHere => return vec![Effect::CopyHere],
        Action::Seek => seek::begin(state),
        Action::SeekNext => seek::next(state),
        Action::Report => report_asked::begin(state),
        Action::Units => {
            state.units = state.units.next();
            state.whys.clear();
            state.ranking.stale = true;
            state.told = Some(format!("units: {}", state.units.word()));
        }
        Action::Load => {
            state.loading = true;
            return vec![Effect::Load];
        }
        Action::Mouse => {
            state.mouse = !state.mouse;
            let whose = if state.mouse { "is taken by this program" } else { "is left to the terminal" };
            state.told = Some(format!("the mouse {whose}"));
            return vec![Effect::Mouse(state.mouse)];
        }
        Action::Help => {
            state.overlay = Some(Overlay::Help { wanted: String::new(), cursor: 0 });
            state.overlay_scroll = 0;
        }
        Action::Back => return back(state),
        Action::Redraw => return vec![Effect::Redraw],
        Action::Suspend => return vec![Effect::Suspend],
        Action::Quit => return leave(state),
    }
    Vec::new()
}

/// Leaves the program; each thing that would be lost is asked about in turn.
fn leave(state: &mut State) -> Vec<Effect> {
    let leaves = may_lose(state, Loss::LeaveTank) && may_lose(state, Loss::LeaveStack);
    if leaves { vec![Effect::Quit] } else { Vec::new() }
}

fn to_screen(state: &mut State, screen: Screen) {
    state.screen = screen;
    state.restack.entered |= screen == Screen::Restack;
    if screen == Screen::Ranking {
        ranking::fill(state);
        state.ranking.stale = true;
    }
    keep(state);
}

/// One step back: what lies on top first. Never leaves.
fn back(state: &mut State) -> Vec<Effect> {
    if state.overlay.take().is_some() {
        state.overlay_scroll = 0;
    } else if state.screen == Screen::Restack
        && let Some(effects) = restack::back(state)
    {
        return effects;
    } else if match state.screen {
        Screen::Tank => tank_form::back(state),
        Screen::Sources => sources::back(state),
        _ => false,
    } {
        // The screen itself went one step back.
    } else if state.screen != Screen::Builds {
        to_screen(state, Screen::Builds);
    } else if state.pane != Pane::Table {
        state.pane = Pane::Table;
        state.scroll = 0;
        state.place();
    } else if !state.narrow.is_empty() {
        state.narrow.clear();
        state.settle();
    }
    Vec::new()
}

/// Keeps cursors within what there is.
fn keep(state: &mut State) {
    state.place();
    match state.screen {
        Screen::Restack => restack::keep(state),
        Screen::Tank => tank_form::keep(state),
        Screen::Sources => sources::keep(state),
        _ => {}
    }
    if state.screen == Screen::Diff {
        let lines = diff::lines(state).len();
        let builds = diff::builds(state).len();
        let rows = diff_rows(state);
        let d = &mut state.diff;
        // The first line is a heading.
        d.cursor = d.cursor.max(1).min(lines.saturating_sub(1));
        d.column = d.column.min(builds.saturating_sub(1));
        d.top = layout::keep_row_in_window(d.top, d.cursor, rows, lines);
        if d.cursor == 1 {
            d.top = 0;
        }
    }
}

fn diff_rows(state: &State) -> usize {
    state.parts().main.map_or(1, layout::diff_rows)
}
