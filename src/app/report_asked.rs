//! The report written from the screens: where to is typed, the background writes it.

use std::sync::Arc;

use super::effect::Effect;
use super::entry::Entry;
use super::line::{Done, Goal, Line};
use super::state::State;
use crate::model::tank::Tank;
use crate::profile::Broken;
use crate::report::figures::Units;

/// The folder offered first.
const FOLDER: &str = "cansift-report";

/// What is to be written, and where.
#[derive(Clone, Debug)]
pub struct Ask {
    /// Builds, with what is known of them so far.
    pub builds: Vec<Entry>,
    /// Files that cannot be used.
    pub broken: Vec<Broken>,
    /// The tank it is written for.
    pub tank: Arc<Tank>,
    /// Units that people read.
    pub units: Units,
    /// The folder as it was typed.
    pub folder: String,
}

impl PartialEq for Ask {
    /// Told apart by where they go: what they hold is long.
    fn eq(&self, other: &Self) -> bool {
        self.folder == other.folder
    }
}

/// Why there is nothing to report, if there is not.
pub fn allowed(state: &State) -> Result<(), &'static str> {
    if state.tank.is_none() {
        Err("a report is written for a tank: choose one on the Tank screen ({tank})")
    } else if state.entries.is_empty() {
        Err("nothing is listed")
    } else {
        Ok(())
    }
}

/// Asks for the folder.
pub fn begin(state: &mut State) {
    state.line = Some(Line::new(Goal::Report, FOLDER));
}

/// A folder was typed.
pub fn taken(state: &mut State, line: &Line, done: Done) -> Vec<Effect> {
    let (Done::Take(_), Some(tank)) = (done, state.tank.clone()) else { return Vec::new() };
    let folder = line.text().trim().to_owned();
    if folder.is_empty() {
        state.told = Some("no folder was named: nothing is written".to_owned());
        return Vec::new();
    }
    state.told = Some("the report is being written".to_owned());
    let builds = state.entries.clone();
    let ask = Ask { builds, broken: state.broken.clone(), tank, units: state.units, folder };
    vec![Effect::Report(Box::new(ask))]
}
