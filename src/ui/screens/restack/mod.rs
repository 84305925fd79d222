//! Restack: the working copy as a list, every measure beside the build as it was, and the vessel cut open.

mod list;
mod measures;
mod picker;
mod proposals;

use ratatui::buffer::Buffer;
use ratatui::text::Span;

use super::super::paint::{self};
use super::super::widgets::section;
use super::super::{Page, Row, Theme, bit, row, text};
use crate::app::screens::restack::areas::{self, LIST_HEAD};
use crate::app::screens::restack::{allowed, proposals as choose};
use crate::app::state::restack::{For, Pane};
use crate::app::state::work::Source;
use crate::app::{Area, Over, State, Work};
use crate::propose::Proposal;
use crate::report::restack::Told;
use crate::report::wording::pictures;

/// Rows of the section on paper.
const TALL: usize = 40;

pub fn draw(state: &State, buffer: &mut Buffer, theme: Theme) -> usize {
    let mut below = 0;
    for (pane, area) in areas::areas(state) {
        let focus = pane == state.restack.pane;
        let inner = paint::frame(buffer, area, &title(state, pane, theme), focus, theme);
        let Some(work) = &state.restack.work else {
            let why = state.keys.fill(allowed::work(state).err().unwrap_or_default());
            paint::lines(buffer, inner, &paint::prose(&why, usize::from(inner.w), theme.text()), 0);
            continue;
        };
        let most = match pane {
            Pane::List => the_list(state, work, buffer, area, theme),
            Pane::Measures if let Some(chosen) = chosen(state) => {
                let size = (usize::from(inner.w), usize::from(inner.h) * 3 / 5);
                let mut rows = section::rows(&chosen.judgement, size, state.units, theme);
                rows.extend(proposals::against(state, work, chosen, usize::from(inner.w), theme));
                paint::lines(buffer, inner.inset(), &rows, 0)
            }
            Pane::Measures => {
                let from = if focus { state.restack.scroll } else { 0 };
                let rows = measures::rows(state, work, usize::from(inner.w), theme);
                let most = paint::lines(buffer, inner, &rows, from);
                paint::more(buffer, area, from, most, theme);
                most
            }
            Pane::Inside => {
                let from = if focus { state.restack.scroll } else { 0 };
                let size = (usize::from(inner.w), usize::from(inner.h));
                let most = paint::lines(buffer, inner, &cut_open(state, work, size, theme), from);
                paint::more(buffer, area, from, most, theme);
                most
            }
        };
        if focus {
            below = most;
        }
    }
    below
}

fn chosen(state: &State) -> Option<&Proposal> {
    let open = state.restack.proposals.as_ref().filter(|_| state.restack.over() == Over::Proposals)?;
    choose::chosen(open).map(|found| &**found)
}

fn the_list(state: &State, work: &Work, buffer: &mut Buffer, area: Area, theme: Theme) -> usize {
    let inner = area.inner();
    let w = usize::from(inner.w);
    let rows = areas::list_rows(state);
    let told = areas::told_rows(state, inner);
    let window = inner.rows(LIST_HEAD, rows as u16);
    match state.restack.over() {
        Over::Proposals => {
            let (lines, at) = proposals::rows(state, work, w, theme);
            // The chosen row is kept in view; further down it is scrolled by hand.
            let from = (at + 1).saturating_sub(usize::from(inner.h))
                + state.restack.proposals.as_ref().map_or(0, |p| p.list.top);
            let most = paint::lines(buffer, inner, &lines, from);
            paint::more(buffer, area, from, most, theme);
            return most;
        }
        Over::Picker => {
            paint::line(buffer, inner, 0, &picker::head(state, w, theme));
            let top = state.restack.picker.as_ref().map_or(0, |p| p.list.top);
            let lines = picker::rows(state, w, theme);
            let most = paint::lines(buffer, window, &lines, top);
            paint::more(buffer, area, top, most, theme);
            below(buffer, inner, told, &picker::told(state, w, theme));
        }
        Over::Nothing => {
            paint::line(buffer, inner, 0, &list::head(work, w, theme));
            let lines = list::rows(state, work, w, theme);
            let most = paint::lines(buffer, window, &lines, state.restack.list.top);
            paint::more(buffer, area, state.restack.list.top, most, theme);
            // Where the measures have no pane of their own they stand in what the list leaves.
            let free = rows.saturating_sub(lines.len());
            if areas::areas(state).len() == 1 && free > 2 && work.now.judged.is_some() {
                let rest = window.rows(lines.len() as u16, free as u16);
                paint::frame(buffer, rest, &[bit("Was → now", theme.text())], false, theme);
                let brief = measures::brief(state, work, (w, free - 2), theme);
                paint::lines(buffer, rest.rows(1, free as u16 - 2), &brief, 0);
            }
            below(buffer, inner, told, &list::told(state, work, w, theme));
        }
    }
    0
}

/// The last rows of an area: what comes first gives way last.
fn below(buffer: &mut Buffer, inner: Area, rows: u16, lines: &[Row]) {
    let rows = rows.min(lines.len() as u16);
    paint::lines(buffer, inner.rows(inner.h.saturating_sub(rows), rows), lines, 0);
}

fn title(state: &State, pane: Pane, theme: Theme) -> Vec<Span<'static>> {
    let name = match (pane, state.restack.over()) {
        (Pane::List, Over::Picker) => match state.restack.picker.as_ref().map(|p| p.what) {
            Some(For::Swap(_)) => "Which medium instead:",
            _ => "Which medium to add:",
        },
        (Pane::List, Over::Proposals) => "Better stacks",
        (Pane::List, Over::Nothing) => "Restack",
        (Pane::Measures, Over::Proposals) => "As it would stand",
        (Pane::Measures, _) => "Was → now",
        (Pane::Inside, _) => "Inside",
    };
    let mut out = vec![bit(name, theme.text())];
    let Some(work) = &state.restack.work else { return out };
    match pane {
        Pane::List => {
            if state.restack.over() == Over::Proposals {
                let said =
                    format!(" · {} · {}", text::clean(&work.first.filter.name), proposals::among(state));
                out.push(bit(said, theme.text()));
                return out;
            }
            out.push(bit(format!(" · {}", text::clean(&work.title())), theme.text()));
            if work.unsaved() {
                out.push(bit(" · changed, not saved", theme.text()));
            }
        }
        // With one pane in view at a time the layer that keys work on is named here.
        Pane::Measures | Pane::Inside => {
            let unfit = !work.piece.unfit().is_empty();
            let said = if unfit { " · the last stack that fitted" } else { " · as packed now" };
            out.push(bit(said, theme.text()));
        }
    }
    out
}

/// What to know of the source, and of another build that was chosen.
fn standing(state: &State, work: &Work) -> Option<String> {
    match work.source {
        Source::Changed => {
            let said = "the source file changed since: this copy stays as it is ({afresh} begins afresh)";
            return Some(state.keys.fill(said));
        }
        Source::Gone => return Some("the source is no longer there: this copy stays as it is".to_owned()),
        Source::Same => {}
    }
    let other = state.here().filter(|e| !work.is_of(e))?;
    let said = state.keys.fill("still this one, as it is unsaved; {afresh} begins with");
    Some(format!("{said} {}", text::clean(&other.name)))
}

fn cut_open(state: &State, work: &Work, size: (usize, usize), theme: Theme) -> Vec<Row> {
    match &work.now.judged {
        Some(judged) => section::rows(judged, size, state.units, theme),
        None => vec![row("being worked out", theme.quiet())],
    }
}

/// What words about stacks need; none before the build as it was is judged, or without a tank.
fn told_of<'a>(state: &'a State, work: &'a Work, title: &'a str) -> Option<Told<'a>> {
    Some(Told {
        title,
        filter: &work.piece.filter,
        tank: state.tank.as_deref()?,
        before: work.before.judged.as_deref()?,
        samples: state.samples.unwrap_or(0),
        units: state.units,
    })
}

pub fn page(state: &State) -> Page {
    let Some(work) = &state.restack.work else {
        return Page::of(vec![state.keys.fill(allowed::work(state).err().unwrap_or_default())]);
    };
    let title = title(state, state.restack.pane, Theme::new(state.look));
    let title: String = title.iter().map(|s| s.content.as_ref()).collect();
    let page = match (state.restack.pane, state.restack.over()) {
        (Pane::Measures, _) => measures::page(state, work),
        (Pane::Inside, _) => match &work.now.judged {
            Some(judged) => Page::of(pictures::section(judged, state.units)),
            None => Page::of(vec!["being worked out".to_owned()]),
        },
        (Pane::List, Over::Proposals) => proposals::page(state, work),
        (Pane::List, Over::Picker) => picker::page(state),
        (Pane::List, Over::Nothing) => list::page(state, work),
    };
    page.titled(&title)
}

pub fn rows(state: &State, w: usize, theme: Theme) -> Vec<Row> {
    let Some(work) = &state.restack.work else {
        return vec![row(state.keys.fill(allowed::work(state).err().unwrap_or_default()), theme.text())];
    };
    let title = row(text::clean(&work.title()), theme.text());
    let mut out = vec![title];
    match (state.restack.pane, state.restack.over()) {
        (Pane::Measures, _) => out.extend(measures::rows(state, work, w, theme)),
        (Pane::Inside, _) => out.extend(cut_open(state, work, (w, TALL), theme)),
        (Pane::List, Over::Proposals) => out.extend(proposals::rows(state, work, w, theme).0),
        (Pane::List, Over::Picker) => {
            out.push(picker::head(state, w, theme));
            out.extend(picker::rows(state, w, theme));
        }
        (Pane::List, Over::Nothing) => {
            out.push(list::head(work, w, theme));
            out.extend(list::rows(state, work, w, theme));
            out.extend(list::told(state, work, w, theme));
        }
    }
    out
}

pub fn says(state: &State) -> String {
    state.keys.fill(
            "Restack: a working copy of the build under the cursor on Builds, its layers in the order in which the water \
             meets them, every measure as it was and as it is now. What stands too high is told in millimetres, and \
             figures stay those of the last stack that fitted. The source file is never written; {save} saves a new \
             one. Better stacks ({propose}) keep to the order of media, lay pads in 10, 20, 25, 40 and 50 mm with an \
             edge gap of 0.5 mm, and stand by the score of your priorities. They leave out chemical media that the \
             build does not hold, as what they bind is not in the model, and grains below 6 mm, such as gravel, \
             unless you have them: they pack, and clog sooner than the model tells.",
        )
}
