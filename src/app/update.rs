//! State + message → effects. Pure: whatever must happen outside is returned, and nothing else changes the state
//! once the screens are open.

mod mouse;
mod typing;

use std::ops::Deref;

use super::actions::{self};
use super::effect::Choice;
use super::keys::WAY_OUT;
use super::panes::Pane;
use super::screens::restack::{allowed, change};
use super::screens::{self, builds, filter, ranking, reply, restack};
use super::state::form::NextOf;
use super::state::{DEFAULT_COLUMNS, TOLD};
use super::{
    Action, Code, Effect, Key, Message, Of, Overlay, Place, SortKey, State, Tab, form, moves, tank_form,
};

/// The state while the program runs: everybody reads it, only messages change it.
pub struct App(State);

impl App {
    pub fn new(state: State) -> Self {
        Self(state)
    }
    pub fn update(&mut self, message: Message) -> Vec<Effect> {
        update(&mut self.0, message)
    }
}

impl Deref for App {
    type Target = State;
    fn deref(&self) -> &State {
        &self.0
    }
}

pub fn update(state: &mut State, message: Message) -> Vec<Effect> {
    let drawn = matches!(message, Message::Drawn(_));
    let was = state.status.clone();
    take_in(state, message);
    if !drawn {
        screens::behind(state).sync(state);
    }
    if let Some(hint) = state.hint.take() {
        state.tell(state.keys.fill(&hint));
    }
    if let Some(said) = state.status.as_ref().filter(|said| was.as_ref() != Some(said)) {
        state.told.drain(..(state.told.len() + 1).saturating_sub(TOLD));
        state.told.push(said.clone());
    }
    std::mem::take(&mut state.effects)
}

/// A person acts: what was told and asked before is done with.
fn begins(state: &mut State) {
    state.status = None;
    // This key alone can confirm what the one before it asked.
    state.asked.before = std::mem::take(&mut state.asked.now);
}

fn take_in(state: &mut State, message: Message) {
    match message {
        Message::Key(key) => {
            begins(state);
            press(state, key);
        }
        Message::Act(name) => {
            begins(state);
            let place = actions::place(state);
            if let Some(row) = place.and_then(|p| actions::of_place(p).find(|row| row.name == name)) {
                return perform(state, row);
            }
            state.tell(format!("{name} does nothing here"));
        }
        Message::Choose(choice) => choose(state, choice),
        Message::Drawn(drawn) => state.drawn = drawn,
        Message::Paste(text) => typing::paste(state, &text),
        Message::Mouse { what, x, y } => mouse::mouse(state, what, x, y),
        Message::Size(w, h) => {
            state.size = (w, h);
            screens::keep(state);
        }
        // Quietly: nothing on screen moves until they are read.
        Message::Changed => state.ask(Effect::Load),
        Message::Loaded(mut loaded) => {
            state.restack.listed = std::mem::take(&mut loaded.media);
            filter::keep_changes(state, &mut loaded);
            builds::take(state, loaded);
            filter::to_saved(state);
            // What did not change keeps its figures; where that is all, nothing else will say that it is done.
            if state.doubted.is_some() && state.to_judge().is_empty() {
                state.doubted = Some(1.0);
            }
            state.judge_anew();
        }
        Message::Tank(tank) => {
            if !tank_form::passes_over(state, &tank) {
                builds::take_tank(state, Some(tank));
                state.ask(Effect::Judge);
            }
        }
        Message::NotLoaded(why) => {
            state.loading = false;
            state.tell(format!("the files could not be read: {why}"));
        }
        Message::Judged { round, done } => {
            if round == state.round {
                for (i, judged) in done {
                    if let Some(entry) = state.entries.get_mut(i) {
                        entry.judge(judged);
                    }
                }
                builds::settle(state);
                screens::keep(state);
                // While builds come in by the hundred, ranking each time would only keep it busy.
                state.ranking.stale |= state.unjudged() == 0;
            }
        }
        Message::Whied { pair, round, because } => {
            if round == state.round {
                state.whys.insert(pair, Some(because));
            }
        }
        Message::Ranked { number, stood } => {
            if number == state.ranking.asked {
                ranking::take(state, *stood);
            }
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
        }
        Message::Failed { round, entry, why } => {
            if let Some(e) = state.entries.get_mut(entry).filter(|_| round == state.round) {
                e.failed = Some(why);
                let said = format!("{} could not be judged, by a fault of this program", e.name);
                state.tell(said);
            }
        }
        Message::Replied { number, text } => reply::take(state, number, text),
        Message::Next { round, entry, lines } => {
            state.filters.next = Some(NextOf { round, entry, lines: Some(lines) });
        }
        Message::Saved { path, content, done } => filter::saved(state, path, content, done),
        Message::Form(answer) => tank_form::answer(state, answer),
        Message::Uses { round, uses } => {
            if round == state.round {
                state.sources.uses = uses;
            }
        }
        Message::Restack(answer) => restack::take::answer(state, answer),
        Message::Explained { number, lines } => {
            if let Some(Overlay::Explain { lines: slot, .. }) = &mut state.overlay
                && number == state.asked_how
            {
                *slot = Some(lines);
            }
        }
        Message::Tell(text) => state.tell(text),
    }
}

fn choose(state: &mut State, choice: Choice) {
    match choice {
        Choice::Heard => state.status = None,
        Choice::Close => state.overlay = None,
        Choice::Screen(tab) => {
            state.pane = Pane::Table;
            moves::to_tab(state, tab);
        }
        Choice::Row(id) => builds::to(state, id),
        Choice::Sort(SortKey { by, falling }) => {
            let second = state.sort.iter().copied().find(|key| key.by != by);
            state.sort = std::iter::once(SortKey { by, falling }).chain(second).collect();
            builds::settle(state);
        }
        Choice::Narrow(wanted) => {
            state.narrow = wanted;
            builds::settle(state);
        }
        Choice::Columns(chosen) => {
            state.columns = if chosen.is_empty() { DEFAULT_COLUMNS.to_vec() } else { chosen };
            builds::place(state);
        }
        Choice::Mark(id) => builds::mark(state, id),
        Choice::Marks(marks) => state.marks = marks,
        Choice::Units(units) => moves::set_units(state, units),
        Choice::Weight(measure, weight) => {
            ranking::set_weight(state, measure, weight);
            state.ranking.stood = None;
        }
        Choice::Explain(entry, measure) => state.explain(Of::Listed(entry), measure),
        Choice::Why(line) => state.compare.list.cursor = line,
    }
}

/// The rows of the table of actions that help lists now, in its order.
pub fn help_rows(state: &State, wanted: &str) -> Vec<&'static Action> {
    let says = |row: &Action| format!("{} {} {}", state.keys.labels(row), row.short, row.says);
    let holds = |row: &&Action| super::list::holds(&says(row), wanted);
    actions::of_place(actions::behind(state)).filter(holds).collect()
}

fn press(state: &mut State, key: Key) {
    // At once, whatever is unsaved: what asks before it leaves is the action.
    if key == WAY_OUT {
        return state.ask(Effect::Quit);
    }
    if actions::place(state).is_none() {
        return typing::key(state, key);
    }
    let digit = letter(key).and_then(|c| c.to_digit(10));
    if std::mem::take(&mut state.going)
        && let Some(tab) = digit.and_then(|n| Tab::ALL.get((n as usize).checked_sub(1)?))
    {
        moves::to_tab(state, *tab);
        return;
    }
    if let (Some(n), Some(Place::Restack)) = (digit, actions::place(state))
        && allowed::layer(state).is_ok()
    {
        change::digit(state, char::from_digit(n, 10).unwrap_or('0'));
        return;
    }
    if let (Some(c @ ('0'..='9' | '~')), Some(Place::Filter | Place::Tank)) =
        (letter(key), actions::place(state))
        && form::allowed(state).is_ok()
    {
        form::digit(state, c);
        return;
    }
    if let Some(row) = actions::for_key(state, key) {
        perform(state, row);
    } else {
        let tab = digit.and_then(|n| Tab::ALL.get((n as usize).checked_sub(1)?));
        let (key, more) = (key.label(), tab.map(|tab| tab.name()));
        let helped =
            actions::place(state).is_some_and(|p| actions::of_place(p).any(|row| row.name == "help"));
        let help = if helped { " ({help} lists the keys)" } else { "" };
        let more = more.map_or(help.to_owned(), |to| format!(" ({{go}}{key} goes to {to})"));
        state.tell_keys(format!("{key} does nothing here{more}"));
    }
}

fn letter(key: Key) -> Option<char> {
    match key.code {
        Code::Char(c) if !key.ctrl => Some(c),
        _ => None,
    }
}

fn perform(state: &mut State, row: &Action) {
    match (row.allowed)(state) {
        Ok(()) => (row.run)(state),
        Err(why) => {
            state.tell_keys(why);
        }
    }
}
