//! Tank: the form, what is told of the field under the cursor, and what the builds come to beside it.

use std::cmp::Ordering;

use ratatui::buffer::Buffer;
use ratatui::text::Line;

use super::super::paint::{self};
use super::super::widgets::table;
use super::super::{Page, Row, Theme, bit, row, text};
use super::form as lines;
use super::ranking::{of_100, requirements};
use crate::app::screens::{self, tank as screen};
use crate::app::tank_form::{self, CHOICES, Choice};
use crate::app::{Area, Entry, Goal, Id, Line as Typed, State, columns};
use crate::measures::Measure;
use crate::report::figures;

/// Cells of a field's name, with the sign before it.
const LABEL: usize = 22;
/// Cells of a figure beside the form, with the arrow that says it moved.
const CELL: usize = 12;
/// Cells of a place, of how often it is first, and of where it was.
const LEAD: usize = 3;
const FIRST: usize = 7;
const MOVED: usize = 9;
/// Columns of the paper that long texts are copied on.
const PAPER: usize = 400;

pub fn draw(state: &State, buffer: &mut Buffer, theme: Theme) -> usize {
    let area = screen::area(state);
    let inner = paint::frame(buffer, area, &title(state, theme), true, theme);
    let w = usize::from(inner.w);
    let rows = screen::rows(state);
    let (all, top) = match state.tank_form.form.as_ref().filter(|_| !state.tank_form.choosing) {
        Some(form) => (lines::rows(state, form, w, Some(form.list.cursor), theme), form.list.top),
        None => (choices(state, w, theme), state.tank_form.top),
    };
    let most = paint::lines(buffer, rows, &all, top);
    let side = screen::beside(state);
    let below = inner.rows(rows.h, inner.h - rows.h);
    let told = told(state, w, below.h, side.is_none(), theme);
    paint::lines(buffer, below, &told, 0);
    paint::more(buffer, area, top, most, theme);
    if let Some(area) = side {
        beside(state, area, buffer, theme);
    }
    0
}

pub fn rows(state: &State, _w: usize, theme: Theme) -> Vec<Row> {
    let mut out = vec![Line::from(title(state, theme))];
    out.extend(match state.tank_form.form.as_ref().filter(|_| !state.tank_form.choosing) {
        Some(form) => lines::rows(state, form, PAPER, None, theme),
        None => choices(state, PAPER, theme),
    });
    out
}

fn title(state: &State, theme: Theme) -> Vec<ratatui::text::Span<'static>> {
    let form = &state.tank_form;
    let mut out = vec![bit("Tank", theme.text())];
    let file = state.tank_file.as_deref().map(|f| f.rsplit(['/', '\\']).next().unwrap_or(f));
    if let Some(file) = file {
        out.push(bit(format!(" · {}", text::clean(file)), theme.text()));
    }
    if form.is_blank() && !form.choosing {
        out.push(bit(" · none: judged without one", theme.text()));
    }
    if form.changed() {
        out.push(bit(" · unsaved changes", theme.warn()));
    }
    if form.problems() > 0 {
        out.push(bit(format!(" · ! {}: figures as before", tank_form::problems(state)), theme.warn()));
    }
    out
}

pub fn page(state: &State) -> Page {
    let form = &state.tank_form;
    let title: String = title(state, Theme::new(state.look)).iter().map(|s| s.content.as_ref()).collect();
    let page = if let Some(form) = form.form.as_ref().filter(|_| !form.choosing) {
        lines::page(state, form)
    } else {
        let lines = listed(state).into_iter().map(|(name, says, _)| format!("{name}: {says}")).collect();
        Page { lines, on: Some(form.chosen), more: Vec::new() }.titled("Start from:")
    };
    page.titled(&title)
}

/// The tanks to start from: name, what is told of it, and whether it can be read.
fn listed(state: &State) -> Vec<(String, String, bool)> {
    let own = CHOICES.iter().map(|(name, says)| ((*name).to_owned(), (*says).to_owned(), true));
    let found = |Choice { from, tank, .. }: &Choice| match tank {
        Ok(tank) => {
            let volume = tank.volume.as_ref().map_or(String::new(), |v| {
                format!("{}, ", figures::volume(crate::units::Quantity::si(v.value) * 1e3, state.units))
            });
            (text::clean(&tank.name), format!("{volume}{}", text::clean(from)), true)
        }
        Err(why) => (format!("! {}", text::clean(from)), text::clean(why), false),
    };
    own.chain(state.tank_form.choices.iter().flatten().map(found)).collect()
}

fn choices(state: &State, w: usize, theme: Theme) -> Vec<Row> {
    let form = &state.tank_form;
    let mut out = vec![row(" Start from:", theme.text())];
    for (i, (name, says, sound)) in listed(state).into_iter().enumerate() {
        let here = i == form.chosen;
        let sign = if here { "► " } else { "  " };
        let style = match (here, sound) {
            (true, _) => theme.cursor(),
            (_, true) => theme.text(),
            _ => theme.warn(),
        };
        let name = text::left(&name, (w / 2).clamp(LABEL, 34).min(w));
        let said = format!("{sign}{name} ");
        let room = w.saturating_sub(text::width(&said));
        // Of a path the end tells more.
        let says = match says.split_once(", ") {
            Some((volume, from)) if from.contains(['/', '\\']) && text::width(&says) > room => {
                format!("{volume}, {}", text::end(from, room.saturating_sub(text::width(volume) + 2)))
            }
            _ => text::fit(&says, room),
        };
        out.push(Line::from(vec![bit(said, style), bit(text::fit(&says, room), theme.quiet())]));
    }
    if form.choices.is_none() {
        out.push(row(" looking for tanks …", theme.quiet()));
    }
    out
}

/// A line with its caret in so many cells: the caret is always in view, with some of what follows.
fn caret(line: &Typed, room: usize) -> String {
    let (before, after) = (text::clean(&line.before), text::clean(&line.after));
    let after = text::fit(&after, room / 3);
    let left = room.saturating_sub(1 + text::width(&after));
    format!("{}▏{after}", text::end(&before, left))
}

/// What is told below the form: the name of a file being typed, or the field under the cursor, and on narrow screens
/// what the build under the cursor on Builds comes to.
fn told(state: &State, w: usize, rows: u16, figures: bool, theme: Theme) -> Vec<Row> {
    let rows = usize::from(rows);
    let mut out: Vec<Row> = Vec::new();
    let figures = if figures && rows > 1 { here(state, w, theme) } else { None };
    let room = rows.saturating_sub(usize::from(figures.is_some()));
    let say = |out: &mut Vec<Row>, said: &str, style| {
        out.extend(paint::prose(said, w, style));
    };
    if let Some(line) = state.line.as_ref().filter(|l| l.goal == Goal::SaveTank) {
        out.push(Line::from(vec![
            bit("save in: ", theme.text()),
            bit(caret(line, w.saturating_sub(9)), theme.cursor()),
        ]));
        say(
            &mut out,
            "a new file, or one saved here and unchanged since. Its folder has to be there; .ron is added.",
            theme.quiet(),
        );
    } else if state.tank_form.choosing {
        let said =
            "Whichever is taken, every build is judged for it at once; {undo} brings the form before back.";
        say(&mut out, &state.keys.fill(said), theme.quiet());
    } else if let Some(form) = state.tank_form.form.as_ref() {
        let stocking = form.here().is_some_and(|line| line.row.name == "stock");
        if let Some(said) = screen::stocking_says(state).filter(|_| stocking) {
            say(&mut out, &said, theme.text());
        }
        out.extend(lines::below(state, form, w, theme));
    }
    out.truncate(room);
    if let Some(line) = figures {
        out.resize(room, Row::default());
        out.push(line);
    }
    out
}

fn here(state: &State, w: usize, theme: Theme) -> Option<Row> {
    let Some(Id::Build(i)) = state.cursor else { return None };
    let entry = state.entries.get(i)?;
    let name = text::fit(&text::clean(&entry.name), w.saturating_sub(24).max(8));
    let mut out = vec![bit(name.clone(), theme.text()), bit(":", theme.text())];
    let mut used = text::width(&name) + 1;
    for measure in tank_form::to_show(state, &[i]) {
        let said = format!(" {} {}", measure.row().head, cell(state, i, entry, measure));
        used += text::width(&said) + 1;
        if used > w {
            break;
        }
        out.push(bit(said, theme.text()));
        out.push(bit(" ", theme.text()));
    }
    Some(Line::from(out))
}

/// A figure with an arrow where the last change moved it; while it is being worked out, as it was.
fn cell(state: &State, i: usize, entry: &Entry, measure: Measure) -> String {
    let moved = tank_form::moved(state, i, measure);
    match moved {
        Some(moved) if entry.judged.is_none() => moved.was,
        Some(moved) => {
            let arrow = match moved.rose {
                Some(true) => "↑",
                Some(false) => "↓",
                None => "*",
            };
            format!("{}{arrow}", table::figure(state, entry, measure).narrow())
        }
        None => table::figure(state, entry, measure).narrow(),
    }
}

/// Where the best build of each filter stands for this tank, and where the filter stood before the last change.
fn ranking(state: &State, w: usize, theme: Theme) -> Vec<Row> {
    let Some(stood) = state.ranking.stood.as_ref().filter(|_| state.tank_form.problems() == 0) else {
        return vec![row("   being ranked", theme.quiet())];
    };
    let id = |entry: usize| state.entries.get(entry).map(|e| &e.filter.id);
    let name = w.saturating_sub(LEAD + FIRST + MOVED).min(28);
    let line = |(at, b): (usize, usize)| {
        let entry = stood.entries.get(b).copied()?;
        let called = text::clean(&state.entries.get(entry)?.filter.name);
        let Some(rank) = stood.standing.rank(b) else {
            let (why, _) = requirements(state, stood.standing.builds.get(b)?, false);
            let room = w.saturating_sub(LEAD + name + 3);
            return Some(Line::from(vec![
                bit(format!(" – {} ", text::left(&called, name)), theme.text()),
                bit("! ", theme.warn()),
                bit(text::fit(&why, room), theme.text()),
            ]));
        };
        let first = if stood.standing.samples > 0 { of_100(rank.first()) } else { String::new() };
        let was = state.tank_form.stood.iter().position(|was| id(*was) == id(entry));
        let moved = match was.map(|was| was.cmp(&at)) {
            Some(Ordering::Greater) => format!(" ▲ was {}", was.map_or(0, |was| was + 1)),
            Some(Ordering::Less) => format!(" ▼ was {}", was.map_or(0, |was| was + 1)),
            _ => String::new(),
        };
        let place = text::left(&format!(" {}", at + 1), LEAD);
        Some(row(
            format!("{place}{}{}{moved}", text::left(&called, name), text::right(&first, FIRST)),
            theme.text(),
        ))
    };
    let head = format!("   {}{}", text::left("filter", name), text::right("of 100", FIRST));
    let ranked = screens::ranking::ordered(state, true).into_iter().enumerate().filter_map(line);
    std::iter::once(row(head, theme.quiet())).chain(ranked).collect()
}

/// What the builds come to, in their order on Builds, with the columns chosen there.
fn beside(state: &State, area: Area, buffer: &mut Buffer, theme: Theme) {
    let said = match &state.tank {
        Some(tank) if state.tank_form.problems() == 0 => format!(" for {}", text::clean(&tank.name)),
        Some(tank) => format!(" for {} as it was", text::clean(&tank.name)),
        None => " for no tank".to_owned(),
    };
    let ranked = ranking(state, usize::from(area.w).saturating_sub(1), theme);
    let h = u16::try_from(ranked.len()).unwrap_or(0).min(area.h * 2 / 5);
    let (above, area) = (Area { h: h + 1, ..area }, Area { y: area.y + h + 1, h: area.h - h - 1, ..area });
    let title = vec![bit(format!("Ranking{said}, one per filter"), theme.text())];
    let inner = paint::frame(buffer, above, &title, false, theme);
    paint::lines(buffer, inner, &ranked, 0);
    let inner = paint::frame(buffer, area, &[bit("What it moves", theme.text())], false, theme);
    let w = usize::from(inner.w);
    let room = usize::from(inner.h).saturating_sub(3);
    let from = (state.row_here() + 1).saturating_sub(room.max(1));
    let window: Vec<usize> = state
        .rows
        .iter()
        .skip(from)
        .take(room)
        .filter_map(|id| if let Id::Build(i) = *id { Some(i) } else { None })
        .collect();
    // Names whole before more than one figure.
    let name = (state.longest_name + columns::LEAD).min(w.saturating_sub(CELL + columns::GAP));
    let room = w.saturating_sub(name) / (CELL + columns::GAP);
    let shown: Vec<Measure> = tank_form::to_show(state, &window).into_iter().take(room).collect();
    let mut head = vec![bit(text::left("   build", name), theme.text())];
    for s in &shown {
        head.push(bit(" ".repeat(columns::GAP), theme.text()));
        head.push(bit(text::right(s.row().head, CELL), theme.text()));
    }
    let mut lines = vec![Line::from(head)];
    for i in window {
        let Some(entry) = state.entries.get(i) else { continue };
        let here = state.cursor == Some(Id::Build(i));
        let style = if here { theme.cursor() } else { theme.text() };
        let sign = if here { "►  " } else { "   " };
        let mut cells = vec![bit(text::left(&format!("{sign}{}", text::clean(&entry.name)), name), style)];
        for s in &shown {
            cells.push(bit(" ".repeat(columns::GAP), theme.text()));
            cells.push(bit(text::right(&cell(state, i, entry, *s), CELL), theme.text()));
        }
        lines.push(Line::from(cells));
    }
    paint::lines(buffer, inner, &lines, 0);
    if inner.h > 3 {
        let said = "↑ ↓ moved by the last change, * became or ceased to be a figure";
        paint::lines(buffer, inner.rows(inner.h - 2, 2), &paint::prose(said, w, theme.quiet()), 0);
    }
}

pub fn says(state: &State) -> String {
    state.keys.fill(
        "Tank: what the builds are judged for, as a form drawn from the table of fields. Digits type: 200, 40 gal, \
             40x35x60 cm, 1,5, ~30 for a guess, 20-30 for anywhere between; the line below says what was understood. A \
             sound form is judged at once, a form with problems never is: the figures stay those of the tank as it was, \
             and that is said. A field may be left out: dim stands what is taken then. Food by stocking is an \
             assumption: common practice, no source. Nothing typed is lost: Esc drops only the line being typed, {undo} \
             takes changes back, and leaving with unsaved changes is asked about once.",
    )
}
