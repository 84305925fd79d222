//! The working copy: a build being packed anew, the build as it was, and every change in between.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::app::Entry;
use crate::model::edit::EditError;
use crate::model::{Build, Edit, Filter, Tank, Workpiece};
use crate::propose::Shopping;

/// What became of the file that the build was read from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Source {
    #[default]
    Same,
    /// The build in it is another now.
    Changed,
    /// The build is no longer there, or its file is broken.
    Gone,
}

#[derive(Clone, Debug)]
struct Change {
    back: Edit,
    said: String,
}

#[derive(Clone, Debug)]
pub struct Work {
    /// The file the build was read from.
    pub path: PathBuf,
    pub build: String,
    pub source: Source,
    /// As it was.
    pub first: Workpiece,
    /// As it is packed now.
    pub piece: Workpiece,
    /// What was written to a file last, or the beginning.
    kept: Workpiece,
    /// The file of that.
    pub saved_as: Option<PathBuf>,
    undone: Vec<Change>,
    done: Vec<Change>,
    pub before: Entry,
    /// The last stack that fitted, with its figures.
    pub now: Entry,
    /// What the last stack that fitted asks to be bought; none without a tank.
    pub shopping: Option<Arc<Shopping>>,
    /// The question of figures asked last, and what it was about; answers to older ones are dropped.
    pub asked: (u64, Arc<Filter>),
    pub stale: bool,
}

impl Work {
    pub fn new(entry: &Entry, tank: Option<&Arc<Tank>>) -> Option<Self> {
        let build = entry.filter.builds.get(entry.build)?.clone();
        let mut first = Workpiece::new(Arc::clone(&entry.filter), build.clone(), tank.cloned());
        first.may_overfill = true;
        let of = |entry: &Entry| Entry {
            judged: entry.judged.clone(),
            ..Entry::new(alone(&first), entry.path.clone(), 0)
        };
        Some(Self {
            path: entry.path.clone(),
            build: build.name,
            source: Source::Same,
            before: of(entry),
            now: of(entry),
            piece: first.clone(),
            kept: first.clone(),
            saved_as: None,
            undone: Vec::new(),
            done: Vec::new(),
            shopping: None,
            asked: (0, alone(&first)),
            stale: true,
            first,
        })
    }

    pub fn is_of(&self, entry: &Entry) -> bool {
        self.path == entry.path && self.build == entry.build_name()
    }

    pub fn unsaved(&self) -> bool {
        self.piece != self.kept
    }

    pub fn was_kept(&mut self, saved: &Workpiece, path: &Path) {
        self.kept = saved.clone();
        self.saved_as = Some(path.to_owned());
    }

    pub fn changes(&self) -> usize {
        self.done.len()
    }

    /// Changes that were taken back and can be made again.
    pub fn taken_back(&self) -> usize {
        self.undone.len()
    }

    /// Makes a change; `said` is what undoing it will call it.
    pub fn make(&mut self, edit: &Edit, said: &str) -> Result<(), EditError> {
        let back = self.piece.apply(edit)?;
        self.done.push(Change { back, said: said.to_owned() });
        self.undone.clear();
        self.stale = true;
        Ok(())
    }

    /// Takes the last change back; what it was.
    pub fn undo(&mut self) -> Option<String> {
        let said = turn(&mut self.piece, &mut self.done, &mut self.undone);
        self.stale |= said.is_some();
        said
    }

    /// Makes again the change that was taken back last; what it was.
    pub fn redo(&mut self) -> Option<String> {
        let said = turn(&mut self.piece, &mut self.undone, &mut self.done);
        self.stale |= said.is_some();
        said
    }

    pub fn take_tank(&mut self, tank: Option<&Arc<Tank>>) {
        for piece in [&mut self.first, &mut self.piece, &mut self.kept] {
            piece.tank = tank.cloned();
        }
        for entry in [&mut self.before, &mut self.now] {
            entry.judged = None;
        }
        self.shopping = None;
        self.stale = true;
    }

    /// Looks at what is listed now: did the file it came from change?
    pub fn look_at_source(&mut self, entries: &[Entry]) {
        self.source = match entries.iter().find(|e| self.is_of(e)) {
            None => Source::Gone,
            Some(e) => {
                let same = *e.filter == *self.first.filter
                    || (others_aside(&e.filter) == others_aside(&self.first.filter)
                        && e.filter.builds.get(e.build) == Some(&self.first.build));
                if same { Source::Same } else { Source::Changed }
            }
        };
    }

    /// The stack that is packed now, as a filter of this one build.
    pub fn alone(&self) -> Arc<Filter> {
        alone(&self.piece)
    }

    /// `Tamsin 1100 · as bought`.
    pub fn title(&self) -> String {
        format!("{} · {}", self.first.filter.name, self.build)
    }
}

/// Applies the last change of one list and puts what takes it back on the other.
fn turn(piece: &mut Workpiece, from: &mut Vec<Change>, to: &mut Vec<Change>) -> Option<String> {
    let change = from.pop()?;
    // What takes a change back was legal before it: it cannot be refused.
    let back = piece.apply(&change.back).ok()?;
    let said = change.said.clone();
    to.push(Change { back, said: change.said });
    Some(said)
}

fn others_aside(filter: &Filter) -> Filter {
    Filter { builds: Vec::new(), ..filter.clone() }
}

/// A filter with the piece's build alone.
fn alone(piece: &Workpiece) -> Arc<Filter> {
    let builds = vec![Build::clone(&piece.build)];
    Arc::new(Filter { builds, ..Filter::clone(&piece.filter) })
}

/// The folder a file lies in, to be written before a name; empty for this one.
pub fn folder(path: &Path) -> PathBuf {
    path.parent().map(Path::to_path_buf).unwrap_or_default()
}
