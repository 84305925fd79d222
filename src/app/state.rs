//! All that the screens know. Changed only by [`super::update`].

pub mod form;
pub mod restack;
pub mod sources;
pub mod tank;
pub mod work;

use super::layout::{self, Parts};
use super::list::Seek;
use super::panes::Pane;
use super::{
    Because, By, Column, Effect, Entry, Format, Goal, Id, Keys, Line, List, Of, Overlay, Pair, SortKey,
    Stood, Tab, Typing, View,
};
use crate::assess::Mode;
use crate::learn::learnt::has_log;
use crate::measures::Measure;
use crate::model::{Filter, Tank};
use crate::profile::Broken;
use crate::report::answer::Kind;
use crate::report::figures::Units;
use form::{FilterForm, Filters};
use restack::Restack;
use sources::Sources;
use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use tank::TankForm;

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Look {
    pub ascii: bool,
    pub mono: bool,
}

/// How the second of two builds stands with all priorities.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ahead {
    /// Share of the cases in which it comes out ahead.
    pub chance: f64,
    /// The priority that counts most for the one that does.
    pub decides: Option<Measure>,
    /// One of the two misses a requirement for sure: whether it is the second.
    pub misses: Option<bool>,
}

#[derive(Clone, Debug, Default, PartialEq)]
pub struct Compare {
    pub list: List,
    pub column: usize,
    /// Show what is the same, too.
    pub all: bool,
    /// These two, whatever is marked.
    pub two: Option<(Id, Id)>,
    pub ahead: Option<Ahead>,
    /// What that was worked out of: the two, the round, whether all was simulated, the weights.
    pub weighed: Option<(usize, usize, u64, bool, Vec<f64>)>,
}

#[derive(Clone, Debug, Default)]
pub struct Ranking {
    /// Weighted measures with their weights as moved; empty until a tank gives them.
    pub weights: Vec<(Measure, f64)>,
    pub cursor: usize,
    pub list: List,
    /// How far what is below it is scrolled.
    pub scroll: usize,
    /// Every build is ranked, whatever is marked or searched.
    pub all: bool,
    /// Only the best build of each filter is shown.
    pub one_each: bool,
    /// How they stand; none while it is worked out for the first time.
    pub stood: Option<Arc<Stood>>,
    /// The question asked last; answers to older ones are dropped.
    pub asked: u64,
    pub stale: bool,
}

/// What drawing found out that keys need: how far what was drawn can scroll.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Drawn {
    pub pane: usize,
    /// Of what lies over the screen.
    pub overlay: usize,
}

/// Files of this program's own that are kept in mind.
const MOST_WROTE: usize = 200;
/// Said where a file to write was given no name.
const NAMELESS: &str = "nothing was saved: a file needs a name";
/// How much of what was told is kept.
pub const TOLD: usize = 50;

/// Columns shown until a person chooses others, what matters most first.
pub const DEFAULT_COLUMNS: &[Column] = &[
    Column::Measure(Measure::Clearing),
    Column::Measure(Measure::BypassDirty),
    Column::Measure(Measure::OpeningInterval),
    Column::Measure(Measure::AmmoniaCapacity),
    Column::Measure(Measure::FirstYearCost),
    Column::Measure(Measure::SuitsUpTo),
    Column::Measure(Measure::FilteredFlow),
    Column::Known,
    Column::Measure(Measure::Flow),
    Column::Measure(Measure::Turnover),
    Column::Measure(Measure::RepairCost),
    Column::Measure(Measure::FullWeight),
    Column::Measure(Measure::FitsCabinet),
];

#[allow(clippy::struct_excessive_bools)] // each is a switch of its own on the screen
#[derive(Clone, Debug, Default)]
pub struct State {
    /// Columns and rows of the terminal.
    pub size: (u16, u16),
    pub look: Look,
    pub keys: Keys,
    pub units: Units,
    pub mouse: bool,
    pub source: String,
    pub tank: Option<Arc<Tank>>,
    /// Where that tank was read from, to be found again next time.
    pub tank_file: Option<String>,
    pub no_tank: bool,
    pub as_found: bool,
    pub log_moves: Mode,
    /// What was asked for by paths, this time or the last time it was, to be found again next time.
    pub paths: Vec<String>,
    pub screen: Tab,
    pub pane: Pane,
    pub view: View,
    pub scroll: usize,
    pub overlay: Option<Overlay>,
    pub overlay_scroll: usize,
    /// Number of the newest question of how a figure came about; answers to older ones are dropped.
    pub asked_how: u64,
    /// Which reply was wanted last, and in which format.
    pub reply: (Kind, Format),
    pub drawn: Drawn,
    /// Something to tell for a while, or until the next key.
    pub status: Option<String>,
    /// What was told, the last [`TOLD`] of it, the newest last.
    pub told: Vec<String>,
    /// The same with names of actions in braces, till [`super::update`] has put their keys there.
    pub hint: Option<String>,
    /// What is asked of the world outside, till [`super::update`] hands it out.
    pub effects: Vec<Effect>,
    /// What would be lost and was asked about.
    pub asked: Asked,
    /// Builds, in the order they were loaded.
    pub entries: Vec<Entry>,
    pub broken: Vec<Broken>,
    pub rows: Vec<Id>,
    /// Cells that the longest name takes.
    pub longest_name: usize,
    pub cursor: Option<Id>,
    /// The cursor was moved by hand: it stays on its build when rows move.
    pub chosen: bool,
    pub top: usize,
    pub columns: Vec<Column>,
    /// The column under the cursor: 0 the name, then the measures.
    pub column: usize,
    /// First measure column in the window.
    pub left: usize,
    pub sort: Vec<SortKey>,
    pub narrow: String,
    /// The next digit says which screen to go to.
    pub going: bool,
    /// Keys go into `narrow`.
    pub typing: bool,
    /// Marked builds, in the order they were marked.
    pub marks: Vec<Id>,
    /// Those of last time, file and name, until files are read.
    pub marks_kept: Vec<(String, String)>,
    /// The build the cursor was on last time, until files are read.
    pub place_kept: Option<(String, String)>,
    pub compare: Compare,
    /// Which round of judging the figures belong to.
    pub round: u64,
    pub loading: bool,
    /// Why two builds differ in a measure, as far as it was asked; none while it is worked out.
    pub whys: HashMap<Pair, Option<Because>>,
    pub ranking: Ranking,
    pub restack: Restack,
    pub filters: Filters,
    pub tank_form: TankForm,
    pub sources: Sources,
    /// What is looked for in lists that are not narrowed.
    pub seek: Seek,
    /// A line being typed on one of the screens; keys go into it.
    pub line: Option<Line>,
    /// How far doubt is worked out, 0 to 1; none when it is not being worked out.
    pub doubted: Option<f64>,
    /// Draws that the doubt is worked out from.
    pub samples: Option<usize>,
}

impl State {
    /// The tank's currency, empty without a tank.
    pub fn currency(&self) -> &str {
        self.tank.as_ref().map_or("", |tank| &tank.currency)
    }

    pub fn new(source: &str, tank: Option<Arc<Tank>>) -> Self {
        Self {
            size: (80, 24),
            mouse: false,
            source: source.to_owned(),
            tank,
            columns: DEFAULT_COLUMNS.to_vec(),
            column: 1,
            sort: vec![
                SortKey::best_first(By::Measure(Measure::Clearing)),
                SortKey::best_first(By::Measure(Measure::FirstYearCost)),
            ],
            loading: true,
            restack: Restack::new(),
            ..Self::default()
        }
    }

    pub fn ask(&mut self, effect: Effect) {
        self.effects.push(effect);
    }
    pub fn tell(&mut self, said: impl Into<String>) {
        self.status = Some(said.into());
    }
    /// The same with names of actions in braces.
    pub fn tell_keys(&mut self, said: impl Into<String>) {
        self.hint = Some(said.into());
    }
    pub fn parts(&self) -> Parts {
        layout::parts(self.size, self.screen, self.view, self.pane)
    }
    /// Opens the explanation of a figure, which is asked for.
    pub fn explain(&mut self, of: Of, measure: Measure) {
        self.overlay = Some(Overlay::Explain { of, measure, lines: None });
        self.overlay_scroll = 0;
        self.asked_how += 1;
        self.ask(Effect::Explain { number: self.asked_how, of, measure });
    }
    /// The build a figure is explained of, with its figures.
    pub fn explained(&self, of: Of) -> Option<&Entry> {
        match of {
            Of::Listed(i) => self.entries.get(i),
            Of::Worked => self.restack.work.as_ref().map(|w| &w.now),
        }
    }
    pub fn restack_typing(&self) -> Option<Typing> {
        match self.line.as_ref()?.goal {
            Goal::Restack(what) => Some(what),
            _ => None,
        }
    }
    /// Whether it may be done: at once where nothing is lost, else at the second press.
    pub fn may_lose(&mut self, loss: Loss) -> bool {
        let Some(question) = self.question(loss) else { return true };
        // What was confirmed stays so while the next thing is asked about.
        self.asked.now.push(loss);
        let confirmed = self.asked.before.contains(&loss);
        if !confirmed {
            self.tell_keys(question);
        }
        confirmed
    }
    fn question(&self, loss: Loss) -> Option<String> {
        let stack = |does: &str| {
            let work = self.restack.work.as_ref().filter(|w| w.unsaved())?;
            Some(format!("{} restacked is unsaved: press {does}", work.title()))
        };
        match loss {
            Loss::LeaveTank => self.tank_form.changed().then(|| {
                "the tank has unsaved changes: {leave} again leaves, {save} on the Tank screen saves"
                    .to_owned()
            }),
            Loss::LeaveFilter => {
                let unsaved = self.filters.forms.values().filter(|form| form.unsaved()).count();
                let which =
                    if unsaved == 1 { "a filter has".to_owned() } else { format!("{unsaved} filters have") };
                (unsaved > 0).then(|| {
                    format!(
                        "{which} unsaved changes: {{leave}} again leaves, {{save}} on the Filter screen saves"
                    )
                })
            }
            Loss::LeaveStack => stack("{leave} again to leave"),
            Loss::Afresh => stack("{afresh} again to begin afresh"),
        }
    }
    /// How many builds have no figures yet, and may still get some.
    pub fn unjudged(&self) -> usize {
        self.entries.iter().filter(|e| e.judged.is_none() && e.failed.is_none()).count()
    }
    /// Builds whose figures are not whole yet, each with its place among the entries. Where no doubt is worked
    /// out nothing tells whether advice came, so all of them are.
    pub fn to_judge(&self) -> Vec<(usize, Arc<Filter>, usize)> {
        let whole = |e: &Entry| self.samples.is_some() && e.is_whole();
        let open = self.entries.iter().enumerate().filter(|(_, e)| !whole(e));
        open.map(|(i, e)| (i, Arc::clone(&e.filter), e.build)).collect()
    }
    /// Filters with a log that tells something at this tank.
    pub fn logs(&self) -> Vec<Arc<Filter>> {
        let mut out: Vec<Arc<Filter>> = Vec::new();
        for Entry { filter, build, .. } in &self.entries {
            let logged = filter.builds.get(*build).is_some_and(|b| has_log(filter, b, self.tank.as_deref()));
            if logged && !out.iter().any(|known| Arc::ptr_eq(known, filter)) {
                out.push(Arc::clone(filter));
            }
        }
        out
    }
    pub fn entry(&self, id: Id) -> Option<&Entry> {
        match id {
            Id::Build(i) => self.entries.get(i),
            Id::Broken(_) => None,
        }
    }
    pub fn here(&self) -> Option<&Entry> {
        self.cursor.and_then(|id| self.entry(id))
    }
    pub fn broken_here(&self) -> Option<&Broken> {
        match self.cursor? {
            Id::Broken(i) => self.broken.get(i),
            Id::Build(_) => None,
        }
    }
    pub fn filter_form(&self) -> Option<&FilterForm> {
        self.filters.forms.get(&self.here()?.path)
    }
    pub fn filter_form_mut(&mut self) -> Option<&mut FilterForm> {
        let path = self.here()?.path.clone();
        self.filters.forms.get_mut(&path)
    }
    /// What a file came to when this program wrote it.
    pub fn over(&self, path: &Path) -> Option<u64> {
        let name = path.to_string_lossy();
        self.filters.wrote.iter().find(|(file, _)| *file == name).map(|(_, content)| *content)
    }
    /// A file that this program wrote may be written over while it is as it was written.
    pub fn wrote(&mut self, path: &Path, content: u64) {
        let name = path.to_string_lossy().into_owned();
        let wrote = &mut self.filters.wrote;
        wrote.retain(|(file, _)| *file != name);
        wrote.push((name, content));
        let over = wrote.len().saturating_sub(MOST_WROTE);
        wrote.drain(..over);
    }
    /// A file of that path is listed.
    pub fn lists(&self, path: &Path) -> bool {
        self.entries.iter().any(|e| e.path == *path) || self.broken.iter().any(|b| b.path == *path)
    }
    /// The file of profiles that was named; without a name that is told.
    pub fn named_file(&mut self, typed: &str) -> Option<PathBuf> {
        let mut path = PathBuf::from(typed.trim());
        if path.as_os_str().is_empty() {
            self.tell(NAMELESS);
            return None;
        }
        if path.extension().is_none() {
            // A folder's files are found by this ending.
            path.set_extension("ron");
        }
        Some(path)
    }
    /// Figures are to be worked out anew; what was asked of those before is dropped.
    pub fn judge_anew(&mut self) {
        self.whys.clear();
        self.round += 1;
        self.ranking.stale = true;
        self.ask(Effect::Judge);
    }
    pub fn column_here(&self) -> Option<Column> {
        self.columns.get(self.column.checked_sub(1)?).copied()
    }
    pub fn measure_here(&self) -> Option<Measure> {
        self.column_here()?.measure()
    }
    pub fn row_here(&self) -> usize {
        self.cursor.and_then(|id| self.rows.iter().position(|r| *r == id)).unwrap_or(0)
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Loss {
    LeaveTank,
    LeaveFilter,
    /// Leaving with a working copy that was changed.
    LeaveStack,
    /// Working on another build than the one that was changed.
    Afresh,
}

#[derive(Clone, Debug, Default)]
pub struct Asked {
    pub before: Vec<Loss>,
    pub now: Vec<Loss>,
}
