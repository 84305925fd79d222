//! What keys do in a form, on the screens Filter and Tank: typing, picking, adding, taking back.

pub mod list;
mod nudge;
pub mod pick;

use super::{Area, Done, Form, Goal, Line as Typed, May, State, Tab, keep_row_in_window, only_if, screens};
use crate::model::fields::{Kind, Row, Wording};
use crate::profile::form::{At, Line, What, remove};
use crate::profile::plain::{self, Unclear, Understood};

pub fn of(state: &State) -> Option<&Form> {
    match state.screen {
        Tab::Filter => state.filter_form().map(|filter| &filter.form),
        Tab::Tank => state.tank_form.form.as_ref(),
        _ => None,
    }
}

pub fn of_mut(state: &mut State) -> Option<&mut Form> {
    match state.screen {
        Tab::Filter => state.filter_form_mut().map(|filter| &mut filter.form),
        Tab::Tank => state.tank_form.form.as_mut(),
        _ => None,
    }
}

pub fn here(state: &State) -> Option<Line> {
    of(state)?.here()
}

pub fn commit(state: &mut State, text: String) {
    let Some(form) = of_mut(state) else { return };
    if form.text == text {
        return;
    }
    form.take(text);
    screens::behind(state).read(state);
}

pub fn travel(state: &mut State, back: bool) {
    let moved = of_mut(state).is_some_and(|form| form.travel(back));
    if moved {
        screens::behind(state).read(state);
    }
}

pub fn undoes(state: &State) -> May {
    if of(state).is_some_and(Form::can_undo) { Ok(()) } else { Err("nothing was changed") }
}

pub fn redoes(state: &State) -> May {
    if of(state).is_some_and(Form::can_redo) { Ok(()) } else { Err("nothing was taken back") }
}

pub fn allowed(state: &State) -> May {
    only_if(of(state).is_some(), "there is no form: choose a build on Builds ({builds}), or {new} begins one")
}

pub fn move_by(state: &mut State, by: isize, rows: Area) {
    let Some(form) = of_mut(state) else { return };
    let len = form.lines().len();
    form.list.step(by, len);
    keep(state, rows);
}

/// Puts the cursor on the line at a cell; where it was there already, opens it.
pub fn press(state: &mut State, x: u16, y: u16, rows: Area) {
    let Some(form) = of_mut(state).filter(|_| rows.holds(x, y)) else { return };
    let at = form.list.top + usize::from(y - rows.y);
    if at >= form.lines().len() {
        return;
    }
    if form.list.cursor == at {
        return edit(state);
    }
    form.list.cursor = at;
}

/// Keeps cursor and window within what there is; the head above the cursor comes along.
pub fn keep(state: &mut State, rows: Area) {
    let Some(form) = of_mut(state) else { return };
    let lines = form.lines();
    let h = usize::from(rows.h);
    form.list.keep(h, lines.len());
    // What belongs to the line under the cursor begins below it.
    let below = (form.list.cursor + 1).min(lines.len().saturating_sub(1));
    if h > 2 {
        form.list.top = keep_row_in_window(form.list.top, below, h, lines.len());
    }
    let above = form
        .list
        .cursor
        .checked_sub(1)
        .filter(|at| h > 2 && lines.get(*at).is_some_and(|line| matches!(line.what, What::Head)));
    if let Some(above) = above {
        form.list.top = keep_row_in_window(form.list.top, above, h, lines.len());
    }
}

pub fn sought(state: &State) -> Vec<String> {
    let Some(form) = of(state) else { return Vec::new() };
    // What stands over others is found by its name alone: what it holds stands in them.
    let said = |line: Line| match line.what {
        What::Head | What::Group | What::List => line.label,
        _ => format!("{} {}", line.label, line.given(&form.text).unwrap_or_default()),
    };
    form.lines().into_iter().map(said).collect()
}

/// Letters of its own are picked from a list.
fn is_picked(line: &Line) -> bool {
    matches!(line.what, What::Choice(_))
        || matches!(line.what, What::Typed)
            && matches!(line.row.kind, Kind::Text)
            && matches!(line.row.wording, Wording::Medium | Wording::Measure)
}

/// Enter: types into a field, opens its pick list, unfolds an item, adds to a list, begins a form.
pub fn edit(state: &mut State) {
    let Some(line) = here(state) else { return };
    if is_picked(&line) {
        return pick::open(state, false);
    }
    match line.what {
        What::Typed => {
            let text = of(state).and_then(|form| line.given(&form.text)).unwrap_or_default();
            let shown = if text.is_empty() {
                String::new()
            } else {
                plain::human(line.row, line.kind, text, state.units).0
            };
            state.line = Some(Typed::new(Goal::Form(false), &shown));
        }
        What::Flag | What::Choice(_) => step(state, 1),
        What::List => list::add(state),
        What::Group if line.folds => fold(state, &line),
        What::Group if line.at.is_none() => {
            let fresh = crate::profile::form::fresh(line.kind).unwrap_or_default();
            let Some(text) = of(state).map(|form| form.with(&line, &fresh)) else { return };
            commit(state, text);
            // On to the first of its fields, as far as they are not folded away.
            if let Some(form) = of_mut(state) {
                let within = |other: &Line| {
                    other.trail.len() == line.trail.len() + 1 && other.trail.starts_with(&line.trail)
                };
                form.list.cursor = form.lines().iter().position(within).unwrap_or(form.list.cursor);
            }
            screens::keep(state);
        }
        What::Group | What::Head => state.tell_keys("its fields stand below: choose one of them"),
    }
}

fn fold(state: &mut State, line: &Line) {
    let Some(form) = of_mut(state) else { return };
    match form.open.iter().position(|open| *open == line.trail) {
        Some(at) => drop(form.open.remove(at)),
        None => form.open.push(line.trail.clone()),
    }
}

/// A digit begins a figure anew.
pub fn digit(state: &mut State, digit: char) {
    // A text seldom begins with a digit; somebody who means another screen would have it in a name.
    let typed = |line: &Line| {
        matches!(line.what, What::Typed) && !matches!(line.row.kind, Kind::Text | Kind::List(Kind::Text))
    };
    if here(state).as_ref().is_some_and(typed) {
        state.line = Some(Typed::new(Goal::Form(false), &digit.to_string()));
    } else {
        state.tell_keys(format!("no figure stands here: {{edit}} opens it, {{go}}{digit} turns the screen"));
    }
}

pub fn typed(state: &State) -> Option<Result<Understood, Unclear>> {
    let typed = state.line.as_ref()?;
    let Goal::Form(adds) = typed.goal else { return None };
    let line = here(state)?;
    let text = typed.text();
    Some(if adds {
        list::item_of(state, &text)?
    } else {
        plain::understand_as(line.row, line.kind, &text, state.units)
    })
}

/// A line was typed; where it is not understood it stays, with the reason.
pub fn on_submit(state: &mut State, typed: &Typed, done: Done) {
    let Done::Take(on) = done else { return };
    let text = typed.text();
    let Goal::Form(adds) = typed.goal else { return };
    if text.trim().is_empty() {
        return move_on(state, on);
    }
    if adds {
        return list::typed(state, &text);
    }
    let Some(line) = here(state) else { return };
    match plain::understand_as(line.row, line.kind, &text, state.units) {
        Ok(read) => {
            let Some(form) = of(state) else { return };
            // A figure that was measured stays so when it is typed again as a bare one.
            let was = line.given(&form.text).unwrap_or_default();
            let again = was.starts_with("measured(")
                && !read.ron.ends_with("))")
                && matches!(line.row.kind, Kind::Figure(_));
            let ron = if again && !read.ron.starts_with("between") {
                format!("measured({})", read.ron)
            } else {
                read.ron
            };
            let with = form.with(&line, &ron);
            commit(state, with);
            if of(state).is_some_and(|form| form.here().is_some_and(|line| form.problem(&line).is_none())) {
                // Enter goes on as well: one figure after the other.
                move_on(state, if on == 0 { 1 } else { on });
            }
        }
        Err(unclear) => {
            state.tell(unclear.said);
            state.line = Some(typed.clone());
        }
    }
}

fn move_on(state: &mut State, by: isize) {
    let Some(form) = of_mut(state) else { return };
    let lines = form.lines();
    let mut at = form.list.cursor;
    loop {
        let next = super::list::moved(at, by.signum(), lines.len());
        let stops = lines.get(next).is_none_or(|line| !matches!(line.what, What::Head));
        if stops || next == at {
            at = next;
            break;
        }
        at = next;
    }
    form.list.cursor = at;
    super::screens::keep(state);
}

/// The word before or after, or the figure a step less or more.
pub fn step(state: &mut State, by: isize) {
    let (Some(line), Some(form)) = (here(state), of(state)) else { return };
    let given = line.given(&form.text).unwrap_or_default().to_owned();
    match nudge::nudged(&line, line.kind, &given, by, state.units) {
        Ok(Some(ron)) => {
            let with = form.with(&line, &ron);
            commit(state, with);
        }
        Ok(None) => leave_out(state),
        Err(why) => {
            state.tell_keys(why);
        }
    }
}

/// Leaves a field out, or takes an item out of its list.
pub fn leave_out(state: &mut State) {
    let (Some(line), Some(form)) = (here(state), of(state)) else { return };
    if line.at.is_none() {
        return state.tell_keys("it is left out already");
    }
    let item = matches!(line.trail.last(), Some(At::Item(_) | At::Key(_)));
    if !item && line.row.is_needed() {
        return state.tell_keys(format!("{} is needed: type another", line.row.words));
    }
    let without = remove(&form.text, &line.trail);
    commit(state, without);
}

/// Words for how sure a figure is, in the order they are stepped through.
const KNOWN: [&str; 3] = ["", "measured", "guessed"];

/// Steps how the figures of a field are known: printed, measured, guessed.
pub fn known(state: &mut State) {
    let (Some(line), Some(form)) = (here(state), of(state)) else { return };
    let figures: Vec<Line> = parts(&line);
    let mut next = form.clone();
    let mut changed = false;
    for part in &figures {
        let Some(at) = crate::profile::form::place(&next.text, &part.trail) else { continue };
        let ron = next.text.get(at).unwrap_or_default().to_owned();
        let Some(wrapped) = stepped(&ron) else { continue };
        next.text = next.with(part, &wrapped);
        changed = true;
    }
    if !changed {
        return state
            .tell_keys("how sure it is follows what is typed: ~30 is a guess, 20-30 anywhere between");
    }
    commit(state, next.text);
}

/// The figures of a line: its own, or those of a form that is typed as one.
fn parts(line: &Line) -> Vec<Line> {
    let rows: Vec<&'static Row> = match line.kind {
        Kind::Figure(_) => return vec![line.clone()],
        Kind::Form(table) => table().rows.iter().collect(),
        _ => return Vec::new(),
    };
    let by_place = matches!(line.kind, Kind::Form(table) if table().by_place);
    let figures = rows.into_iter().enumerate().filter(|(_, row)| matches!(row.kind, Kind::Figure(_)));
    figures
        .map(|(i, row)| {
            let mut part = line.clone();
            part.trail.push(if by_place { At::Item(i) } else { At::Field(row) });
            part.row = row;
            part
        })
        .collect()
}

/// A figure with the next word round it; none where it lies between two.
fn stepped(ron: &str) -> Option<String> {
    let (word, inner) = KNOWN
        .iter()
        .chain(&["stated"])
        .find_map(|word| {
            let inner = ron.strip_prefix(word)?.strip_prefix('(')?.strip_suffix(')')?;
            (!word.is_empty()).then_some((*word, inner))
        })
        .unwrap_or(("", ron));
    if ron.starts_with("between") || ron == "none" {
        return None;
    }
    let at = KNOWN.iter().position(|known| *known == word).unwrap_or(0);
    let next = KNOWN.get((at + 1) % KNOWN.len()).copied().unwrap_or_default();
    Some(if next.is_empty() { inner.to_owned() } else { format!("{next}({inner})") })
}
