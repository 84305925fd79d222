//! Floor and trays along the water, each with what it holds and what is left.

use ratatui::text::Line as Spans;

use super::super::super::paint::{self};
use super::super::super::spoken::{self};
use super::super::super::theme::{self};
use super::super::super::{Page, Row, Theme, bit, row, text};
use super::standing;
use crate::app::screens::restack::change::too_high;
use crate::app::screens::restack::list::{self, Here, Shown, Space, Spot};
use crate::app::{State, Typing, Work};
use crate::measures::{Measure, Outcome};
use crate::model::{Dimples, SealCondition, Way, Workpiece};
use crate::report::figures::{self, Units};

/// The measures told in one line where the others are not in view.
const FIRST: [Measure; 5] = [
    Measure::FilteredFlow,
    Measure::Bypass,
    Measure::OpeningInterval,
    Measure::AmmoniaCapacity,
    Measure::Nitrate,
];

pub(super) struct Across {
    /// Cursor and drawing.
    lead: usize,
    name: usize,
    litres: usize,
    mass: usize,
    rest: usize,
}

const HEIGHT: usize = 8;

impl Across {
    fn new(w: usize) -> Self {
        let litres = if w >= 54 { 7 } else { 0 };
        let mass = if w >= 70 { 8 } else { 0 };
        let lead = 3 + drawn(w);
        let left = w.saturating_sub(lead + HEIGHT + litres + mass);
        let name = left.min(if w >= 54 { (left * 11 / 20).clamp(16, 32) } else { left.saturating_sub(10) });
        Self { lead, name, litres, mass, rest: left.saturating_sub(name) }
    }
}

/// Cells of the drawing in a list that wide, its walls with it.
fn drawn(w: usize) -> usize {
    match w {
        0..=59 => 8,
        60..=78 => 14,
        _ => 22,
    }
}

/// The line above: which way the water goes, and what the columns are.
pub fn head(work: &Work, w: usize, theme: Theme) -> Row {
    let across = Across::new(w);
    let way = &format!("  {}", stands(work));
    // Where that does not fit, what cannot be guessed.
    let short = if work.piece.filter.way == Way::Rising { "  water rises ↑" } else { "  water falls ↓" };
    let way = if text::width(way) <= across.lead + across.name { way } else { short };
    let mut said = text::left(way, across.lead + across.name);
    said.push_str(&text::right("height", HEIGHT));
    if across.litres > 0 {
        said.push_str(&text::right("volume", across.litres));
    }
    if across.mass > 0 {
        said.push_str(&text::right("dry", across.mass));
    }
    row(text::fit(&said, w), theme.quiet())
}

fn stands(work: &Work) -> &'static str {
    match work.piece.filter.way {
        Way::Rising => "as it stands; the water rises ↑",
        Way::Falling => "as it stands; the water falls ↓",
    }
}

/// What is told of the stack, then trays and layers from the top down, each a sentence.
pub fn page(state: &State, work: &Work) -> Page {
    let mut told = told(state, work, spoken::WIDE, Theme::new(state.look));
    // The last of it is the line under the cursor, the first the one being typed.
    told.pop();
    told.drain(..usize::from(state.restack_typing().is_some()).min(told.len()));
    let mut lines = spoken::rows(&told);
    lines.push(spoken::words(stands(work)));
    let on = Some(lines.len() + state.restack.list.cursor);
    lines.extend(sentences(&work.piece, state.units));
    Page { lines, on, more: Vec::new() }
}

/// What stands in trays and floor, the uppermost first; layers are counted from below.
pub fn sentences(piece: &Workpiece, units: Units) -> Vec<String> {
    let spaces = list::spaces(piece);
    let one = |spot: &Spot| {
        let (Spot::Space(s) | Spot::Layer(s, _)) = *spot;
        let space = spaces.get(s)?;
        Some(match *spot {
            Spot::Space(_) => format!("{}: {}", name_of(space), of_space(space, units)),
            Spot::Layer(_, l) => {
                let layer = space.layers.get(l)?;
                let (number, role) = (layer.at.1 + 1, layer.role.called());
                format!("{}, layer {number}, {role}: {}", name_of(space), of_layer(layer, units))
            }
        })
    };
    list::lines(&spaces).iter().filter_map(one).collect()
}

pub fn rows(state: &State, work: &Work, w: usize, theme: Theme) -> Vec<Row> {
    let spaces = list::spaces(&work.piece);
    let across = Across::new(w);
    let one = |(i, line): (usize, &Spot)| {
        let here = i == state.restack.list.cursor;
        match *line {
            Spot::Space(s) => {
                spaces.get(s).map_or_else(Row::default, |s| space(s, here, w, state.units, theme))
            }
            Spot::Layer(s, l) => spaces
                .get(s)
                .and_then(|s| s.layers.get(l))
                .map_or_else(Row::default, |l| layer(l, here, &across, state.units, theme)),
        }
    };
    list::lines(&spaces).iter().enumerate().map(one).collect()
}

fn name_of(space: &Space) -> String {
    crate::place::Space::of(space.tray).to_string()
}

fn seal(space: &Space, units: Units) -> Option<String> {
    let (condition, gap) = space.seal?;
    let word = match condition {
        SealCondition::Lip => "seal sound",
        SealCondition::Worn => "seal worn",
        SealCondition::Missing => "seal missing",
    };
    Some(format!("{word}, gap {}", gap_length(gap, units)))
}

/// A narrow gap keeps its hundredths.
fn gap_length(mm: f64, units: Units) -> String {
    if units == Units::Us || mm >= 0.995 {
        figures::length(mm, units)
    } else {
        format!("{} mm", figures::rounded(mm, 2))
    }
}

fn space(space: &Space, here: bool, w: usize, units: Units, theme: Theme) -> Row {
    let height = figures::cut_length(space.height_mm, units);
    let seal = seal(space, units).map_or_else(String::new, |s| format!(" · {s}"));
    let filled = filled(space, units);
    let sign = if here { "►" } else { " " };
    let style = if here { theme.cursor() } else { theme.text() };
    let right = text::width(&filled);
    let number = space.tray.map_or("─".to_owned(), |t| (t + 1).to_string());
    let rule = "─".repeat(drawn(w).saturating_sub(5 + text::width(&number)));
    let grid = format!("├{rule} {number} ─┤");
    let room = w.saturating_sub(3 + drawn(w) + right + 1);
    let lead = text::left(&format!("{} {height}{seal}", name_of(space)), room);
    let end = if space.left_mm < TOO_HIGH { theme.warn() } else { theme.text() };
    let drawing = bit(format!("{sign} {grid} "), theme.text());
    Spans::from(vec![drawing, bit(lead, style), bit(" ", theme.text()), bit(filled, end)])
}

/// Millimetres left from which on layers stand too high.
const TOO_HIGH: f64 = -0.1;

fn filled(space: &Space, units: Units) -> String {
    let length = |mm| figures::cut_length(mm, units);
    match space.left_mm {
        _ if space.layers.is_empty() => "empty".to_owned(),
        left if left < TOO_HIGH => format!("! {} too high", length((-left * 10.0).ceil() / 10.0)),
        left if left < 0.05 => "full".to_owned(),
        left => format!("{} used, {} left", length(space.used_mm), length(left)),
    }
}

fn layer(layer: &Shown, here: bool, across: &Across, units: Units, theme: Theme) -> Row {
    let sign = if here { "►" } else { " " };
    let hatch = theme::hatch(layer.role);
    let style = if here { theme.cursor() } else { theme.text() };
    let mut spans = vec![
        bit(format!("{sign} {} ", drawing(layer, hatch, across.lead.saturating_sub(3))), theme.text()),
        bit(text::left(&text::clean(&layer.name), across.name), style),
        bit(text::right(&figures::cut_length(layer.mm, units), HEIGHT), theme.text()),
    ];
    if across.litres > 0 {
        spans.push(bit(text::right(&figures::volume(layer.litres, units), across.litres), theme.text()));
    }
    if across.mass > 0 {
        spans.push(bit(text::right(&figures::mass(layer.kilograms, units), across.mass), theme.text()));
    }
    let odd = oddities(layer, units);
    let whole = odd.join(", ");
    // Where room is short the unit stands once, at the end.
    let odd = if text::width(&whole) + 2 > across.rest { unit_once(&odd) } else { whole };
    let wrong = layer.hole_mm.is_some() || layer.slack_mm > 1.0;
    let (style, sign) = if wrong { (theme.warn(), " ! ") } else { (theme.quiet(), "  ") };
    spans.push(bit(format!("{sign}{}", text::fit(&odd, across.rest.saturating_sub(sign.len()))), style));
    Spans::from(spans)
}

/// A layer between the walls of its tray: hatch and letter; a dimpled side is told by a mark at the end.
fn drawing(layer: &Shown, hatch: char, cells: usize) -> String {
    let side = match layer.dimples {
        Some((Dimples::Up, _)) => "^",
        Some((Dimples::Down, _)) => "v",
        Some((Dimples::Both, _)) => "x",
        None => " ",
    };
    let rest: String = std::iter::repeat_n(hatch, cells.saturating_sub(8)).collect();
    format!("│{hatch}{hatch} {} {rest}{side}│", layer.role.letter())
}

/// `hole 25, edge gap 1 mm`.
fn unit_once(parts: &[String]) -> String {
    let last = parts.len().saturating_sub(1);
    let bare = |(i, part): (usize, &String)| {
        let cut = part.strip_suffix(" mm").or_else(|| part.strip_suffix(" in"));
        cut.filter(|_| i < last).unwrap_or(part).to_owned()
    };
    parts.iter().enumerate().map(bare).collect::<Vec<_>>().join(", ")
}

fn oddities(layer: &Shown, units: Units) -> Vec<String> {
    let mut out = Vec::new();
    if layer.fills {
        out.push("fills".to_owned());
    }
    if let Some(mm) = layer.hole_mm {
        out.push(format!("hole {}", figures::cut_length(mm, units)));
    }
    if layer.slack_mm > 0.0 {
        out.push(format!("edge gap {}", figures::cut_length(layer.slack_mm, units)));
    }
    if layer.pressed > 0.0 {
        out.push(format!("pressed {}", figures::share(layer.pressed)));
    }
    if let Some((side, faces)) = layer.dimples {
        let word = match (side, faces) {
            (Dimples::Both, _) => "dimples both",
            (_, true) => "dimples to water",
            (_, false) => "dimples away",
        };
        out.push(word.to_owned());
    }
    out
}

/// What is told below: what does not fit, or what to know of the source; the first figures; and what stands under
/// the cursor, or the line being typed.
pub fn told(state: &State, work: &Work, w: usize, theme: Theme) -> Vec<Row> {
    let mut out = Vec::new();
    if let Some(what) = state.restack_typing()
        && let Some(line) = &state.line
    {
        out.push(typed(what, &line.before, &line.after, w, theme));
    }
    if let Some(why) = too_high(work, state.units) {
        out.extend(paint::prose(&format!("! {why}"), w, theme.warn()));
    } else if let Some(said) = standing(state, work) {
        out.extend(paint::prose(&format!("! {said}"), w, theme.warn()));
    }
    out.push(row(text::fit(&first_figures(state, work, w), w), theme.text()));
    let here =
        list::here(work, state.restack.list.cursor).map_or_else(String::new, |h| words(&h, state.units));
    out.push(row(text::fit(&here, w), theme.quiet()));
    out
}

pub(super) fn typed(what: Typing, before: &str, after: &str, w: usize, theme: Theme) -> Row {
    let asks = format!("{}: ", what.asks());
    let room = w.saturating_sub(text::width(&asks) + 1).max(8.min(w));
    let mut before = text::clean(before);
    while text::width(&before) > room && !before.is_empty() {
        before.remove(0);
    }
    let after = text::fit(&text::clean(after), room.saturating_sub(text::width(&before)));
    Spans::from(vec![
        bit(asks, theme.text()),
        bit(before, theme.text()),
        bit("▏", theme.text()),
        bit(after, theme.text()),
    ])
}

/// The first measures as they were and as they are; as many as there is room for.
fn first_figures(state: &State, work: &Work, w: usize) -> String {
    if work.now.judged.is_none() {
        return "figures are being worked out".to_owned();
    }
    let shown = |measure: Measure| {
        let of =
            |o: Option<Outcome>| o.map_or_else(|| "…".to_owned(), |o| figures::show(measure, o, state.units));
        let (was, now) = (of(work.before.outcome(measure)), of(work.now.outcome(measure)));
        let sign = figures::sign(measure, state.units);
        let gap = if sign.is_empty() { "" } else { " " };
        let both = if was == now { now } else { format!("{was} → {now}") };
        format!("{} {both}{gap}{sign}", measure.row().head)
    };
    let mut out = String::new();
    for item in FIRST.into_iter().map(shown) {
        let more = if out.is_empty() { item } else { format!("{out} · {item}") };
        if text::width(&more) > w {
            break;
        }
        out = more;
    }
    out
}

fn words(here: &Here, units: Units) -> String {
    match here {
        Here::Space(s) => format!("{}: {}", name_of(s), of_space(s, units)),
        Here::Layer(l, s) => format!("{}: {}", name_of(s), of_layer(l, units)),
    }
}

fn of_space(space: &Space, units: Units) -> String {
    let seal = seal(space, units).map_or_else(String::new, |s| format!(", {s}"));
    format!("{} high{seal}, {}", figures::cut_length(space.height_mm, units), filled(space, units))
}

fn of_layer(l: &Shown, units: Units) -> String {
    let odd = oddities(l, units);
    let odd = if odd.is_empty() { String::new() } else { format!(", {}", odd.join(", ")) };
    format!(
        "{}, {} high, {}, {} dry{odd}",
        text::clean(&l.name),
        figures::cut_length(l.mm, units),
        figures::volume(l.litres, units),
        figures::mass(l.kilograms, units)
    )
}
