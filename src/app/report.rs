//! The report written from the screens: where to is typed, the background writes it.

use super::screen::NOTHING_LISTED;
use super::{Done, Effect, Goal, Line, May, ReportAsk, State};

/// The folder offered first.
const FOLDER: &str = "cansift-report";

pub fn allowed(state: &State) -> May {
    if state.tank.is_none() {
        Err("a report is written for a tank: choose one on the Tank screen ({tank})")
    } else if state.entries.is_empty() {
        Err(NOTHING_LISTED)
    } else {
        Ok(())
    }
}

pub fn begin(state: &mut State) {
    state.line = Some(Line::new(Goal::Report, FOLDER));
}

pub fn on_submit(state: &mut State, line: &Line, done: Done) {
    let (Done::Take(_), Some(tank)) = (done, state.tank.clone()) else { return };
    let folder = line.text().trim().to_owned();
    if folder.is_empty() {
        return state.tell("no folder was named: nothing is written");
    }
    state.tell("the report is being written");
    let builds = state.entries.clone();
    let ask = ReportAsk { builds, broken: state.broken.clone(), tank, units: state.units, folder };
    state.ask(Effect::Report(Box::new(ask)));
}
