//! The one table of actions: name, keys, help line, where it works, when it is allowed and why not. Footer,
//! help and the list of keys for the manual are drawn from it.

mod allowed;

use super::diff;
use super::key::Key;
use super::overlay::Overlay;
use super::report_asked;
use super::restack::{self, Do as Work, Over, allowed as may};
use super::screens::Screen;
use super::seek;
use super::sources::{self, Do as Look};
use super::state::State;
use super::tank_form::{self, Do};
use allowed::{
    always, can_go_back, can_suspend, holds_text, in_pane, marked, more_ranks, not_loading, not_on_builds,
    not_on_diff, not_on_ranking, not_on_restack, not_on_sources, not_on_tank, on_build, on_figure, on_line,
    ranks, redoes, rows, saves, scrolls, shown_column, undoes,
};

/// Something a key does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Action {
    /// Move the cursor by so many lines.
    Move(isize),
    /// Move the cursor by pages.
    Page(isize),
    /// To the first line.
    First,
    /// To the last line.
    Last,
    /// Move to another column.
    Column(isize),
    /// Sort by the column under the cursor, or turn it round.
    Sort,
    /// Mark or unmark.
    Mark,
    /// Unmark all.
    Unmark,
    /// Type to narrow the list.
    Narrow,
    /// Turn to another pane.
    Pane(isize),
    /// Scroll the pane in focus, or what lies over the screen.
    Scroll(isize),
    /// Choose columns.
    Columns,
    /// Show or hide the column under the cursor in the list of columns.
    Toggle,
    /// Move a column among the columns.
    Shift(isize),
    /// Explain the figure under the cursor.
    Explain,
    /// Compare.
    Diff,
    /// Show also what is the same, or only what differs.
    All,
    /// Choose another weight.
    Weight(isize),
    /// Move the weight under the cursor.
    Weigh(isize),
    /// Back to the tank's own weights.
    OwnWeights,
    /// Work in the trays.
    Restack(restack::Do),
    /// Work on the tank.
    Tank(tank_form::Do),
    /// Look through the sources.
    Sources(sources::Do),
    /// To a screen.
    Screen(Screen),
    /// To another screen.
    Turn(isize),
    /// Copy the pane.
    Copy,
    /// Copy the figure under the cursor, or its row.
    CopyHere,
    /// Go to the line that holds what is typed.
    Seek,
    /// To the next one that holds it.
    SeekNext,
    /// Write a report.
    Report,
    /// Other units.
    Units,
    /// Read the files again.
    Load,
    /// Leave the mouse to the terminal, or take it back.
    Mouse,
    /// Help.
    Help,
    /// One step back.
    Back,
    /// Draw afresh.
    Redraw,
    /// Suspend.
    Suspend,
    /// Leave.
    Quit,
}

/// Where an action works.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// Builds, with the table or a pane in focus.
    Builds,
    /// Diff.
    Diff,
    /// Ranking.
    Ranking,
    /// Restack.
    Restack,
    /// The picker of media on Restack.
    Picker,
    /// Proposals on Restack.
    Proposals,
    /// Tank.
    Tank,
    /// Tank, with the list of tanks to start from in view.
    Tanks,
    /// Sources.
    Sources,
    /// An explanation lies over the screen.
    Explain,
    /// The list of columns lies over the screen.
    Columns,
}

/// One row of the table.
#[derive(Clone, Copy)]
pub struct Row {
    /// What it does.
    pub action: Action,
    /// Its own word, for a file of keys and for typing it: the same wherever it means the same, and one in a
    /// place.
    pub name: &'static str,
    /// The names of its keys unless a file of keys says otherwise, a space between them.
    pub keys: &'static str,
    /// A word or two for the footer; empty: not shown there.
    pub short: &'static str,
    /// What will happen, for help.
    pub says: &'static str,
    /// Where it works.
    pub places: &'static [Place],
    /// Whether it is allowed now, and why not.
    pub allowed: fn(&State) -> Result<(), &'static str>,
}

impl Row {
    /// The keys that ship with it; those in force are [`super::keys::Keys::of`].
    pub fn key_list(&self) -> impl Iterator<Item = Key> + '_ {
        self.keys.split(' ').filter_map(Key::named)
    }
}

use Place::{Builds, Columns, Diff, Explain, Picker, Proposals, Ranking, Restack, Sources, Tank, Tanks};

/// The screens that list figures.
const FIGURES: &[Place] = &[Builds, Diff];
const SCREENS: &[Place] = &[Builds, Diff, Ranking, Restack, Picker, Proposals, Tank, Tanks, Sources];
/// Every place.
pub const ALL: &[Place] =
    &[Builds, Diff, Ranking, Restack, Picker, Proposals, Tank, Tanks, Sources, Explain, Columns];
/// Lists that are not narrowed: one goes to a line of them.
const SOUGHT: &[Place] = &[Diff, Ranking, Tank, Tanks, Columns];
/// Lists of the screens Tank and Sources.
const LISTS: &[Place] = &[Tank, Tanks, Sources];
/// What lies in the trays, and what may be put there.
const TRAYS: &[Place] = &[Restack, Picker, Proposals];

macro_rules! table {
    ($($action:expr, $name:literal, $keys:literal, $short:literal, $says:literal, $places:expr, $allowed:expr;)+) => {
        /// The table. Its order is the footer's and help's.
        pub const ACTIONS: &[Row] = &[$(Row {
            action: $action, name: $name, keys: $keys, short: $short, says: $says, places: $places, allowed: $allowed,
        }),+];
    };
}

table! {
    Action::Move(-1), "up", "up k", "", "one line up; in another pane than the list, scroll it up", TRAYS, may::list;
    Action::Move(1), "down", "down j", "choose", "one line down; in another pane than the list, scroll it down", TRAYS, may::list;
    Action::Page(-1), "page_up", "pageup", "", "one page up", TRAYS, may::list;
    Action::Page(1), "page_down", "pagedown", "", "one page down", TRAYS, may::list;
    Action::First, "first", "home", "", "to the first line", TRAYS, may::list;
    Action::Last, "last", "end", "", "to the last line", TRAYS, may::list;
    Action::Restack(Work::Pick), "take", "enter space", "take it", "lay this medium, or put it in the place of the old one", &[Picker], may::pick;
    Action::Restack(Work::Narrow), "narrow_media", "/", "narrow", "type to keep only media that hold what you type, by name or role", &[Picker], always;
    Action::Restack(Work::Take), "take", "enter space", "take it", "pack the working copy as proposed, as one change that can be taken back", &[Proposals], may::proposed;
    Action::Restack(Work::Scroll(1)), "scroll_down", "]", "scroll", "scroll down", &[Proposals], may::scrolls;
    Action::Restack(Work::Scroll(-1)), "scroll_up", "[", "", "scroll up", &[Proposals], may::scrolls;
    Action::Explain, "explain_measure", "e", "explain", "show how the measure under the cursor in the measures pane came about, for the working copy", &[Restack], restack::measures::allowed;
    Action::Restack(Work::Add), "add", "a", "add", "add a layer behind the one under the cursor, along the water; on a tray's own line as its first", &[Restack], may::work;
    Action::Restack(Work::Remove), "remove", "x delete", "remove", "take the layer out", &[Restack], may::layer;
    Action::Restack(Work::Shift(false)), "layer_back", "K shift-up", "", "move the layer one place back, against the water, also into the tray before", &[Restack], may::layer;
    Action::Restack(Work::Shift(true)), "layer_on", "J shift-down", "move", "move the layer one place on along the water, also into the next tray", &[Restack], may::layer;
    Action::Restack(Work::Trim(-1)), "thinner", "left <", "", "thinner by 1 mm (20 ml or 10 g where it is laid by volume or mass)", &[Restack], may::layer;
    Action::Restack(Work::Trim(1)), "thicker", "right >", "1 mm", "thicker by 1 mm (20 ml or 10 g where it is laid by volume or mass)", &[Restack], may::thicker;
    Action::Restack(Work::Cut(-1)), "thinner_more", "-", "", "thinner, to the next 5 mm (0.1 l or 50 g)", &[Restack], may::layer;
    Action::Restack(Work::Cut(1)), "thicker_more", "+ =", "5 mm", "thicker, to the next 5 mm (0.1 l or 50 g)", &[Restack], may::thicker;
    Action::Restack(Work::Type), "amount", "enter", "type", "type the amount: 25 mm, 0.9 l, 400 g or rest; on a tray's own line the gap of its seal", &[Restack], may::typed;
    Action::Restack(Work::Fill), "to_the_top", "t", "to the top", "fill what the tray has left with this layer", &[Restack], may::fill;
    Action::Restack(Work::Swap), "swap", "s", "swap", "put another medium in this layer's place", &[Restack], may::layer;
    Action::Restack(Work::Undo), "undo", "z", "undo", "take the last change back, without end", &[Restack], may::undo;
    Action::Restack(Work::Redo), "redo", "Z ctrl-y", "redo", "make again what was taken back", &[Restack], may::redo;
    Action::Restack(Work::Propose), "propose", "b", "propose", "look for better stacks for this tank, from all media or what is on hand (o)", &[Restack], may::propose;
    Action::Restack(Work::Save), "save", "S", "save", "save the working copy as a new build in a new file; the source stays as it is", &[Restack], may::save;
    Action::Restack(Work::Pane(1)), "next_pane", "p", "pane", "turn to the next pane: list, measures, section", &[Restack], may::work;
    Action::Restack(Work::Pane(-1)), "pane_before", "P", "", "turn back to the pane before", &[Restack], may::work;
    Action::Restack(Work::Gap(-1)), "less_slack", "[", "", "less slack at the pad's edge, by 0.5 mm; on a tray's own line a closer seal, by 0.05 mm", &[Restack], may::narrower;
    Action::Restack(Work::Gap(1)), "more_slack", "]", "slack", "more slack at the pad's edge, by 0.5 mm; on a tray's own line a wider gap of its seal, by 0.05 mm", &[Restack], may::gap;
    Action::Restack(Work::TypeGap), "slack", "g", "", "type the slack at the pad's edge; on a tray's own line the gap of its seal", &[Restack], may::gap;
    Action::Restack(Work::Seal), "seal", "c", "seal", "the tray's seal: a lip in order, worn, or missing, with a gap that goes with it", &[Restack], may::tray;
    Action::Restack(Work::Hole), "hole", "h", "", "type the width of a hole through the layer", &[Restack], may::layer;
    Action::Restack(Work::Mend), "mend_hole", "H", "mend hole", "no hole: a whole pad in its place", &[Restack], may::hole;
    Action::Restack(Work::Dimples), "dimples", "d", "", "turn the pad's dimples: none, towards the water, away from it, both", &[Restack], may::pad;
    Action::Restack(Work::Squeeze), "squeeze", "%", "", "type how far the pad is pressed", &[Restack], may::pad;
    Action::Restack(Work::OnHand), "on_hand", "o", "on hand", "picker and propose: only what is on hand, comes with the unit or lies in the build, or all media", TRAYS, may::work;
    Action::Restack(Work::Rename), "rename", "n", "", "give the build another name", &[Restack], may::work;
    Action::Restack(Work::Afresh), "afresh", "f", "", "begin afresh with the build under the cursor on Builds", &[Restack], may::afresh;
    Action::Move(-1), "up", "up k", "", "one line up", LISTS, always;
    Action::Move(1), "down", "down j", "choose", "one line down", &[Tanks, Sources], always;
    Action::Move(1), "down", "down j", "", "one line down", &[Tank], always;
    Action::Tank(Do::Edit), "edit", "enter", "edit", "type into the field under the cursor: Enter, ↑ or ↓ take what was typed, Esc drops it; it is checked as you type", &[Tank], always;
    Action::Tank(Do::Step(-1)), "step_down", "left - h", "", "the word before, or the figure one step less; every build is judged again at once", &[Tank], always;
    Action::Tank(Do::Step(1)), "step_up", "right + l", "step", "the next word, or the figure one step more; every build is judged again at once", &[Tank], always;
    Action::Tank(Do::Choose), "other_tank", "o", "tanks", "choose another tank: one that was found, one that ships, an empty form, or none", &[Tank], always;
    Action::Tank(Do::Save), "save", "S", "save", "save the tank in a new file, which is the tank next time; nothing is ever written over", &[Tank], saves;
    Action::Tank(Do::Undo), "undo", "z", "undo", "take the last change back", &[Tank], undoes;
    Action::Tank(Do::Redo), "redo", "Z", "redo", "make it again", &[Tank], redoes;
    Action::Tank(Do::Clear), "leave_out", "delete backspace", "leave out", "leave the field under the cursor out", &[Tank], holds_text;
    Action::Tank(Do::Start), "take", "enter", "take it", "take the chosen tank; the form before can be brought back", &[Tanks], always;
    Action::Sources(Look::Search), "search", "/", "search", "type to keep only what holds it; Enter keeps it, Esc clears it", &[Sources], always;
    Action::Sources(Look::Kind), "whose", "f", "whose", "only what is published, only common practice, only ours, or all", &[Sources], always;
    Action::Sources(Look::Part(1)), "next_part", "p", "part", "to the next part: constants, words of doubt, media, fittings, cautions, what is left out", &[Sources], always;
    Action::Sources(Look::Part(-1)), "part_before", "P", "", "to the part before", &[Sources], always;
    Action::Sources(Look::Whole), "whole", "e enter", "whole", "show the entry under the cursor whole, with the measures that use it; again: the list", &[Sources], always;
    Action::Page(-1), "page_up", "pageup", "", "one page up", LISTS, always;
    Action::Page(1), "page_down", "pagedown", "", "one page down", LISTS, always;
    Action::First, "first", "home", "", "to the first line", LISTS, always;
    Action::Last, "last", "end", "", "to the last line", LISTS, always;
    Action::Move(-1), "up", "up k", "", "one line up", &[Builds, Diff, Columns], rows;
    Action::Move(1), "down", "down j", "choose", "one line down", &[Builds, Diff, Columns], rows;
    Action::Pane(1), "next_pane", "p", "pane", "turn to the next pane: table, section, staging, head budget, curve, open by, notes", &[Builds], always;
    Action::Pane(-1), "pane_before", "P", "", "turn back to the pane before", &[Builds], always;
    Action::Scroll(1), "scroll_down", "] shift-down", "scroll", "scroll the pane in focus down", &[Builds], in_pane;
    Action::Scroll(-1), "scroll_up", "[ shift-up", "", "scroll the pane in focus up", &[Builds], in_pane;
    Action::Page(-1), "page_up", "pageup", "", "one page up; in a pane, scroll it up", FIGURES, rows;
    Action::Page(1), "page_down", "pagedown", "", "one page down; in a pane, scroll it down", FIGURES, rows;
    Action::First, "first", "home", "", "to the first line", &[Builds, Diff, Columns], rows;
    Action::Last, "last", "end", "", "to the last line", &[Builds, Diff, Columns], rows;
    Action::Mark, "mark", "space", "mark", "mark the build under the cursor for comparing, or unmark it", &[Builds], on_build;
    Action::Sort, "sort", "s", "sort", "sort by the column under the cursor; again turns it round; the order before stays as second key", &[Builds], rows;
    Action::Narrow, "narrow", "/", "narrow", "type to keep only rows that hold what you type; Enter keeps it, Esc clears it", &[Builds], always;
    Action::Diff, "diff", "d", "diff", "put the marked builds side by side (two to four, or the marked one and the one under the cursor)", &[Builds], diff::allowed;
    Action::Explain, "explain", "e enter", "explain", "show how the figure under the cursor came about, or why it cannot be told", FIGURES, on_figure;
    Action::Column(-1), "left", "left < h", "", "to the column on the left", FIGURES, rows;
    Action::Column(1), "right", "right > l", "column", "to the column on the right", FIGURES, rows;
    Action::Weight(-1), "left", "left < h", "", "to the weight on the left", &[Ranking], ranks;
    Action::Weight(1), "right", "right > l", "which weight", "to the weight on the right", &[Ranking], ranks;
    Action::Weigh(1), "more", "up + k", "", "let the weight under the cursor count more; the ranks follow at once", &[Ranking], ranks;
    Action::Weigh(-1), "less", "down - j", "more or less", "let the weight under the cursor count less; the ranks follow at once", &[Ranking], ranks;
    Action::OwnWeights, "own_weights", "o", "tank's weights", "back to the tank's own weights", &[Ranking], ranks;
    Action::Scroll(1), "scroll_down", "] shift-down", "scroll", "scroll down", &[Ranking], more_ranks;
    Action::Scroll(-1), "scroll_up", "[ shift-up", "", "scroll up", &[Ranking], more_ranks;
    Action::Scroll(10), "page_down", "pagedown", "", "scroll down a page", &[Ranking], more_ranks;
    Action::Scroll(-10), "page_up", "pageup", "", "scroll up a page", &[Ranking], more_ranks;
    Action::Scroll(1), "down", "down j", "scroll", "scroll down", &[Explain], scrolls;
    Action::Scroll(-1), "up", "up k", "", "scroll up", &[Explain], scrolls;
    Action::Scroll(10), "page_down", "pagedown", "", "scroll down a page", &[Explain], scrolls;
    Action::Scroll(-10), "page_up", "pageup", "", "scroll up a page", &[Explain], scrolls;
    Action::Toggle, "toggle", "space enter", "show or hide", "show or hide the measure as a column", &[Columns], always;
    Action::Shift(-1), "left", "left < h", "", "move the column one place to the left", &[Columns], shown_column;
    Action::Shift(1), "right", "right > l", "move it", "move the column one place to the right", &[Columns], shown_column;
    Action::All, "all", "a", "all or differing", "show also what is the same, or only what differs", &[Diff], diff::allowed;
    Action::Columns, "columns", "c", "columns", "choose which measures are shown as columns, and in which order", &[Builds], always;
    Action::Unmark, "unmark", "x", "unmark all", "unmark every build", FIGURES, marked;
    Action::Copy, "copy", "y", "copy", "copy what the pane in focus holds as plain text: to the system's clipboard, or through the terminal (over ssh too, where the terminal allows it)", &[Builds, Diff, Ranking, Restack, Picker, Proposals, Tank, Sources, Explain], always;
    Action::CopyHere, "copy_here", "Y", "", "copy the figure under the cursor whole; on the name the whole row", FIGURES, on_line;
    Action::Seek, "seek", "/", "", "type to go to the line that holds it; Enter stays there, Esc goes back", SOUGHT, always;
    Action::SeekNext, "seek_next", "n", "", "to the next line that holds it", SOUGHT, seek::allowed;
    Action::Report, "report", "w", "report", "write the report of all builds for this tank into a folder: one page with pictures, the table and the data", &[Builds, Diff, Ranking], report_asked::allowed;
    Action::Units, "units", "u", "units", "metric, US or UK units; files and machine output never change", SCREENS, always;
    Action::Screen(Screen::Builds), "builds", "1", "", "to the screen Builds", SCREENS, not_on_builds;
    Action::Screen(Screen::Diff), "diff_screen", "2", "", "to the screen Diff", SCREENS, not_on_diff;
    Action::Screen(Screen::Ranking), "ranking", "3", "", "to the screen Ranking", SCREENS, not_on_ranking;
    Action::Screen(Screen::Restack), "restack", "4", "", "to the screen Restack", SCREENS, not_on_restack;
    Action::Screen(Screen::Tank), "tank", "5", "", "to the screen Tank", SCREENS, not_on_tank;
    Action::Screen(Screen::Sources), "sources", "6", "", "to the screen Sources", SCREENS, not_on_sources;
    Action::Turn(1), "next_screen", "tab", "", "to the next screen", SCREENS, always;
    Action::Turn(-1), "screen_before", "backtab", "", "to the screen before", SCREENS, always;
    Action::Load, "read_again", "r", "", "read the files again; cursor, marks and order stay", SCREENS, not_loading;
    Action::Mouse, "mouse", "m", "", "leave the mouse to the terminal, so that it selects text by itself; again takes it back", SCREENS, always;
    Action::Redraw, "redraw", "ctrl-l", "", "draw the screen afresh", ALL, always;
    Action::Suspend, "suspend", "ctrl-z", "", "hand the terminal to the shell until `fg`", ALL, can_suspend;
    Action::Back, "back", "esc", "back", "one step back; never leaves the program", ALL, can_go_back;
    Action::Help, "help", "?", "help", "help for the pane in focus; type to search it, Enter does what is chosen", SCREENS, always;
    Action::Quit, "leave", "q ctrl-c", "leave", "leave the program; asked once more where something is unsaved, but Ctrl-C leaves at once", ALL, always;
}

/// Where keys go now; none while they go into a line of text.
pub fn place(state: &State) -> Option<Place> {
    match &state.overlay {
        Some(Overlay::Help { .. }) => None,
        Some(Overlay::Explain { .. }) => Some(Place::Explain),
        _ if state.line.is_some() => None,
        Some(Overlay::Columns { .. }) => Some(Place::Columns),
        None if state.typing => None,
        None => Some(behind(state)),
    }
}

/// The place behind whatever lies over the screen.
pub fn behind(state: &State) -> Place {
    match state.screen {
        Screen::Builds => Place::Builds,
        Screen::Diff => Place::Diff,
        Screen::Ranking => Place::Ranking,
        Screen::Restack => match state.restack.over() {
            Over::Nothing => Place::Restack,
            Over::Picker => Place::Picker,
            Over::Proposals => Place::Proposals,
        },
        Screen::Tank if state.tank_form.choosing => Place::Tanks,
        Screen::Tank => Place::Tank,
        Screen::Sources => Place::Sources,
    }
}

/// The actions of a place, in the table's order.
pub fn of_place(place: Place) -> impl Iterator<Item = &'static Row> {
    ACTIONS.iter().filter(move |row| row.places.contains(&place))
}

/// The first row of that name.
pub fn named(name: &str) -> Option<&'static Row> {
    ACTIONS.iter().find(|row| row.name == name)
}

/// What a key does now.
pub fn for_key(state: &State, key: Key) -> Option<&'static Row> {
    of_place(place(state)?).find(|row| state.keys.of(row).contains(&key))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_key_reads_and_means_one_thing_in_a_place() {
        for place in ALL {
            let mut seen: Vec<Key> = Vec::new();
            let mut names: Vec<&str> = Vec::new();
            for row in of_place(*place) {
                assert!(row.name.chars().all(|c| c.is_ascii_lowercase() || c == '_') && !row.name.is_empty());
                assert!(!names.contains(&row.name), "{} twice in {place:?}", row.name);
                names.push(row.name);
                assert_eq!(row.keys.split(' ').count(), row.key_list().count(), "{}", row.keys);
                assert!(!row.says.is_empty());
                for key in row.key_list() {
                    assert!(!seen.contains(&key), "{} twice in {place:?}", key.label());
                    seen.push(key);
                }
            }
        }
    }
}
