//! The Restack screen: the trays of one build as a list to work in, beside the build as it was.

pub mod allowed;
pub mod areas;
pub mod asks;
pub mod background;
mod change;
mod edits;
pub mod list;
pub mod measures;
pub mod picker;
pub mod proposals;
pub mod save;
mod take;
pub mod typed;
pub mod work;

use std::sync::Arc;

use super::effect::Effect;
use super::layout;
use super::line::{Done, Goal, Line as Typed};
use super::screens;
use super::state::State;
use crate::library::Library;
use crate::model::medium::Medium;
use asks::Ask;
use picker::Picker;
use proposals::Proposals;
use typed::Typing;
use work::{Source, Work};

pub use change::{act, too_high};
pub use take::{answer, taken};

/// What a key does on the Restack screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Do {
    /// Turn to another pane.
    Pane(isize),
    /// Add a layer.
    Add,
    /// Take the layer out.
    Remove,
    /// Put another medium in its place.
    Swap,
    /// Move the layer along the water, or back.
    Shift(bool),
    /// Thicker or thinner by so many small steps.
    Trim(i32),
    /// Thicker or thinner by so many wide steps.
    Cut(i32),
    /// Fill what is left.
    Fill,
    /// Type the amount, or on a tray the gap of its seal.
    Type,
    /// Slack, or the gap of a seal, wider or narrower.
    Gap(i32),
    /// Type slack, or the gap of a seal.
    TypeGap,
    /// Type the hole.
    Hole,
    /// Mend the hole.
    Mend,
    /// Turn the dimples.
    Dimples,
    /// Type how far a pad is pressed.
    Squeeze,
    /// The next condition of the seal.
    Seal,
    /// Take a change back.
    Undo,
    /// Make it again.
    Redo,
    /// Only what is on hand, or all media.
    OnHand,
    /// Look for stacks.
    Propose,
    /// Save in a new file.
    Save,
    /// Another name.
    Rename,
    /// Begin afresh with the build under the cursor on Builds.
    Afresh,
    /// Take what is chosen in the picker.
    Pick,
    /// Narrow the picker.
    Narrow,
    /// Take the chosen proposal.
    Take,
    /// Scroll the proposals, or the pane in focus.
    Scroll(isize),
}

/// A pane of the screen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Pane {
    /// Floor and trays as a list.
    #[default]
    List,
    /// Every measure, beside the build as it was.
    Measures,
    /// The vessel cut open.
    Section,
}

impl Pane {
    /// All of them, in the order in which `p` turns them.
    pub const ALL: [Self; 3] = [Self::List, Self::Measures, Self::Section];

    /// The one so many places on.
    pub fn step(self, by: isize) -> Self {
        let at = Self::ALL.iter().position(|p| *p == self).unwrap_or(0);
        Self::ALL.get(screens::round(at, by, Self::ALL.len())).copied().unwrap_or_default()
    }
}

/// What the screen knows.
#[derive(Clone, Debug)]
pub struct Restack {
    /// Media there are, beside those that profiles bring along.
    pub media: Vec<Arc<Medium>>,
    /// Media of the lists among the files read.
    pub listed: Vec<Arc<Medium>>,
    /// What is listed is the built-in demo, which lies in no folder.
    pub demo: bool,
    /// The working copy.
    pub work: Option<Box<Work>>,
    /// The pane in focus.
    pub pane: Pane,
    /// The chosen line of the list.
    pub cursor: usize,
    /// First line of the list in the window.
    pub top: usize,
    /// How far measures or section are scrolled.
    pub scroll: usize,
    /// The chosen one of the measures shown.
    pub measure: usize,
    /// Only what is on hand, in picker and search.
    pub on_hand: bool,
    /// The picker, while it is open.
    pub picker: Option<Picker>,
    /// The proposals, while they are open.
    pub proposals: Option<Proposals>,
    /// What a line is typed for.
    pub typing: Option<Typing>,
    /// The screen was entered with the key in hand.
    pub entered: bool,
    /// The round of judging at which the source was looked at.
    looked: Option<u64>,
    /// Number of the newest question of figures.
    judged: u64,
    /// Number of the newest search.
    searched: u64,
    /// Number of the newest file.
    written: u64,
    /// Number of the newest question of how a figure came about.
    explained: u64,
}

impl Default for Restack {
    fn default() -> Self {
        Self {
            media: Library::shipped().media().map(Arc::clone).collect(),
            listed: Vec::new(),
            demo: false,
            work: None,
            pane: Pane::List,
            cursor: 0,
            top: 0,
            scroll: 0,
            measure: 0,
            on_hand: false,
            picker: None,
            proposals: None,
            typing: None,
            entered: false,
            looked: None,
            judged: 0,
            searched: 0,
            written: 0,
            explained: 0,
        }
    }
}

impl Restack {
    /// The working copy has changes that no file holds.
    pub fn unsaved(&self) -> bool {
        self.work.as_ref().is_some_and(|w| w.unsaved())
    }
    /// Figures or a search are on their way.
    pub fn waits(&self) -> bool {
        self.proposals.as_ref().is_some_and(|p| p.searching.is_some())
            || self.work.as_ref().is_some_and(|w| w.now.judged.is_none())
    }
    /// What is on the screen in the list's place.
    pub fn over(&self) -> Over {
        match (&self.picker, &self.proposals) {
            (Some(_), _) => Over::Picker,
            (None, Some(_)) => Over::Proposals,
            _ => Over::Nothing,
        }
    }
}

/// What stands in the list's place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Over {
    /// The list itself.
    Nothing,
    /// The picker.
    Picker,
    /// The proposals.
    Proposals,
}

/// What a line is typed for, if one is typed here.
pub fn typing(state: &State) -> Option<Typing> {
    state.line.as_ref().filter(|l| l.goal == Goal::Restack).and(state.restack.typing)
}

/// Moves whichever cursor is on top.
pub fn step(state: &mut State, by: isize) {
    let moved = |from: usize, len: usize| from.saturating_add_signed(by).min(len.saturating_sub(1));
    match state.restack.over() {
        Over::Picker => {
            let len = picker::choices(state).len();
            if let Some(picker) = &mut state.restack.picker {
                picker.cursor = moved(picker.cursor, len);
            }
        }
        Over::Proposals => {
            if let Some(p) = &mut state.restack.proposals {
                p.cursor = moved(p.cursor, p.found.len());
                p.top = 0;
            }
        }
        Over::Nothing if state.restack.pane == Pane::List => {
            let len = line_count(state);
            state.restack.cursor = moved(state.restack.cursor, len);
        }
        Over::Nothing if state.restack.pane == Pane::Measures => measures::step(state, by),
        Over::Nothing => scroll(state, by),
    }
    keep(state);
}

/// Scrolls the pane in focus, or the proposals.
pub fn scroll(state: &mut State, by: isize) {
    let most = state.drawn.pane;
    let restack = &mut state.restack;
    let top = restack.proposals.as_mut().map_or(&mut restack.scroll, |p| &mut p.top);
    *top = top.saturating_add_signed(by).min(most);
}

/// Moves by windows.
pub fn page(state: &mut State, by: isize) {
    if state.restack.over() == Over::Proposals {
        return scroll(state, by.saturating_mul(10));
    }
    let rows = isize::try_from(areas::list_rows(state).max(2) - 1).unwrap_or(1);
    step(state, by.saturating_mul(rows));
}

/// Puts the cursor on what stands at a cell, and the pane there in focus.
pub fn press(state: &mut State, x: u16, y: u16) {
    let Some((pane, area)) = areas::at(state, x, y) else { return };
    state.restack.pane = pane;
    if pane != Pane::List {
        return keep(state);
    }
    let inner = area.inner();
    let Some(row) = y.checked_sub(inner.y + areas::LIST_HEAD).map(usize::from) else { return };
    if row >= areas::list_rows(state) {
        return;
    }
    let choices = picker::choices(state).len();
    if let Some(picker) = &mut state.restack.picker {
        if picker.top + row < choices {
            picker.cursor = picker.top + row;
        }
    } else if state.restack.proposals.is_none() && state.restack.top + row < line_count(state) {
        state.restack.cursor = state.restack.top + row;
    }
    keep(state);
}

/// The wheel over a pane.
pub fn wheel(state: &mut State, x: u16, y: u16, by: isize) {
    match areas::at(state, x, y) {
        Some((pane, _)) if pane == state.restack.pane => match (pane, state.restack.over()) {
            (Pane::List, Over::Proposals) => scroll(state, by * 3),
            (Pane::List, _) => step(state, by),
            _ => scroll(state, by * 3),
        },
        // How far another pane can scroll is known once it is in focus and drawn.
        Some((pane, _)) => state.restack.pane = pane,
        None => {}
    }
}

fn line_count(state: &State) -> usize {
    state.restack.work.as_ref().map_or(0, |w| list::lines(&list::spaces(&w.piece)).len())
}

/// Keeps cursors and windows within what there is.
pub fn keep(state: &mut State) {
    let rows = areas::list_rows(state);
    let (lines, choices) = (line_count(state), picker::choices(state).len());
    let restack = &mut state.restack;
    restack.cursor = restack.cursor.min(lines.saturating_sub(1));
    restack.top = layout::keep_row_in_window(restack.top, restack.cursor, rows, lines);
    if let Some(picker) = &mut restack.picker {
        picker.cursor = picker.cursor.min(choices.saturating_sub(1));
        picker.top = layout::keep_row_in_window(picker.top, picker.cursor, rows, choices);
    }
    if let Some(p) = &mut restack.proposals {
        p.cursor = p.cursor.min(p.found.len().saturating_sub(1));
    }
}

/// After anything happened while the screen is in view: the working copy follows the build chosen on Builds, its
/// file, the tank, and asks for its figures.
pub fn follow(state: &mut State) -> Vec<Effect> {
    let here = state.here().cloned();
    let round = state.round;
    let restack = &mut state.restack;
    let entered = std::mem::take(&mut restack.entered);
    let busy = restack.over() != Over::Nothing || restack.typing.is_some() && state.line.is_some();
    if restack.looked != Some(round)
        && let Some(work) = &mut restack.work
    {
        work.look_at_source(&state.entries);
        restack.looked = Some(round);
    }
    let of_another = |w: &Work| here.as_ref().is_some_and(|e| !w.is_of(e)) || w.source == Source::Changed;
    let afresh = match &restack.work {
        None => true,
        // What was undone or saved is kept as long as the screen is not left: it can still be made again.
        Some(work) => {
            let let_go = entered || (work.changes() == 0 && work.taken_back() == 0);
            !busy && let_go && !work.unsaved() && of_another(work)
        }
    };
    if afresh && let Some(work) = here.as_ref().and_then(|e| Work::new(e, state.tank.as_ref())) {
        begin(state, work);
    }
    let restack = &mut state.restack;
    let Some(work) = &mut restack.work else { return Vec::new() };
    let tanks = (work.piece.tank.as_ref(), state.tank.as_ref());
    if !matches!(tanks, (None, None)) && !matches!(tanks, (Some(a), Some(b)) if Arc::ptr_eq(a, b)) {
        work.take_tank(state.tank.as_ref());
    }
    // What the list knows already need not be worked out again.
    if work.source == Source::Same
        && let Some(entry) = state.entries.iter().find(|e| work.is_of(e))
    {
        if work.before.judged.is_none() {
            work.before.judged.clone_from(&entry.judged);
        }
        if let (None, Some(known)) = (work.before.simulated(), entry.simulated()) {
            work.before.simulate(Arc::clone(known));
        }
    }
    if !work.stale || !work.piece.unfit().is_empty() {
        return Vec::new();
    }
    restack.judged += 1;
    work.stale = false;
    work.asked = (restack.judged, work.alone());
    let ask = asks::Judge {
        number: restack.judged,
        before: Arc::clone(&work.before.filter),
        before_wanted: (work.before.judged.is_none(), work.before.simulated().is_none()),
        now: Arc::clone(&work.asked.1),
        tank: state.tank.clone(),
    };
    vec![Effect::Restack(Ask::Judge(Box::new(ask)))]
}

/// Begins with another working copy.
fn begin(state: &mut State, work: Work) {
    let restack = &mut state.restack;
    restack.work = Some(Box::new(work));
    (restack.cursor, restack.top, restack.scroll) = (0, 0, 0);
    restack.picker = None;
    restack.proposals = None;
    restack.typing = None;
    // Whatever is still being looked for was for another stack.
    restack.searched += 1;
    restack.looked = Some(state.round);
    // Working on it is choosing it: the cursor on Builds stays there when rows move.
    state.chosen = true;
    keep(state);
}

/// Begins to type a line.
fn type_line(state: &mut State, what: Typing, text: &str) {
    state.restack.typing = Some(what);
    state.line = Some(Typed::new(Goal::Restack, text));
}

/// One step back on this screen; whether there was one, and what it asks for.
pub fn back(state: &mut State) -> Option<Vec<Effect>> {
    if let Some(picker) = &mut state.restack.picker {
        if picker.wanted.is_empty() {
            state.restack.picker = None;
        } else {
            picker.wanted.clear();
        }
        keep(state);
        return Some(Vec::new());
    }
    proposals::back(state)
}

/// A line that is done with, apart from what it was typed for.
fn dropped(done: Done) -> bool {
    matches!(done, Done::Drop | Done::No)
}
