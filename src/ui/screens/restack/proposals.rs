//! Better stacks: a table in score order with the stack as it is in its place; below it the chosen one as it would
//! stand, what it gains, gives up and asks to be bought.

use super::super::super::spoken::{self};
use super::super::super::theme::{self};
use super::super::super::{Page, Row, Theme, bit, row, text};
use super::{list as stands, told_of};
use crate::app::screens::restack::{list, proposals};
use crate::app::state::restack::Proposals;
use crate::app::{State, Work};
use crate::assess::Assessment;
use crate::measures::{Measure, Outcome};
use crate::model::{Build, Workpiece};
use crate::place::Space;
use crate::propose::Proposal;
use crate::report::{figures, restack, spans};
use ratatui::text::Line;

const BAR: usize = 20;
/// Figures beside a stack, and cells of each.
const FIGURES: [Measure; 4] =
    [Measure::Clearing, Measure::BypassDirty, Measure::OpeningInterval, Measure::AmmoniaCapacity];
const CELL: usize = 9;
/// Cells of the score, and of what is to be bought.
const SCORE: usize = 7;
const BUY: usize = 6;

/// How far the search is, or what came of it; the table; the chosen one. And at which line the cursor is.
pub fn rows(state: &State, work: &Work, w: usize, theme: Theme) -> (Vec<Row>, usize) {
    let Some(open) = &state.restack.proposals else { return (Vec::new(), 0) };
    let mut out = Vec::new();
    if let Some(said) = status(state, open) {
        out.extend(text::wrap(&said, w).into_iter().map(|l| row(format!(" {l}"), theme.quiet())));
    }
    let title = work.title();
    let (Some(told), Some(before)) = (told_of(state, work, &title), work.before.judged.as_deref()) else {
        out.push(row(" the build as it was is being judged", theme.quiet()));
        return (out, 0);
    };
    out.extend(heads(state, w, theme));
    let at = out.len() + open.list.cursor;
    for (i, cells) in table(state, work, open, before).iter().enumerate() {
        out.push(line(cells, i == open.list.cursor, w, theme));
    }
    let Some(chosen) = proposals::chosen(open) else { return (out, at) };
    let say = |out: &mut Vec<Row>, said: &str, style| {
        out.extend(text::wrap(said, w.saturating_sub(1)).into_iter().map(|l| row(format!(" {l}"), style)));
    };
    let rule = format!(" {} · as it would stand ", open.list.cursor + 1);
    out.push(Line::from(vec![
        bit(rule.clone(), theme.text()),
        bit("─".repeat(w.saturating_sub(text::width(&rule))), theme.quiet()),
    ]));
    out.extend(stack(state, work, &chosen.build, theme));
    for line in restack::words(told, chosen) {
        say(&mut out, &text::clean(&line), theme.text());
    }
    for limit in restack::dropped(told, chosen) {
        say(&mut out, &format!("! {}", text::clean(&limit)), theme.warn());
    }
    (out, at)
}

/// Each stack a sentence; of the chosen one all that would stand there, and what is said of it.
pub fn page(state: &State, work: &Work) -> Page {
    let Some(open) = &state.restack.proposals else { return Page::default() };
    let title = work.title();
    let (Some(told), Some(before)) = (told_of(state, work, &title), work.before.judged.as_deref()) else {
        return Page::of(vec!["the build as it was is being judged".to_owned()]);
    };
    let status = status(state, open).map(|said| spoken::words(&said));
    let mut page = Page { on: Some(open.list.cursor + usize::from(status.is_some())), ..Page::default() };
    page.lines.extend(status);
    for cells in table(state, work, open, before) {
        let figures = FIGURES.iter().zip(&cells.figures).map(|(m, said)| {
            let unit = spans::unit(*m, state.units, state.currency());
            format!("{} {said} {unit}", m.row().head).trim_end().to_owned()
        });
        let figures: Vec<String> = figures.collect();
        let (mark, name, score) = (&cells.mark, &cells.name, &cells.score);
        let buy = format!("to buy {} {}", cells.buy, state.currency());
        page.lines.push(format!("{mark} {name}: score {score}, {}, {buy}", figures.join(", ")));
    }
    if let Some(chosen) = proposals::chosen(open) {
        let piece = Workpiece::new(std::sync::Arc::clone(&work.piece.filter), chosen.build.clone(), None);
        page.more = stands::sentences(&piece, state.units);
        page.more.extend(restack::words(told, chosen).iter().map(|line| spoken::words(&text::clean(line))));
        page.more
            .extend(restack::dropped(told, chosen).iter().map(|line| format!("! {}", text::clean(line))));
    }
    page
}

fn status(state: &State, open: &Proposals) -> Option<String> {
    Some(match open.searching {
        Some(share) => {
            let full = ((share.clamp(0.0, 1.0) * BAR as f64) as usize).min(BAR);
            let bar = format!("{}{}", "█".repeat(full), "▁".repeat(BAR - full));
            let stops = state.keys.fill("({back} stops)");
            format!("looking {bar} {} {stops}", figures::share(share.clamp(0.0, 0.99)))
        }
        None if open.stopped => state.keys.fill("the search was stopped ({back} goes back to the stack)"),
        None if open.found.is_empty() => {
            "no stack without a fault of order can be made of that: a coarse or medium pad must come first"
                .to_owned()
        }
        None => return None,
    })
}

pub fn among(state: &State) -> String {
    let foam = if state.restack.foam_only { ", foam alone too" } else { "" };
    let from = if state.restack.on_hand {
        "from what is on hand ({on_hand}: all media)"
    } else {
        "from all media ({on_hand}: on hand)"
    };
    state.keys.fill(&format!("{from}{foam}"))
}

fn name_cells(w: usize) -> usize {
    w.saturating_sub(3 + SCORE + FIGURES.len() * CELL + BUY)
}

fn heads(state: &State, w: usize, theme: Theme) -> [Row; 2] {
    let head = |m: Measure| crate::app::columns::heads(state, m.into());
    let pad = |said: &str| text::right(said, CELL);
    let first: String = FIGURES.iter().map(|m| pad(&head(*m).0)).collect();
    let second: String = FIGURES.iter().map(|m| pad(&head(*m).1)).collect();
    let name = text::left("   stack, top first", 3 + name_cells(w));
    let blank = " ".repeat(text::width(&name));
    [
        row(
            format!("{name}{}{first}{}", text::right("score", SCORE), text::right("buy", BUY)),
            theme.quiet(),
        ),
        row(
            format!("{blank}{}{second}{}", " ".repeat(SCORE), text::right(state.currency(), BUY)),
            theme.quiet(),
        ),
    ]
}

struct Cells {
    mark: String,
    name: String,
    score: String,
    figures: [String; 4],
    buy: String,
}

/// The stacks found, and in its place the one as it is.
fn table(state: &State, work: &Work, open: &Proposals, before: &Assessment) -> Vec<Cells> {
    let mut number = 0;
    let row = |which: Option<usize>| {
        let (mark, name, score, judged, buy) = if let Some(f) = which.and_then(|n| open.found.get(n)) {
            number += 1;
            let mark = if proposals::doubtful(f) { "!".to_owned() } else { number.to_string() };
            let buy = f.shopping.cost.map_or(figures::DASH.to_owned(), |cost| figures::rounded(cost, 0));
            (mark, letters(work, &f.build), f.score, &f.judgement, buy)
        } else {
            let score = open.found.first().map_or(0.0, |f| f.score_as_it_is);
            ("–".to_owned(), "as it is".to_owned(), score, before, figures::DASH.to_owned())
        };
        let figure = |m: Measure| spans::figure(m, judged.outcome(m), None, state.units).middle_alone();
        Cells { mark, name, score: figures::rounded(score, 2), figures: FIGURES.map(figure), buy }
    };
    proposals::rows(open).into_iter().map(row).collect()
}

fn line(cells: &Cells, here: bool, w: usize, theme: Theme) -> Row {
    let sign = if here { "►" } else { " " };
    let style = if here { theme.cursor() } else { theme.text() };
    let figures: String = cells.figures.iter().map(|said| text::right(said, CELL)).collect();
    Line::from(vec![
        bit(
            format!("{sign}{} ", text::left(&cells.mark, 1)),
            if cells.mark == "!" { theme.warn() } else { theme.text() },
        ),
        bit(text::left(&cells.name, name_cells(w)), style),
        bit(text::right(&cells.score, SCORE), theme.text()),
        bit(figures, theme.text()),
        bit(text::right(&cells.buy, BUY), theme.text()),
    ])
}

/// The roles of a stack, trays from the top down, the floor last.
fn letters(work: &Work, build: &Build) -> String {
    let piece = Workpiece::new(std::sync::Arc::clone(&work.piece.filter), build.clone(), None);
    let spaces = list::spaces(&piece);
    let one = |space: &list::Space| -> String {
        let said: Vec<String> = space.layers.iter().map(|l| l.role.letter().to_string()).collect();
        if said.is_empty() { "–".to_owned() } else { said.join(" ") }
    };
    spaces.iter().map(one).collect::<Vec<_>>().join(" | ")
}

/// A stack as it would stand, top first, one layer a line.
fn stack(state: &State, work: &Work, build: &Build, theme: Theme) -> Vec<Row> {
    let piece = Workpiece::new(std::sync::Arc::clone(&work.piece.filter), build.clone(), None);
    let mut out = Vec::new();
    for space in list::spaces(&piece) {
        let place = text::left(&Space::of(space.tray).to_string(), 7);
        if space.layers.is_empty() {
            out.push(row(format!(" {place} empty"), theme.quiet()));
        }
        for (i, l) in space.layers.iter().enumerate() {
            let hatch = theme::hatch(l.role);
            let lead = if i == 0 { place.clone() } else { " ".repeat(7) };
            out.push(row(
                format!(
                    " {lead} {hatch}{hatch} {} {} {}  {}",
                    l.role.letter(),
                    text::left(&text::clean(&l.name), 26),
                    text::right(&figures::length(l.mm.round(), state.units), 7),
                    figures::volume(l.litres, state.units)
                ),
                theme.text(),
            ));
        }
    }
    out
}

pub fn against(state: &State, work: &Work, proposal: &Proposal, w: usize, theme: Theme) -> Vec<Row> {
    let Some(before) = work.before.judged.as_deref() else { return Vec::new() };
    let mut out = vec![row(
        format!("{}{}{}", text::left("", w.min(24)), text::right("was", 7), text::right("would", 7)),
        theme.quiet(),
    )];
    for change in proposal.gains.iter().chain(&proposal.gives_up) {
        let scale = spans::Scale::of([change.from, change.to].into_iter().filter_map(Outcome::number));
        let shown = |judged: &Assessment| {
            spans::figure_on(scale, change.measure, judged.outcome(change.measure), None, state.units).middle
        };
        let unit = match scale.sign(change.measure) {
            "" => spans::unit(change.measure, state.units, state.currency()),
            sign => sign,
        };
        let label = text::left(&format!("{} {unit}", change.measure.row().head), w.min(24));
        let gains = proposal.gains.contains(change);
        out.push(Line::from(vec![
            bit(label, theme.text()),
            bit(text::right(&shown(before), 7), theme.quiet()),
            bit(text::right(&shown(&proposal.judgement), 7), theme.text()),
            bit(if gains { " ▲" } else { " ▼" }, theme.text()),
        ]));
    }
    out
}
