//! The one table of actions: name, what it does, keys, help line, where it works, when it is allowed and why not.
//! Footer, help and the list of keys for the manual are drawn from it.

use super::screens::restack::{self, allowed as may, areas, change, measures, proposals};
use super::screens::{self, builds, columns, compare, explained, filter, log, ranking, reply, sources, tank};
use super::tabs::ALL_PLACES;
use super::{
    Effect, Key, May, Overlay, Place, State, Tab, form as forms, go, moves, report, seek, tank_form as form,
};

#[derive(Clone, Copy)]
pub struct Action {
    /// Its own word, for a file of keys and for typing it: the same wherever it means the same, and one in a
    /// place.
    pub name: &'static str,
    /// Does it; asked only where it is allowed.
    pub run: fn(&mut State),
    /// The names of its keys unless a file of keys says otherwise, a space between them.
    pub keys: &'static str,
    /// A word or two for the footer; empty: not shown there.
    pub short: &'static str,
    pub says: &'static str,
    pub places: &'static [Place],
    /// Whether it is allowed now, and why not.
    pub allowed: fn(&State) -> May,
}

impl Action {
    /// The keys that ship with it; those in force are [`super::key::Keys::of`].
    pub fn key_list(&self) -> impl Iterator<Item = Key> + '_ {
        self.keys.split(' ').filter_map(Key::named)
    }
}

#[allow(clippy::unnecessary_wraps)] // stands in the table beside those that may refuse
fn always(_: &State) -> May {
    Ok(())
}

use Place::{
    Builds, Columns, Compare, Explain, Filter, Picker, Proposals, Ranking, Reply, Restack, Sources, Tank,
    Tanks,
};
const FIGURES: &[Place] = &[Builds, Compare];
const SCREENS: &[Place] =
    &[Builds, Compare, Ranking, Restack, Picker, Proposals, Filter, Tank, Tanks, Sources];
/// Screens on which a digit goes to another; elsewhere it types.
const NUMBERED: &[Place] = &[Builds, Compare, Ranking, Picker, Proposals, Tanks, Sources];
/// Lists that are not narrowed: one goes to a line of them.
const SOUGHT: &[Place] = &[Compare, Ranking, Filter, Tank, Tanks, Columns, Proposals];
/// Forms, in which digits type.
const FORMS: &[Place] = &[Filter, Tank];
const LISTS: &[Place] = &[Filter, Tank, Tanks, Sources];
/// What lies in the trays, and what may be put there.
const TRAYS: &[Place] = &[Restack, Picker, Proposals];

macro_rules! table {
    ($($name:literal, $run:expr, $keys:literal, $short:literal, $says:literal, $places:expr, $allowed:expr;)+) => {
        pub const ACTIONS: &[Action] = &[$(Action {
            name: $name, run: $run, keys: $keys, short: $short, says: $says,
            places: $places, allowed: $allowed,
        }),+];
    };
}

table! {
    "up", |s| moves::step(s, -1), "up k", "", "one line up; in another pane than the list, scroll it up", TRAYS, may::list;
    "down", |s| moves::step(s, 1), "down j", "choose", "one line down; in another pane than the list, scroll it down", TRAYS, may::list;
    "page_up", |s| moves::page(s, -1), "pageup", "", "one page up", TRAYS, may::list;
    "page_down", |s| moves::page(s, 1), "pagedown", "", "one page down", TRAYS, may::list;
    "first", moves::first, "home", "", "to the first line", TRAYS, may::list;
    "last", moves::last, "end", "", "to the last line", TRAYS, may::list;
    "take", change::pick, "enter space", "take it", "lay this medium, or put it in the place of the old one", &[Picker], may::pick;
    "narrow_media", change::narrow_media, "/", "search", "type to keep only media that hold what you type, by name or role", &[Picker], always;
    "take", proposals::take, "enter space", "take it", "pack the working copy as proposed, as one change that can be taken back", &[Proposals], may::proposed;
    "scroll_down", |s| areas::scroll(s, 1), "]", "scroll", "scroll down", &[Proposals], may::scrolls;
    "scroll_up", |s| areas::scroll(s, -1), "[", "", "scroll up", &[Proposals], may::scrolls;
    "explain_measure", measures::explain, "e", "explain", "show how the measure under the cursor in the measures pane came about, for the working copy", &[Restack], measures::allowed;
    "add", change::add, "a", "add", "add a layer on top of the one under the cursor; on a tray's own line at its bottom", &[Restack], may::work;
    "remove", change::remove, "x delete", "remove", "take the layer out", &[Restack], may::layer;
    "layer_up", |s| change::shift(s, true), "K shift-up", "", "move the layer one place up, also into the tray above", &[Restack], may::layer;
    "layer_down", |s| change::shift(s, false), "J shift-down", "move", "move the layer one place down, also into the tray below", &[Restack], may::layer;
    "thinner", |s| change::trim(s, -1, false), "left <", "", "thinner by 1 mm (20 ml or 10 g where it is laid by volume or mass)", &[Restack], may::layer;
    "thicker", |s| change::trim(s, 1, false), "right >", "1 mm", "thicker by 1 mm (20 ml or 10 g where it is laid by volume or mass)", &[Restack], may::thicker;
    "thinner_more", |s| change::trim(s, -1, true), "-", "", "thinner, to the next 5 mm (0.1 l or 50 g)", &[Restack], may::layer;
    "thicker_more", |s| change::trim(s, 1, true), "+ =", "5 mm", "thicker, to the next 5 mm (0.1 l or 50 g)", &[Restack], may::thicker;
    "amount", change::type_amount, "enter", "type", "type the amount: 25 mm, 0.9 l, 400 g or rest (a digit begins it anew); on a tray's own line the gap of its seal", &[Restack], may::typed;
    "to_the_top", change::fill, "t", "to the top", "fill what the tray has left with this layer", &[Restack], may::fill;
    "swap", change::swap, "s", "swap", "put another medium in this layer's place", &[Restack], may::layer;
    "undo", change::undo, "z", "undo", "take the last change back, without end", &[Restack], may::undo;
    "redo", change::redo, "Z ctrl-y", "redo", "make again what was taken back", &[Restack], may::redo;
    "propose", proposals::start, "b", "better stacks", "look for better stacks for this tank, from all media or what is on hand (o)", &[Restack], may::propose;
    "save", change::save_as, "S", "save", "save the working copy as a new build in a new file; the source stays as it is", &[Restack], may::save;
    "next_pane", |s| restack::moves::turn(s, 1), "p", "pane", "turn to the next pane: stack, was → now, inside", &[Restack], may::work;
    "pane_before", |s| restack::moves::turn(s, -1), "P", "", "turn back to the pane before", &[Restack], may::work;
    "less_slack", |s| change::gap(s, -1), "[", "", "a narrower edge gap, by 0.5 mm; on a tray's own line a closer seal, by 0.05 mm", &[Restack], may::narrower;
    "more_slack", |s| change::gap(s, 1), "]", "edge gap", "a wider edge gap, by 0.5 mm; on a tray's own line a wider gap of its seal, by 0.05 mm", &[Restack], may::gap;
    "slack", change::type_gap, "G", "", "type the edge gap; on a tray's own line the gap of its seal", &[Restack], may::gap;
    "seal", change::seal, "c", "seal", "the tray's seal: sound, worn, or missing, with a gap that goes with it", &[Restack], may::tray;
    "hole", change::type_hole, "h", "", "type the width of a hole through the layer", &[Restack], may::layer;
    "mend_hole", change::mend, "H", "mend hole", "no hole: a whole pad in its place", &[Restack], may::hole;
    "compare", go::saved_against_source, "d", "compare", "set the saved stack beside the build as it was", &[Restack], may::work;
    "dimples", change::dimples, "D", "", "turn the pad's dimples: none, towards the water, away from it, both", &[Restack], may::pad;
    "squeeze", change::type_pressed, "%", "", "type how far the pad is pressed", &[Restack], may::pad;
    "on_hand", change::on_hand, "o", "on hand", "picker and better stacks: only what is on hand, comes with the unit or lies in the build, or all media", &[Restack, Picker], may::work;
    "on_hand", proposals::other_media, "o", "on hand or all", "look again among what is on hand, comes with the unit or lies in the build, or among all media", &[Proposals], may::work;
    "foam_only", proposals::foam_only, "B", "foam only", "look again for stacks without biological media as well, or for such as hold some", &[Proposals], may::work;
    "rename", change::rename, "n", "", "give the build another name", &[Restack], may::work;
    "afresh", change::afresh, "F", "", "begin afresh with the build under the cursor on Builds", &[Restack], may::afresh;
    "up", |s| moves::step(s, -1), "up k", "", "one line up", LISTS, always;
    "down", |s| moves::step(s, 1), "down j", "choose", "one line down", LISTS, always;
    "edit", forms::edit, "enter", "edit", "type into the field under the cursor, open its list, unfold an item or add to a list: 200, 40 gal, 5/8 in, ~30, 20-30 are understood; digits begin at once", FORMS, forms::allowed;
    "step_down", |s| forms::step(s, -1), "left - h", "", "the word before, or the figure one step less", FORMS, forms::allowed;
    "step_up", |s| forms::step(s, 1), "right + l", "pick", "the next word, or the figure one step more; a field that is left out begins", FORMS, forms::allowed;
    "known", forms::known, "i", "how known", "how the figure is known: printed, measured, guessed", FORMS, forms::allowed;
    "add", forms::list::add, "a", "add", "add to the list that the cursor is in: a tray, a layer, a fitting, a part to fix", FORMS, forms::list::allowed;
    "leave_out", forms::leave_out, "x delete backspace", "leave out", "leave the field out, or take the item out of its list", FORMS, forms::allowed;
    "scroll_down", |s| log::scroll(s, 1), "]", "scroll", "scroll down what the log says", &[Filter], log::scrolls;
    "scroll_up", |s| log::scroll(s, -1), "[", "", "scroll up what the log says", &[Filter], log::scrolls;
    "log", log::turn, "t", "log", "the log of the build: readings to add, and the model against them; again: the whole file", &[Filter], forms::allowed;
    "new", filter::begin, "n", "new", "a new filter from three numbers: the rest is assumed", &[Filter], always;
    "save", filter::name_file, "S", "save", "save the filter in a new file, or over one that is unchanged since it was saved here; a file written by hand is never written over", &[Filter], filter::saves;
    "undo", |s| forms::travel(s, true), "z", "undo", "take the last change back", FORMS, forms::undoes;
    "redo", |s| forms::travel(s, false), "Z", "redo", "make it again", FORMS, forms::redoes;
    "new", form::new, "n", "new", "a new tank: its volume makes it judge", &[Tank], always;
    "other_tank", form::choose, "o", "tanks", "choose another tank: one that was found, one that ships, an empty form, or none", &[Tank], always;
    "save", form::name_file, "S", "save", "save the tank in a new file, or over one that is unchanged since it was saved here; it is the tank next time", &[Tank], tank::saves;
    "take", form::start, "enter", "take it", "take the chosen tank; the form before can be brought back", &[Tanks], always;
    "search", sources::search, "/", "search", "type to keep only what holds it; Enter keeps it, Esc clears it", &[Sources], always;
    "whose", sources::whose, "f", "whose", "only what is published, only common practice, only ours, or all", &[Sources], always;
    "next_part", |s| sources::part(s, 1), "p", "part", "to the next part: constants, words for how sure a figure is, media, fittings, cautions, what is left out", &[Sources], always;
    "part_before", |s| sources::part(s, -1), "P", "", "to the part before", &[Sources], always;
    "whole", sources::whole, "e enter", "whole", "show the entry under the cursor whole, with the measures that use it; again: the list", &[Sources], always;
    "page_up", |s| moves::page(s, -1), "pageup", "", "one page up", LISTS, always;
    "page_down", |s| moves::page(s, 1), "pagedown", "", "one page down", LISTS, always;
    "first", moves::first, "home", "", "to the first line", LISTS, always;
    "last", moves::last, "end", "", "to the last line", LISTS, always;
    "up", |s| moves::step(s, -1), "up k", "", "one line up", &[Builds, Compare, Columns], moves::listed;
    "down", |s| moves::step(s, 1), "down j", "choose", "one line down", &[Builds, Compare, Columns], moves::listed;
    "next_pane", |s| builds::turn(s, 1), "p", "pane", "turn to the next pane: table, inside, what slows the flow, media order, pump curve, when to open, suits up to, notes", &[Builds], always;
    "view", builds::view, "v", "view", "the list alone, the list and panes where there is room for both, or a pane alone", &[Builds], always;
    "pane_before", |s| builds::turn(s, -1), "P", "", "turn back to the pane before", &[Builds], always;
    "scroll_down", |s| builds::scroll(s, 1), "] shift-down", "scroll", "scroll the pane in focus down", &[Builds], builds::in_pane;
    "scroll_up", |s| builds::scroll(s, -1), "[ shift-up", "", "scroll the pane in focus up", &[Builds], builds::in_pane;
    "page_up", |s| moves::page(s, -1), "pageup", "", "one page up; in a pane, scroll it up", FIGURES, moves::listed;
    "page_down", |s| moves::page(s, 1), "pagedown", "", "one page down; in a pane, scroll it down", FIGURES, moves::listed;
    "first", moves::first, "home", "", "to the first line", &[Builds, Compare, Columns], moves::listed;
    "last", moves::last, "end", "", "to the last line", &[Builds, Compare, Columns], moves::listed;
    "mark", builds::mark_here, "space", "mark", "mark the build under the cursor for comparing, or unmark it", &[Builds], builds::on_build;
    "sort", builds::sort, "s", "sort", "sort by the column under the cursor; again turns it round; the order before stays as second key", &[Builds], moves::listed;
    "narrow", builds::narrow, "/", "search", "type to keep only rows that hold what you type; Enter keeps it, Esc clears it", &[Builds], always;
    "diff", |s| moves::to_tab(s, Tab::Compare), "d", "compare", "put the marked builds side by side (two to four, or the marked one and the one under the cursor)", &[Builds], compare::allowed;
    "new", filter::begin, "n", "new", "a new filter from three numbers: the rest is assumed", &[Builds], always;
    "explain", moves::explain, "e enter", "explain", "show how the figure under the cursor came about, or why it cannot be told", FIGURES, moves::on_figure;
    "left", |s| moves::column(s, -1), "left < h", "", "to the column on the left", FIGURES, moves::listed;
    "right", |s| moves::column(s, 1), "right > l", "column", "to the column on the right", FIGURES, moves::listed;
    "up", |s| moves::step(s, -1), "up k", "", "one line up", &[Ranking], ranking::on_row;
    "down", |s| moves::step(s, 1), "down j", "choose", "one line down", &[Ranking], ranking::on_row;
    "left", |s| moves::column(s, -1), "left < h", "", "to the priority on the left", &[Ranking], ranking::allowed;
    "right", |s| moves::column(s, 1), "right > l", "priority", "to the priority on the right", &[Ranking], ranking::allowed;
    "less", |s| ranking::weigh(s, -1), "-", "", "let the priority under the cursor count less; the places follow at once", &[Ranking], ranking::allowed;
    "more", |s| ranking::weigh(s, 1), "+ =", "less, more", "let the priority under the cursor count more; the places follow at once", &[Ranking], ranking::allowed;
    "own_weights", ranking::own_weights, "0", "", "back to the tank's own priorities", &[Ranking], ranking::moved_any;
    "diff", go::against_first, "d", "compare", "compare the build under the cursor with the first", &[Ranking], ranking::on_row;
    "work", go::to_restack, "enter", "restack", "work in the trays of the build under the cursor", &[Ranking], ranking::on_row;
    "one_each", ranking::one_each, "o", "one per filter", "only the best build of each filter, or every build", &[Ranking], ranking::allowed;
    "all", ranking::all, "a", "all", "every build, or those marked, else those searched", &[Ranking], ranking::narrower;
    "scroll_down", |s| ranking::scroll(s, 1), "] shift-down", "scroll", "scroll down", &[Ranking], ranking::more;
    "scroll_up", |s| ranking::scroll(s, -1), "[ shift-up", "", "scroll up", &[Ranking], ranking::more;
    "page_down", |s| moves::page(s, 1), "pagedown", "", "one page down", &[Ranking], ranking::on_row;
    "page_up", |s| moves::page(s, -1), "pageup", "", "one page up", &[Ranking], ranking::on_row;
    "first", moves::first, "home", "", "to the first line", &[Ranking], ranking::on_row;
    "last", moves::last, "end", "", "to the last line", &[Ranking], ranking::on_row;
    "down", |s| moves::step(s, 1), "down j", "scroll", "scroll down", &[Explain], explained::scrolls;
    "up", |s| moves::step(s, -1), "up k", "", "scroll up", &[Explain], explained::scrolls;
    "page_down", |s| moves::page(s, 1), "pagedown", "", "scroll down a page", &[Explain], explained::scrolls;
    "page_up", |s| moves::page(s, -1), "pageup", "", "scroll up a page", &[Explain], explained::scrolls;
    "toggle", columns::toggle, "space enter", "show or hide", "show or hide the measure as a column", &[Columns], always;
    "left", |s| columns::shift(s, -1), "left < h", "", "move the column one place to the left", &[Columns], columns::shown;
    "right", |s| columns::shift(s, 1), "right > l", "move it", "move the column one place to the right", &[Columns], columns::shown;
    "next_part", compare::next_part, "v", "media, inputs", "to the next part: your priorities, the rest, media, other inputs", &[Compare], compare::allowed;
    "all", compare::all, "a", "all or differing", "show also what is the same, or only what differs", &[Compare], compare::allowed;
    "columns", columns::open, "c", "columns", "choose which measures are shown as columns, and in which order", &[Builds], always;
    "unmark", moves::unmark, "x", "unmark all", "unmark every build", FIGURES, builds::marked;
    "copy", |s| s.ask(Effect::CopyPane), "y", "copy", "copy what the pane in focus holds as plain text: to the system's clipboard, or through the terminal (over ssh too, where the terminal allows it)", &[Builds, Compare, Ranking, Restack, Picker, Proposals, Filter, Tank, Sources, Explain], always;
    "copy_here", |s| s.ask(Effect::CopyHere), "Y", "", "copy the figure under the cursor whole; on the name the whole row", FIGURES, moves::on_line;
    "seek", seek::begin, "/", "", "type to go to the line that holds it; Enter stays there, Esc goes back", SOUGHT, always;
    "seek_next", seek::next, "n", "", "to the next line that holds it", &[Compare, Ranking, Tanks, Columns, Proposals], seek::allowed;
    "logs", builds::whose_logs, "L", "", "whose figures logs move: every build's that shares them, the logged build's own, or none's", &[Builds, Compare, Ranking, Filter], builds::logged;
    "as_found", builds::other_state, "f", "as found", "units after repair, or as found: what `to_fix` names put right, or as it is", &[Builds, Compare, Ranking], builds::repairs;
    "reply", reply::begin, "w", "write", "a reply to paste, of the builds marked, else searched, else all: short, in full, the table, or a report", &[Builds, Compare, Ranking], reply::allowed;
    "report", report::begin, "W", "", "write the report of all builds for this tank into a folder: one page with pictures, the table and the data", &[Builds, Compare, Ranking], report::allowed;
    "up", |s| moves::step(s, -1), "up k", "", "scroll up", &[Reply], explained::scrolls;
    "down", |s| moves::step(s, 1), "down j", "scroll", "scroll down", &[Reply], explained::scrolls;
    "left", |s| reply::kind(s, -1), "left < h", "", "the kind before: short, full, table, report", &[Reply], always;
    "right", |s| reply::kind(s, 1), "right > l", "what", "the next kind: short, full, table, report", &[Reply], always;
    "format", reply::format, "f", "format", "plain text, Markdown or BBCode", &[Reply], always;
    "copy", reply::copy, "y", "copy and close", "copy it, and close", &[Reply], reply::written;
    "save", reply::file, "S", "file", "write it into a new file; the report into a folder", &[Reply], reply::written;
    "edit_file", go::edit, "E", "", "open its file in your editor ($VISUAL or $EDITOR), at its first problem or its build; it is read again on return", &[Builds, Compare, Ranking, Restack, Filter, Tank], go::has_file;
    "units", moves::next_units, "u", "units", "metric, US or UK units; files and machine output never change", SCREENS, always;
    "builds", |s| moves::to_tab(s, Tab::Builds), "1", "", "to the screen Builds", NUMBERED, |s| moves::not_on(s, Tab::Builds);
    "compare_screen", |s| moves::to_tab(s, Tab::Compare), "2", "", "to the screen Compare", NUMBERED, |s| moves::not_on(s, Tab::Compare);
    "ranking", |s| moves::to_tab(s, Tab::Ranking), "3", "", "to the screen Ranking", NUMBERED, |s| moves::not_on(s, Tab::Ranking);
    "restack", |s| moves::to_tab(s, Tab::Restack), "4", "", "to the screen Restack", NUMBERED, |s| moves::not_on(s, Tab::Restack);
    "filter", |s| moves::to_tab(s, Tab::Filter), "5", "", "to the screen Filter", NUMBERED, |s| moves::not_on(s, Tab::Filter);
    "tank", |s| moves::to_tab(s, Tab::Tank), "6", "", "to the screen Tank", NUMBERED, |s| moves::not_on(s, Tab::Tank);
    "sources", |s| moves::to_tab(s, Tab::Sources), "7", "", "to the screen Sources", NUMBERED, |s| moves::not_on(s, Tab::Sources);
    "go", go::on, "g", "", "then a digit: to that screen; where digits type this leaves", SCREENS, always;
    "next_screen", |s| moves::turn(s, 1), "tab", "", "to the next screen", SCREENS, always;
    "screen_before", |s| moves::turn(s, -1), "backtab", "", "to the screen before", SCREENS, always;
    "read_again", moves::load, "r", "", "read the files again; cursor, marks and order stay", SCREENS, moves::not_loading;
    "mouse", moves::mouse, "m", "", "let the mouse choose, sort and scroll here; again leaves it to the terminal, which selects text with it", SCREENS, always;
    "redraw", |s| s.ask(Effect::Redraw), "ctrl-l", "", "draw the screen afresh", ALL_PLACES, always;
    "suspend", |s| s.ask(Effect::Suspend), "ctrl-z", "", "hand the terminal to the shell until `fg`", ALL_PLACES, moves::can_suspend;
    "back", moves::back, "esc", "back", "one step back; never leaves the program", ALL_PLACES, moves::can_go_back;
    "help", moves::help, "?", "help", "help for the pane in focus; type to search it, Enter does what is chosen", SCREENS, always;
    "leave", moves::leave, "q ctrl-c", "leave", "leave the program; asked once more where something is unsaved, but Ctrl-C leaves at once", ALL_PLACES, always;
}

/// Where keys go now; none while they go into a line of text.
pub fn place(state: &State) -> Option<Place> {
    let typed = match &state.overlay {
        Some(Overlay::Help { .. } | Overlay::Pick { .. } | Overlay::New { .. }) => true,
        Some(Overlay::Explain { .. }) => false,
        Some(Overlay::Columns { .. } | Overlay::Reply(_)) => state.line.is_some(),
        None => state.line.is_some() || state.typing,
    };
    (!typed).then(|| screens::on_top(state).place(state))
}

pub fn behind(state: &State) -> Place {
    screens::behind(state).place(state)
}

pub fn of_place(place: Place) -> impl Iterator<Item = &'static Action> {
    ACTIONS.iter().filter(move |row| row.places.contains(&place))
}

pub fn named(name: &str) -> Option<&'static Action> {
    ACTIONS.iter().find(|row| row.name == name)
}

pub fn for_key(state: &State, key: Key) -> Option<&'static Action> {
    of_place(place(state)?).find(|row| state.keys.of(row).contains(&key))
}
