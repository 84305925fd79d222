//! Filter: the profile of the build under the cursor on Builds as a form; new ones from three numbers. A change is
//! judged at once, and lies in no file until it is saved.

use std::path::PathBuf;
use std::sync::Arc;

use super::builds;
use crate::app::state::form::{FilterForm, NextOf, given};
use crate::app::state::work::folder;
use crate::app::{
    Area, Done, Effect, Form, Goal, Id, Line as Typed, May, Overlay, Place, Screen, State, Tab, form, pages,
};
use crate::library::Library;
use crate::model::{Filter as Profile, Way};
use crate::profile::{Loaded, Sound, filter_text, plain, read_filter_as, starter};

/// From this width on what comes of it stands beside the form.
const BESIDE: u16 = 120;

/// Lines that the field under the cursor is told on, above what the log says.
pub const FIELD: u16 = 2;

pub struct Filter;

impl Screen for Filter {
    fn place(&self, _: &State) -> Place {
        Place::Filter
    }
    fn step(&self, state: &mut State, by: isize) {
        form::move_by(state, by, rows(state));
    }
    fn page(&self, state: &mut State, by: isize) {
        self.step(state, pages(by, usize::from(rows(state).h)));
    }
    fn press(&self, state: &mut State, x: u16, y: u16) {
        form::press(state, x, y, rows(state));
    }
    fn on_line(&self, state: &State) -> May {
        form::allowed(state)
    }
    fn keep(&self, state: &mut State) {
        form::keep(state, rows(state));
    }
    fn read(&self, state: &mut State) {
        read(state);
    }
    fn sync(&self, state: &mut State) {
        load(state);
        super::log::keep(state);
        self.keep(state);
        ask_next(state);
    }
    fn sought(&self, state: &State) -> Vec<String> {
        form::sought(state)
    }
    fn at(&self, state: &State) -> usize {
        form::of(state).map_or(0, |form| form.list.cursor)
    }
    fn go(&self, state: &mut State, line: usize) {
        if let Some(form) = form::of_mut(state) {
            form.list.cursor = line;
        }
        self.keep(state);
    }
}

fn ask_next(state: &mut State) {
    let Some(Id::Build(entry)) = state.cursor else { return };
    let round = state.round;
    let asked = state.filters.next.as_ref().is_some_and(|next| (next.round, next.entry) == (round, entry));
    let whole = state.doubted.is_some_and(|share| share >= 1.0);
    if asked || !whole || state.entries.get(entry).is_none_or(|e| e.simulated().is_none()) {
        return;
    }
    state.filters.next = Some(NextOf { round, entry, lines: None });
    state.ask(Effect::Next { entry });
}

pub fn area(state: &State) -> Area {
    let main = state.parts().main.unwrap_or_default();
    if main.w < BESIDE { main } else { main.split(main.w * 2 / 5).0 }
}

pub fn beside(state: &State) -> Option<Area> {
    let main = state.parts().main?;
    (main.w >= BESIDE).then(|| main.split(main.w * 2 / 5).1)
}

/// Rows of the form, above what is said of the field under the cursor.
pub fn rows(state: &State) -> Area {
    let inner = area(state).inner();
    let below = match inner.h {
        h if state.filters.log && beside(state).is_none() && h > 9 => h * 3 / 5,
        0..=5 => 0,
        6..=9 => 1,
        _ => 5,
    };
    inner.rows(0, inner.h - below)
}

/// Begins the form of the filter in view, and lets go of others that hold no change.
fn load(state: &mut State) {
    let Some((path, filter)) = state.here().map(|e| (e.path.clone(), Arc::clone(&e.filter))) else { return };
    state.filters.forms.retain(|other, form| form.unsaved() || *other == path);
    state.filters.forms.entry(path).or_insert_with(|| FilterForm {
        form: Form::new(Profile::TABLE, filter_text(&filter), given(&filter.to_keep())),
        id: filter.id.clone(),
        filter: None,
        fresh: false,
    });
}

/// Reads the text of the form in view: a sound one is judged from now on.
pub fn read(state: &mut State) {
    let Some(path) = state.here().map(|e| e.path.clone()) else { return };
    let Some(form) = state.filters.forms.get_mut(&path) else { return };
    let told = match read_filter_as(&path, &form.id, &form.form.text, Library::shipped()) {
        Ok(sound) => {
            form.form.sound = given(&*sound.filter);
            form.form.problems.clear();
            form.filter = Some(sound.filter);
            None
        }
        Err(broken) => {
            form.form.problems = broken.problems;
            let first = form.form.problems.first();
            let why = first.map(|p| match &p.help {
                Some(help) => format!("{}: {help}", p.message),
                None => p.message.clone(),
            });
            Some(format!("figures are still those before: {}", why.unwrap_or_default()))
        }
    };
    if told.is_some() {
        state.status = told;
        super::keep(state);
        return;
    }
    show_changes(state);
}

/// Puts the filters that were changed in the place of what files hold.
fn show_changes(state: &mut State) {
    let mut loaded = Loaded { broken: state.broken.clone(), ..Loaded::default() };
    for entry in &state.entries {
        if loaded.filters.last().is_none_or(|last| last.path != entry.path) {
            let filter = entry.filter.found.as_ref().unwrap_or(&entry.filter);
            let (path, filter) = (entry.path.clone(), Arc::clone(filter));
            loaded.filters.push(Sound { path, filter, hints: Vec::new() });
        }
    }
    put_changes(state, &mut loaded);
    // That it was changed here need not be told as if the disk had done it.
    let said = state.status.replace(String::new());
    builds::take(state, loaded);
    state.status = said;
    super::keep(state);
    state.judge_anew();
}

fn put_changes(state: &State, loaded: &mut Loaded) {
    for (path, form) in &state.filters.forms {
        let Some(filter) = form.filter.as_ref().filter(|_| form.unsaved() || form.form.can_redo()) else {
            continue;
        };
        match loaded.filters.iter_mut().find(|sound| sound.path == *path) {
            Some(sound) => sound.filter = Arc::clone(filter),
            None => loaded.filters.push(Sound {
                path: path.clone(),
                filter: Arc::clone(filter),
                hints: Vec::new(),
            }),
        }
    }
}

/// Files were read again: what was changed here and not saved stays as it is.
pub fn keep_changes(state: &mut State, loaded: &mut Loaded) {
    state.filters.forms.retain(|_, form| form.unsaved());
    put_changes(state, loaded);
}

/// Puts the cursor on what was saved, once it was read.
pub fn to_saved(state: &mut State) {
    if let Some(path) = state.filters.to.take()
        && let Some(at) = state.entries.iter().position(|entry| entry.path == path)
    {
        builds::to(state, Id::Build(at));
    }
}

// Three numbers.

pub fn begin(state: &mut State) {
    state.overlay = Some(Overlay::New { typed: vec![String::new(); starter::FILTER.len()], at: 0 });
    state.line = Some(Typed::new(Goal::New, ""));
}

pub fn on_number(state: &mut State, line: &Typed, done: Done) {
    let Some(Overlay::New { mut typed, at }) = state.overlay.clone() else { return };
    let Done::Take(on) = done else {
        state.overlay = None;
        return;
    };
    let text = line.text();
    let last = at + 1 >= typed.len();
    let Some(asked) = starter::FILTER.get(at) else { return };
    if on >= 0
        && let Err(unclear) = asked.read(&text, state.units)
    {
        state.tell(unclear.said);
        state.line = Some(line.clone());
        return;
    }
    if let Some(slot) = typed.get_mut(at) {
        *slot = text;
    }
    if on >= 0 && last {
        return make(state, &typed);
    }
    let to = if on < 0 { at.saturating_sub(1) } else { at + 1 };
    state.line = Some(Typed::new(Goal::New, typed.get(to).map_or("", String::as_str)));
    state.overlay = Some(Overlay::New { typed, at: to });
}

/// Makes the filter of three numbers: it is listed and judged, and lies in no file yet.
fn make(state: &mut State, typed: &[String]) {
    let read = |i: usize| {
        let asked = starter::FILTER.get(i)?;
        Some(asked.read(typed.get(i)?, state.units).ok()?.ron)
    };
    let (Some(flow), Some(trays), Some(outside)) = (read(0), read(1), read(2)) else { return };
    let (path, name) = free(state);
    let text = match starter::filter(&name, [&flow, &trays, &outside], Way::Rising) {
        Ok(text) => text,
        Err(broken) => {
            state.tell(starter::unfit(&broken));
            state.line = Some(Typed::new(Goal::New, typed.last().map_or("", String::as_str)));
            return;
        }
    };
    state.overlay = None;
    let id = crate::profile::id_of(&path);
    let Ok(sound) = read_filter_as(&path, &id, &text, Library::shipped()) else { return };
    let form = Form::new(Profile::TABLE, text, given(&*sound.filter));
    let filter = Some(sound.filter);
    state.filters.forms.insert(path.clone(), FilterForm { form, id, filter, fresh: true });
    state.filters.to = Some(path);
    state.narrow.clear();
    show_changes(state);
    to_saved(state);
    state.screen = Tab::Filter;
    state.tell("three numbers make it; the rest is assumed: dim, marked assumed, wide");
    super::keep(state);
}

/// A file name that nothing has, and the name that goes with it.
fn free(state: &State) -> (PathBuf, String) {
    let name =
        |n: usize| (state.filters.folder.join(format!("new-filter-{n}.ron")), format!("new filter {n}"));
    (1..1000).map(name).find(|(path, _)| !state.lists(path)).unwrap_or_else(|| name(1000))
}

// Saving.

pub fn saves(state: &State) -> May {
    match state.filter_form() {
        None => Err("there is no form: choose a build on Builds ({builds})"),
        Some(form) if !form.form.problems.is_empty() => {
            Err("the form has problems: they stand beside their fields, mend them first")
        }
        Some(form) if !form.unsaved() => Err("nothing was changed"),
        Some(_) => Ok(()),
    }
}

/// The file that it is saved as unless another is named.
pub fn saves_as(state: &State) -> Option<PathBuf> {
    let path = &state.here()?.path;
    let form = state.filter_form()?;
    if form.fresh || state.over(path).is_some() {
        return Some(path.clone());
    }
    let stem = path.file_stem()?.to_string_lossy().into_owned();
    let folder = if state.restack.demo { PathBuf::new() } else { folder(path) };
    (2..1000).map(|n| folder.join(format!("{stem}-{n}.ron"))).find(|path| !state.lists(path))
}

pub fn name_file(state: &mut State) {
    if let Some(path) = saves_as(state) {
        state.line = Some(Typed::new(Goal::SaveFilter, &path.to_string_lossy()));
    }
}
pub fn on_file(state: &mut State, line: &Typed, done: Done) {
    if !matches!(done, Done::Take(_)) {
        return;
    }
    let Some(path) = state.named_file(&line.text()) else { return };
    let over = state.over(&path);
    let Some(text) = state.filter_form().map(|form| form.form.text.clone()) else { return };
    state.ask(Effect::SaveProfile { path, text, over });
}

pub fn saved(state: &mut State, path: PathBuf, content: u64, done: Result<(), String>) {
    if let Err(why) = done {
        state.tell(why);
        if state.line.is_none() && state.screen == Tab::Filter {
            // The name as it was typed, to be mended.
            state.line = Some(Typed::new(Goal::SaveFilter, &path.to_string_lossy()));
        }
        return;
    }
    state.wrote(&path, content);
    let was = state
        .filters
        .forms
        .iter()
        .find(|(_, form)| crate::profile::store::content(&form.form.text) == content);
    if let Some(old) = was.map(|(old, _)| old.clone()) {
        state.filters.forms.remove(&old);
    }
    state.tell(format!("saved as {}", path.display()));
    state.filters.to = Some(path);
    state.ask(Effect::Load);
}

/// What is typed for a new filter now, as it is understood.
pub fn understood(state: &State) -> Option<String> {
    let Some(Overlay::New { at, .. }) = &state.overlay else { return None };
    let asked = starter::FILTER.get(*at)?;
    let text = state.line.as_ref()?.text();
    Some(if text.trim().is_empty() {
        format!("such as {}", plain::example(asked.row, state.units))
    } else {
        match asked.read(&text, state.units) {
            Ok(read) => format!("read as {}", read.echo),
            Err(unclear) => unclear.said,
        }
    })
}
