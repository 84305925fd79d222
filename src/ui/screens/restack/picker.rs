//! The picker of media: what each is for, its figures, and whether it is there already.

use ratatui::text::Line;

use super::super::super::paint::{self};
use super::super::super::spoken::{self};
use super::super::super::theme::{self};
use super::super::super::{Page, Row, Theme, bit, row, text};
use super::list::typed;
use crate::app::State;
use crate::app::screens::restack::picker::{self, Choice, there};
use crate::report::figures;

struct Across {
    name: usize,
    role: usize,
    there: usize,
}

/// Cells of cursor, letter and hatch, and of a figure.
const LEAD: usize = 6;
const FIGURE: usize = 7;

impl Across {
    fn new(w: usize) -> Self {
        let role = if w >= 72 { 12 } else { 0 };
        let left = w.saturating_sub(LEAD + 3 * FIGURE + role);
        let name = (left * 3 / 5).max(left.saturating_sub(18)).min(34);
        Self { name, role, there: left.saturating_sub(name) }
    }
}

pub fn head(state: &State, w: usize, theme: Theme) -> Row {
    let across = Across::new(w);
    let mut said =
        text::left(if state.restack.on_hand { "on hand only" } else { "all media" }, LEAD + across.name);
    if across.role > 0 {
        said.push_str(&text::left(" role", across.role));
    }
    for head in units(state) {
        said.push_str(&text::right(&head, FIGURE));
    }
    row(text::fit(&said, w), theme.quiet())
}

fn units(state: &State) -> [String; 3] {
    let money = state.tank.as_ref().map(|t| t.currency.as_str()).filter(|c| !c.is_empty()).unwrap_or("price");
    ["m2/l".to_owned(), "1/m".to_owned(), format!("{}/l", text::clean(money))]
}

fn of(choice: &Choice) -> [String; 3] {
    let said = |x: Option<f64>, decimals| {
        x.map_or_else(|| figures::DASH.to_owned(), |x| figures::rounded(x, decimals))
    };
    [said(choice.surface(), 2), said(Some(choice.medium.capture.si()), 0), said(choice.price(), 2)]
}

pub fn page(state: &State) -> Page {
    let names = ["surface", "capture", "price"];
    let line = |choice: &Choice| {
        let figures = names.iter().zip(of(choice)).zip(units(state));
        let figures: Vec<String> = figures
            .filter(|((_, said), _)| said != figures::DASH)
            .map(|((name, said), unit)| format!("{name} {said} {}", unit.replace("1/", "per ")))
            .collect();
        let there = there(state, choice);
        let there = if there.is_empty() { there } else { format!(", {there}") };
        let medium = &choice.medium;
        format!("{}: {}, {}{there}", text::clean(&medium.name), medium.role.called(), figures.join(", "))
    };
    let lines = picker::choices(state).iter().map(line).collect();
    let on = state.restack.picker.as_ref().map(|p| p.list.cursor);
    Page { lines, on, more: spoken::rows(&told(state, spoken::WIDE, Theme::new(state.look))) }
}

pub fn rows(state: &State, w: usize, theme: Theme) -> Vec<Row> {
    let across = Across::new(w);
    let cursor = state.restack.picker.as_ref().map_or(0, |p| p.list.cursor);
    let choices = picker::choices(state);
    if choices.is_empty() {
        return vec![row("no medium is like that", theme.text())];
    }
    choices.iter().enumerate().map(|(i, c)| line(state, c, i == cursor, &across, theme)).collect()
}

fn line(state: &State, choice: &Choice, here: bool, across: &Across, theme: Theme) -> Row {
    let medium = &choice.medium;
    let hatch = theme::hatch(medium.role);
    let style = if here { theme.cursor() } else { theme.text() };
    let mut spans = vec![
        bit(if here { "► " } else { "  " }, theme.text()),
        bit(format!("{}{hatch}{hatch} ", medium.role.letter()), theme.text()),
        bit(text::left(&text::clean(&medium.name), across.name), style),
    ];
    if across.role > 0 {
        spans.push(bit(text::left(&format!(" {}", medium.role.called()), across.role), theme.text()));
    }
    spans.extend(of(choice).iter().map(|said| bit(text::right(said, FIGURE), theme.text())));
    let (style, sign) = if choice.harms { (theme.warn(), " ! ") } else { (theme.quiet(), "  ") };
    spans.push(bit(text::fit(&format!("{sign}{}", there(state, choice)), across.there), style));
    Line::from(spans)
}

/// What the chosen one is, or the line being typed.
pub fn told(state: &State, w: usize, theme: Theme) -> Vec<Row> {
    let mut out = Vec::new();
    let Some(picker) = &state.restack.picker else { return out };
    if let (Some(what), Some(line)) = (state.restack_typing(), &state.line) {
        out.push(typed(what, &line.before, &line.after, w, theme));
    } else if !picker.wanted.is_empty() {
        let all = state.keys.fill("({back} shows all)");
        let said = format!("only media with /{} {all}", text::clean(&picker.wanted));
        out.push(row(text::fit(&said, w), theme.text()));
    }
    if let Some(choice) = picker::choices(state).into_iter().nth(picker.list.cursor) {
        out.extend(paint::prose(&text::clean(&picker::says(state, &choice)), w, theme.quiet()));
    }
    out
}
