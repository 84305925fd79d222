//! What comes back to the screen: lines that were typed, and answers from the background.

use std::sync::Arc;

use super::asks::Answer;
use super::change::make;
use super::moves::{keep, step};
use super::{edits, proposals, save, typed};
use crate::app::state::restack::Proposals;
use crate::app::{Done, Effect, Entry, Line, State, Typing};
use crate::model::{Edit, Workpiece, ranges};

pub fn on_submit(state: &mut State, what: Typing, line: &Line, done: Done) {
    let text = line.text();
    if what == Typing::Narrow {
        if let Some(picker) = &mut state.restack.picker {
            picker.wanted = if done == Done::Drop { String::new() } else { text };
        }
        keep(state);
        if let Done::Take(by) = done {
            step(state, by);
        }
        return;
    }
    if matches!(done, Done::Drop | Done::No) {
        return;
    }
    let units = state.units;
    let told = match what {
        Typing::File => {
            name_it(state);
            return save::ask(state, &text);
        }
        Typing::Amount(at) => {
            let amount = state.restack.work.as_ref().map(|w| typed::amount(&w.piece, at, &text, units));
            amount.and_then(|amount| set(state, amount, |p, amount| edits::amount(p, at, amount)))
        }
        Typing::Slack(at) => {
            let mm = typed::length(&text, &ranges::SLACK, units);
            set(state, mm, |p, mm| edits::slack(p, at, mm))
        }
        Typing::Hole(at) => {
            let mm = typed::length(&text, &ranges::HOLE, units);
            set(state, mm, |p, mm| edits::hole(p, at, mm))
        }
        Typing::Gap(tray) => {
            let mm = typed::length(&text, &ranges::GAP, units);
            set(state, mm, |p, mm| edits::gap(p, tray, mm))
        }
        Typing::Squeeze(at) => {
            set(state, typed::share(&text, &ranges::SQUEEZED), |p, share| edits::squeeze(p, at, share))
        }
        Typing::Name => {
            let name = text.trim().to_owned();
            if name.is_empty() {
                Some("a build needs a name".to_owned())
            } else {
                make(state, |_| Some((Edit::Rename { name }, "the name".to_owned())));
                None
            }
        }
        Typing::Narrow => None,
    };
    if told.is_some() {
        state.hint = told;
    }
}

/// Makes a change of what was typed; else why it cannot be read.
fn set<T>(
    state: &mut State,
    read: Result<T, String>,
    edit: impl FnOnce(&Workpiece, T) -> Option<edits::Named>,
) -> Option<String> {
    match read {
        Ok(x) => {
            make(state, |piece| edit(piece, x));
            None
        }
        Err(why) => Some(why),
    }
}

/// A build that is still called as it was gets a name of its own, so that the two can be told apart in a list.
fn name_it(state: &mut State) {
    let Some(work) = &state.restack.work else { return };
    if work.piece.build.name != work.build {
        return;
    }
    let filter = &work.first.filter.name;
    let taken = |name: &str| state.entries.iter().any(|e| e.filter.name == *filter && e.build_name() == name);
    let first = format!("{}, restacked", work.build);
    let more = (2..1000).map(|n| format!("{first} {n}"));
    let name = std::iter::once(first.clone()).chain(more).find(|name| !taken(name)).unwrap_or(first);
    make(state, |_| Some((Edit::Rename { name }, "the name".to_owned())));
}

/// Takes in an answer; those to older questions are dropped.
pub fn answer(state: &mut State, answer: Answer) {
    let restack = &mut state.restack;
    match answer {
        Answer::Judged { number, before, now, shopping } => {
            if let Some(work) = restack.work.as_mut().filter(|w| w.asked.0 == number) {
                if let Some(before) = before {
                    work.before.judge(before);
                }
                work.now = Entry {
                    judged: Some(now),
                    ..Entry::new(Arc::clone(&work.asked.1), work.now.path.clone(), 0)
                };
                work.shopping = shopping;
            }
        }
        Answer::Doubted { number, before, now } => {
            if let Some(work) = restack.work.as_mut().filter(|w| w.asked.0 == number) {
                if let Some(before) = before {
                    work.before.simulate(before);
                }
                work.now.simulate(now);
            }
        }
        Answer::Searched { number, share } => {
            if number == restack.searched
                && let Some(searching) = restack.proposals.as_mut().and_then(|p| p.searching.as_mut())
            {
                *searching = share;
            }
        }
        Answer::Proposed { number, found, ended } => {
            if number == restack.searched
                && let Some(open) = &mut restack.proposals
            {
                if ended {
                    open.searching = None;
                }
                // On the best of them, not on the stack as it is; on another one that was chosen, where it is still there.
                let best =
                    |open: &Proposals| proposals::rows(open).iter().position(Option::is_some).unwrap_or(0);
                let chosen = proposals::chosen(open).filter(|_| open.list.cursor != best(open)).cloned();
                open.found = found.into_iter().map(Arc::new).collect();
                let same = |which: &Option<usize>| {
                    let there = which.and_then(|i| open.found.get(i));
                    there.zip(chosen.as_ref()).is_some_and(|(a, b)| a.build == b.build)
                };
                let kept = proposals::rows(open).iter().position(same);
                open.list.cursor = kept.unwrap_or_else(|| best(open));
            }
        }
        Answer::Saved { path, content, done } => match done {
            Ok(piece) => {
                if let Some(work) = &mut restack.work {
                    work.was_kept(&piece, &path);
                }
                state.wrote(&path, content);
                state.tell(format!("saved as {}; it is being added to the list", path.display()));
                state.ask(Effect::Load);
            }
            Err(why) => state.tell(why),
        },
        Answer::Failed { why } => {
            if let Some(open) = &mut restack.proposals {
                open.searching = None;
            }
            state.tell(format!("by a fault of this program that cannot be told: {why}"));
        }
    }
}
