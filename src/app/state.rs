//! All that the screens know. Changed only by [`super::update`].

use std::collections::HashMap;
use std::path::Path;
use std::sync::Arc;

use unicode_width::UnicodeWidthStr;

use super::columns;
use super::diff::Pair;
use super::entry::{Entry, Id};
use super::keys::Keys;
use super::layout::{self, Parts};
use super::line::Line;
use super::order::{self, By, SortKey};
use super::overlay::Overlay;
use super::panes::Pane;
use super::ranking::Ranking;
use super::restack::Restack;
use super::screens::Screen;
use super::seek::Seek;
use super::sources::Sources;
use super::tank_form::TankForm;
use super::unsaved::Asked;
use crate::measures::Measure;
use crate::model::filter::Filter;
use crate::model::tank::Tank;
use crate::profile::{Broken, Loaded};
use crate::report::figures::Units;

/// How things look.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Look {
    /// Only ASCII signs.
    pub ascii: bool,
    /// No colour at all.
    pub mono: bool,
}

/// The Diff screen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Diff {
    /// Which line is chosen.
    pub cursor: usize,
    /// First line in the window.
    pub top: usize,
    /// Which of its builds is chosen.
    pub column: usize,
    /// Show what is the same, too.
    pub all: bool,
}

/// What drawing found out that keys need: how far what was drawn can scroll.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Drawn {
    /// Of the pane in focus.
    pub pane: usize,
    /// Of what lies over the screen.
    pub overlay: usize,
}

/// The state.
#[allow(clippy::struct_excessive_bools)] // each is a switch of its own on the screen
#[derive(Clone, Debug)]
pub struct State {
    /// Columns and rows of the terminal.
    pub size: (u16, u16),
    /// How things look.
    pub look: Look,
    /// The keys in force.
    pub keys: Keys,
    /// What people read.
    pub units: Units,
    /// The terminal reports the mouse.
    pub mouse: bool,
    /// What was loaded, for the header.
    pub source: String,
    /// The tank judged for.
    pub tank: Option<Arc<Tank>>,
    /// Where that tank was read from, to be found again next time.
    pub tank_file: Option<String>,
    /// A person chose to judge for no tank.
    pub no_tank: bool,
    /// What was asked for by paths, this time or the last time it was, to be found again next time.
    pub paths: Vec<String>,
    /// The screen in view.
    pub screen: Screen,
    /// The pane in focus on Builds.
    pub pane: Pane,
    /// How far that pane is scrolled.
    pub scroll: usize,
    /// What lies over the screen.
    pub overlay: Option<Overlay>,
    /// How far that is scrolled.
    pub overlay_scroll: usize,
    /// What drawing found out.
    pub drawn: Drawn,
    /// Something to tell until the next key.
    pub told: Option<String>,
    /// What would be lost and was asked about.
    pub asked: Asked,
    /// Builds, in the order they were loaded.
    pub entries: Vec<Entry>,
    /// Files that cannot be used.
    pub broken: Vec<Broken>,
    /// The table's rows, in order.
    pub rows: Vec<Id>,
    /// Cells that the longest name takes.
    pub longest_name: usize,
    /// What the cursor is on.
    pub cursor: Option<Id>,
    /// The cursor was moved by hand: it stays on its build when rows move.
    pub chosen: bool,
    /// First row in the window.
    pub top: usize,
    /// Measures shown as columns.
    pub columns: Vec<Measure>,
    /// The column under the cursor: 0 the name, then the measures.
    pub column: usize,
    /// First measure column in the window.
    pub left: usize,
    /// The order of the rows.
    pub sort: Vec<SortKey>,
    /// What rows are narrowed to.
    pub narrow: String,
    /// Keys go into `narrow`.
    pub typing: bool,
    /// Marked builds, in the order they were marked.
    pub marks: Vec<Id>,
    /// The Diff screen.
    pub diff: Diff,
    /// Which round of judging the figures belong to.
    pub round: u64,
    /// Files are being read.
    pub loading: bool,
    /// Why two builds differ in a measure, as far as it was asked; none while it is worked out.
    pub whys: HashMap<Pair, Option<String>>,
    /// The Ranking screen.
    pub ranking: Ranking,
    /// The Restack screen.
    pub restack: Restack,
    /// The Tank screen.
    pub tank_form: TankForm,
    /// The Sources screen.
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

    /// Nothing loaded yet.
    pub fn new(source: &str, tank: Option<Arc<Tank>>) -> Self {
        Self {
            size: (80, 24),
            look: Look::default(),
            keys: Keys::default(),
            units: Units::Metric,
            mouse: true,
            source: source.to_owned(),
            tank,
            tank_file: None,
            no_tank: false,
            paths: Vec::new(),
            screen: Screen::Builds,
            pane: Pane::Table,
            scroll: 0,
            overlay: None,
            overlay_scroll: 0,
            drawn: Drawn::default(),
            told: None,
            asked: Asked::default(),
            entries: Vec::new(),
            broken: Vec::new(),
            rows: Vec::new(),
            longest_name: 0,
            cursor: None,
            chosen: false,
            top: 0,
            columns: columns::DEFAULT.to_vec(),
            column: 1,
            left: 0,
            sort: vec![
                SortKey::best_first(By::Measure(Measure::FilteredFlow)),
                SortKey::best_first(By::Measure(Measure::OpeningInterval)),
            ],
            narrow: String::new(),
            typing: false,
            marks: Vec::new(),
            diff: Diff::default(),
            round: 0,
            loading: true,
            whys: HashMap::new(),
            ranking: Ranking::default(),
            restack: Restack::default(),
            tank_form: TankForm::default(),
            seek: Seek::default(),
            sources: Sources::default(),
            line: None,
            doubted: None,
            samples: None,
        }
    }

    /// The parts of the window.
    pub fn parts(&self) -> Parts {
        layout::parts(self.size, self.screen, self.pane)
    }
    /// Whether any figure has its doubt yet.
    pub fn has_doubt(&self) -> bool {
        self.doubted.is_some()
    }
    /// How many builds have no figures yet, and may still get some.
    pub fn unjudged(&self) -> usize {
        self.entries.iter().filter(|e| e.judged.is_none() && e.failed.is_none()).count()
    }
    /// Builds whose figures are not whole yet, each with its place among the entries. Where no doubt is worked
    /// out nothing tells whether advice came, so all of them are.
    pub fn to_judge(&self) -> Vec<(usize, Arc<Filter>, usize)> {
        let whole = |e: &Entry| self.samples.is_some() && e.simulated().is_some();
        let open = self.entries.iter().enumerate().filter(|(_, e)| !whole(e));
        open.map(|(i, e)| (i, Arc::clone(&e.filter), e.build)).collect()
    }
    /// The build of that id.
    pub fn entry(&self, id: Id) -> Option<&Entry> {
        match id {
            Id::Build(i) => self.entries.get(i),
            Id::Broken(_) => None,
        }
    }
    /// The build under the cursor.
    pub fn here(&self) -> Option<&Entry> {
        self.cursor.and_then(|id| self.entry(id))
    }
    /// The broken file under the cursor.
    pub fn broken_here(&self) -> Option<&Broken> {
        match self.cursor? {
            Id::Broken(i) => self.broken.get(i),
            Id::Build(_) => None,
        }
    }
    /// The measure under the cursor on Builds.
    pub fn measure_here(&self) -> Option<Measure> {
        self.columns.get(self.column.checked_sub(1)?).copied()
    }
    /// The row the cursor is on.
    pub fn row_here(&self) -> usize {
        self.cursor.and_then(|id| self.rows.iter().position(|r| *r == id)).unwrap_or(0)
    }

    /// Takes in what was read. Cursor and marks stay on the builds they were on; figures of what did not change
    /// stay until they are judged again.
    pub fn take(&mut self, loaded: Loaded) {
        let old = std::mem::take(&mut self.entries);
        let broken = std::mem::replace(&mut self.broken, loaded.broken);
        for sound in loaded.filters {
            for build in 0..sound.filter.builds.len() {
                self.entries.push(Entry::new(Arc::clone(&sound.filter), sound.path.clone(), build));
            }
        }
        let places: HashMap<_, usize> = old.iter().enumerate().map(|(i, e)| (identity(e), i)).collect();
        for entry in &mut self.entries {
            let was = places.get(&identity(entry)).and_then(|i| old.get(*i));
            if let Some(was) = was.filter(|o| o.filter == entry.filter) {
                entry.judged.clone_from(&was.judged);
            }
        }
        let entries = &self.entries;
        let now_broken = &self.broken;
        let by_path = |path: &Path| now_broken.iter().position(|b| b.path == path).map(Id::Broken);
        let moved = |id: Id| -> Option<Id> {
            match id {
                Id::Build(i) => {
                    let o = old.get(i)?;
                    // A file that broke under the cursor keeps the cursor, on its problems.
                    let same = entries.iter().position(|e| identity(e) == identity(o)).map(Id::Build);
                    same.or_else(|| by_path(&o.path))
                }
                Id::Broken(i) => {
                    let path = &broken.get(i)?.path;
                    by_path(path).or_else(|| entries.iter().position(|e| e.path == *path).map(Id::Build))
                }
            }
        };
        self.cursor = self.cursor.and_then(moved);
        self.marks = self.marks.iter().filter_map(|id| moved(*id)).filter(is_build).collect();
        self.longest_name = self.entries.iter().map(|e| e.name.width()).max().unwrap_or(0);
        self.loading = false;
        self.settle();
    }

    /// Takes another tank, or none: figures for the one before would mislead, so they go. Every build is to be
    /// judged again.
    pub fn take_tank(&mut self, tank: Option<Arc<Tank>>) {
        self.no_tank = tank.is_none();
        self.tank = tank;
        for entry in &mut self.entries {
            entry.judged = None;
            entry.failed = None;
        }
        self.doubted = None;
        self.whys.clear();
        // The question's number goes on, so that answers for the tank before are dropped.
        self.ranking = Ranking { asked: self.ranking.asked + 1, stale: true, ..Ranking::default() };
        self.round += 1;
        // Rows keep their order until the new figures are there: without any they would only jump.
        self.place();
    }

    /// Puts rows, cursor and windows right after anything changed.
    pub fn settle(&mut self) {
        self.rows = order::rows(&self.entries, &self.broken, &self.sort, &self.narrow);
        self.place();
    }

    /// Puts cursor and windows right when only they moved.
    pub fn place(&mut self) {
        let at = match self.cursor {
            Some(id) if self.chosen => self.rows.iter().position(|r| *r == id),
            _ => None,
        };
        let at = if let Some(at) = at {
            at
        } else {
            // Its row went away: the nearest one that stands.
            let near = if self.chosen { self.top.min(self.rows.len().saturating_sub(1)) } else { 0 };
            self.cursor = self.rows.get(near).copied();
            near
        };
        self.column = self.column.min(self.columns.len());
        if let Some(main) = self.parts().main
            && self.screen == Screen::Builds
        {
            let rows = layout::table_rows(main);
            self.top = layout::keep_row_in_window(self.top, at, rows, self.rows.len());
            self.left = columns::keep_in_window(self, usize::from(main.inner().w));
        }
    }
}

/// What makes a build the same one after its file was read again.
fn identity(entry: &Entry) -> (&Path, &str) {
    (&entry.path, entry.build_name())
}

#[allow(clippy::trivially_copy_pass_by_ref)] // `filter` hands out references
fn is_build(id: &Id) -> bool {
    matches!(id, Id::Build(_))
}
