//! What is kept for next time. Where and how it is written is not decided here.

use serde::{Deserialize, Serialize};

use super::screens::{builds, ranking};
use super::{By, Column, Entry, SortKey, State, View};
use crate::measures::Measure;
use crate::report::figures::Units;

/// What a person has set up. What a file does not hold stays as a fresh start has it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Settings {
    /// Keys of the measures shown as columns, in their order.
    pub columns: Vec<String>,
    /// The order of the rows: key of a measure or `name`, and whether the greatest comes first.
    pub sort: Vec<(String, bool)>,
    pub units: String,
    pub mouse: bool,
    pub tank: Option<String>,
    pub no_tank: bool,
    /// What was shown, where it was asked for by paths.
    pub paths: Vec<String>,
    /// Priorities as they are, where any was moved from what the tank says.
    pub priorities: Vec<(String, f64)>,
    /// `list`, `both` or `pane`.
    pub view: String,
    pub search: String,
    /// Marked builds: file and name.
    pub marks: Vec<(String, String)>,
    /// The build under the cursor, where a person put it there: file and name.
    pub place: Option<(String, String)>,
    /// Files that this program wrote, each with what its content comes to.
    pub wrote: Vec<(String, u64)>,
}

impl Default for Settings {
    fn default() -> Self {
        State::new("", None).settings()
    }
}

fn file_and_name(entry: &Entry) -> (String, String) {
    (entry.path.to_string_lossy().into_owned(), entry.build_name().to_owned())
}

const SORT_KEYS: usize = 2;

impl State {
    pub fn settings(&self) -> Settings {
        let name = |by: By| match by {
            By::Name => "name".to_owned(),
            By::Measure(m) => m.key().to_owned(),
            By::Known => Column::Known.key().to_owned(),
        };
        Settings {
            columns: self.columns.iter().map(|m| m.key().to_owned()).collect(),
            sort: self.sort.iter().map(|k| (name(k.by), k.falling)).collect(),
            units: self.units.word().to_owned(),
            mouse: self.mouse,
            tank: self.tank_file.clone(),
            no_tank: self.no_tank,
            paths: self.paths.clone(),
            priorities: if ranking::changed(self) {
                self.ranking.weights.iter().map(|(m, w)| (m.key().to_owned(), *w)).collect()
            } else {
                Vec::new()
            },
            view: self.view.word().to_owned(),
            search: self.narrow.clone(),
            wrote: self.filters.wrote.clone(),
            marks: if self.entries.is_empty() {
                self.marks_kept.clone()
            } else {
                self.marks.iter().filter_map(|id| self.entry(*id)).map(file_and_name).collect()
            },
            place: if self.entries.is_empty() {
                self.place_kept.clone()
            } else {
                self.cursor.filter(|_| self.chosen).and_then(|id| self.entry(id)).map(file_and_name)
            },
        }
    }

    /// Takes back what was kept. What is unknown, from another version say, is left out; where nothing usable
    /// is left the state stays as it was.
    pub fn restore(&mut self, kept: &Settings) {
        let mut columns: Vec<Column> = Vec::new();
        for m in kept.columns.iter().filter_map(|key| Column::from_key(key)) {
            if !columns.contains(&m) {
                columns.push(m);
            }
        }
        if !columns.is_empty() {
            self.columns = columns;
        }
        let by = |key: &str| match key {
            "name" => Some(By::Name),
            _ => Column::from_key(key).map(By::from),
        };
        let sort: Vec<SortKey> = kept
            .sort
            .iter()
            .filter_map(|(key, falling)| by(key).map(|by| SortKey { by, falling: *falling }))
            .take(SORT_KEYS)
            .collect();
        if !sort.is_empty() {
            self.sort = sort;
        }
        if let Some(units) = Units::from_word(&kept.units) {
            self.units = units;
        }
        self.mouse = kept.mouse;
        self.paths.clone_from(&kept.paths);
        self.view = View::ALL.into_iter().find(|v| v.word() == kept.view).unwrap_or_default();
        self.narrow.clone_from(&kept.search);
        self.marks_kept.clone_from(&kept.marks);
        self.place_kept.clone_from(&kept.place);
        self.filters.wrote.clone_from(&kept.wrote);
        ranking::fill(self);
        for (key, weight) in &kept.priorities {
            if let Some(measure) = Measure::from_key(key).filter(|_| weight.is_finite()) {
                ranking::set_weight(self, measure, *weight);
            }
        }
        builds::settle(self);
    }
}
