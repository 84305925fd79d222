//! The vessel cut open: heights to scale, layers hatched by role, the way of the water, and every place where
//! water slips past, with its share.

mod leaks;
mod scale;

use ratatui::text::{Line, Span};

use self::leaks::Marks;
use self::scale::{Item, What};
use super::super::paint::{self, cut};
use super::super::theme::{self};
use super::super::{Row, Theme, bit, row, text};
use crate::assess::assessment::{LeakPlace, Space};
use crate::assess::{Assessment, Section, Slab};
use crate::measures::{Measure, Outcome};
use crate::model::{SealCondition, Way};
use crate::report::figures::{self, Units};

/// Too narrow to draw in: the layers are listed instead.
const NARROWEST: usize = 18;
/// From so many cells on, a layer's name leaves room for its hatch.
const HATCHED: usize = 12;

struct Across {
    /// Cells inside the tube; none without one.
    tube: Option<usize>,
    /// Cells between tube wall and vessel wall.
    inner: usize,
    /// Cells for the marks beside the vessel.
    margin: usize,
}

impl Across {
    fn new(w: usize, tube: bool) -> Self {
        let margin = match w {
            0..=25 => 0,
            26..=39 => 11,
            40..=57 => 15,
            _ => 21,
        };
        let body = w - margin;
        let tube = tube.then_some(if body >= 32 { 3 } else { 1 });
        let inner = body.saturating_sub(2 + tube.map_or(0, |t| t + 1));
        Self { tube, inner, margin }
    }
}

/// The drawing for a width and height; higher than asked for where a row a layer needs it.
pub fn rows(judged: &Assessment, size: (usize, usize), units: Units, theme: Theme) -> Vec<Row> {
    let (w, h) = size;
    let section = &judged.section;
    if w < NARROWEST {
        return listed(section, w, units, theme);
    }
    let across = Across::new(w, section.tube_mm.is_some());
    let (outline, dotted) = (outline(section), if section.assumes() { "dotted: assumed" } else { "" });
    let mut below = match format!("{outline} · {dotted}") {
        both if dotted.is_empty() || text::width(&both) <= w => vec![both.trim_end_matches(" · ").to_owned()],
        _ => vec![outline, dotted.to_owned()],
    };
    let slabs = || section.floor.iter().chain(&section.trays).flat_map(|space| &space.layers);
    if slabs().any(|slab| slab.dimples.is_some()) {
        below.push("^ v x: dimples above, below, both".to_owned());
    }
    let mut notes = excess(section, w, units, theme);
    let room = h.saturating_sub(3 + below.len() + notes.len());
    let items = scale::items(section, room);
    let marks = Marks::place(&judged.leaks, &items);
    let draw = Draw { section, marks: &marks, across: &across, units, theme };

    let mut out = vec![draw.ports(judged), draw.edge(['╭', '┬', '╮'], section.head_assumed, lid(section))];
    let mut at = 0;
    for item in &items {
        for r in 0..item.rows {
            let mut line = draw.item(item, r);
            if across.margin > 0
                && let Some((said, much)) = marks.said(at, across.margin)
            {
                line.spans.push(bit(said, if much { theme.worse() } else { theme.text() }));
            }
            out.push(line);
            at += 1;
        }
    }
    out.push(draw.edge(['╰', '┴', '╯'], false, ""));
    if section.tube_mm.is_none() {
        let said = match section.way {
            Way::Rising => "in from below ↑",
            Way::Falling => "out below ↓",
        };
        out.push(row(format!("  {said}"), theme.text()));
    }
    let beside = across.margin > 0;
    for said in marks.left_over(!beside) {
        out.extend(paint::prose(&said, w, theme.text()));
    }
    out.append(&mut notes);
    out.extend(below.into_iter().map(|said| row(said, theme.quiet())));
    out.into_iter().map(|l| cut(&l, w)).collect()
}

fn outline(section: &Section) -> String {
    let Some(space) = section.trays.first().or(section.floor.as_ref()) else { return String::new() };
    let fills =
        space.fills_box.map_or(String::new(), |share| format!(", {} of their box", figures::share(share)));
    let mixed = section.trays.iter().any(|t| t.outline != space.outline);
    format!("trays: {}{}{fills}", space.outline, if mixed { " (the lowest)" } else { "" })
}

fn lid(section: &Section) -> &'static str {
    if section.uv { " lid, pump, UV lamp " } else { " lid, pump " }
}

struct Draw<'a> {
    section: &'a Section,
    marks: &'a Marks,
    across: &'a Across,
    units: Units,
    theme: Theme,
}

impl Draw<'_> {
    /// The line above the lid: where water enters and leaves.
    fn ports(&self, judged: &Assessment) -> Row {
        let out = match judged.outcome(Measure::Flow) {
            Outcome::Value(q) => format!("{} out ↑", figures::flow(q, self.units)),
            _ => "out ↑".to_owned(),
        };
        let body = self.across.inner + 2 + self.across.tube.map_or(0, |t| t + 1);
        let (at_tube, at_lid) = match self.section.way {
            Way::Rising => ("in ↓".to_owned(), out),
            Way::Falling => (format!("↑ {}", out.trim_end_matches([' ', '↑'])), "in ↓".to_owned()),
        };
        if self.across.tube.is_none() {
            return row(text::right(&at_lid, body), self.theme.text());
        }
        let room = body.saturating_sub(text::width(&at_tube) + 1);
        row(format!(" {at_tube}{}", text::right(&at_lid, room)), self.theme.text())
    }

    fn edge(&self, [left, joint, right]: [char; 3], assumed: bool, said: &str) -> Row {
        let line = flat(assumed);
        let tube = self.across.tube.map_or(String::new(), |t| line.repeat(t) + &joint.to_string());
        let said = text::fit(said, self.across.inner);
        let room = self.across.inner.saturating_sub(text::width(&said));
        let middle = format!("{}{said}{}", line.repeat(room / 2), line.repeat(room - room / 2));
        row(format!("{left}{tube}{middle}{right}"), self.theme.text())
    }

    fn item(&self, item: &Item, r: usize) -> Row {
        let mut spans = vec![bit("│", self.theme.text())];
        if let Some(t) = self.across.tube {
            let arrow = match self.section.way {
                Way::Rising => "↓",
                Way::Falling => "↑",
            };
            let said = if r == item.rows / 2 { arrow } else { "" };
            let side = (t - 1) / 2;
            let inside = format!("{}{}", " ".repeat(side), text::left(said, t - side));
            let joint = item.place.is_some_and(|(tray, _)| r == 0 && item.first && self.marks.joint(tray));
            spans.push(bit(inside, self.theme.text()));
            let wall = upright(self.section.tube_assumed);
            spans.push(bit(if joint { "►" } else { wall }, self.theme.text()));
        }
        let inner = self.across.inner;
        match (&item.what, item.tray()) {
            (What::Head { mm }, _) => {
                let said = format!(" {} of water ", figures::length(*mm, self.units));
                spans.push(self.water(inner, &said, r == item.rows / 2));
            }
            (What::Free { mm, .. }, None) => {
                let said = format!(" floor {} ", figures::length(*mm, self.units));
                spans.push(self.water(inner, &said, r == item.rows / 2));
            }
            (what, None) => {
                if let What::Layer { slab, .. } = what {
                    spans.extend(self.slab(slab, inner, r, item.rows));
                }
            }
            (what, Some(tray)) => self.in_tray(&mut spans, what, tray, item, r),
        }
        spans.push(bit("│", self.theme.text()));
        Line::from(spans)
    }

    /// A row within a tray: gap to the vessel, tray wall, what lies in it.
    fn in_tray(&self, spans: &mut Vec<Span<'static>>, what: &What<'_>, tray: usize, item: &Item, r: usize) {
        let slips = self.marks.seal(tray);
        let gap = if slips && r == item.rows / 2 { self.arrow() } else { " " };
        let gap = bit(gap, self.theme.text());
        let room = self.across.inner.saturating_sub(4);
        let space = self.section.trays.get(tray);
        let wall = bit(upright(space.is_some_and(|s| s.assumed)), self.theme.text());
        spans.push(gap.clone());
        match what {
            What::Grid => {
                let line = flat(space.is_some_and(|s| s.assumed || s.seal_assumed));
                let seal = space.and_then(|t| t.seal).map_or("", |(c, _)| match c {
                    SealCondition::Lip => " seal sound ",
                    SealCondition::Worn => " seal worn ",
                    SealCondition::Missing => " seal missing ",
                });
                let said = text::fit(&format!("{line} {} {line}{line}{seal}", tray + 1), room);
                let rest = line.repeat(room.saturating_sub(text::width(&said)));
                spans.push(bit(format!("├{said}{rest}┤"), self.theme.text()));
                spans.push(gap);
                return;
            }
            What::Layer { slab, .. } => {
                spans.push(wall.clone());
                spans.extend(self.slab(slab, room, r, item.rows));
            }
            What::Free { mm, empty } => {
                spans.push(wall.clone());
                let said = if *empty {
                    "nothing in this tray".to_owned()
                } else {
                    format!("{} free", figures::length(*mm, self.units))
                };
                let said = if r == item.rows / 2 { said } else { String::new() };
                spans.push(bit(centred(&said, room, ' '), self.theme.text()));
            }
            What::Head { .. } => spans.push(bit(" ".repeat(room + 1), self.theme.text())),
        }
        spans.push(wall);
        spans.push(gap);
    }

    /// A row of a layer: slack at its edges, hatch, its name in the middle, a hole.
    fn slab(&self, slab: &Slab, room: usize, r: usize, rows: usize) -> Vec<Span<'static>> {
        let sign = theme::hatch(slab.role);
        let [above, below] = slab.dimpled();
        // Every other cell of the row on the dimpled side.
        let mark = match (above && r == 0, below && r + 1 == rows) {
            (true, true) => 'x',
            (true, false) => '^',
            (false, true) => 'v',
            (false, false) => sign,
        };
        let hatch = |from: usize, n: usize| -> String {
            (from..from + n).map(|at| if at % 2 == 1 { mark } else { sign }).collect()
        };
        let style = self.theme.text();
        let slack = slab.slack_mm > 0.0 && room >= 8;
        let pad = room - if slack { 2 } else { 0 };
        let hole = slab.hole_mm.filter(|mm| *mm > 0.0).filter(|_| pad >= 14).map(|_| 4 + pad / 24);
        let (before, after) = match hole {
            Some(hole) => {
                let after = (pad - hole) / 5;
                (pad - hole - after, after)
            }
            None => (pad, 0),
        };
        let said = match r {
            // A sign of the hatch stays at either end, where there is room for any.
            r if r == (rows - 1) / 2 => self.name(slab, if before >= HATCHED { before - 4 } else { before }),
            r if r == (rows - 1) / 2 + 1 => slab
                .share
                .map(|s| format!(" {} of the water ", figures::share(s)))
                .filter(|s| text::width(s) + 2 <= before)
                .unwrap_or_default(),
            _ => String::new(),
        };
        let edge = bit(self.arrow(), self.theme.text());
        let mut spans = Vec::new();
        if slack {
            spans.push(edge.clone());
        }
        let lead = before.saturating_sub(text::width(&said)) / 2;
        spans.push(bit(hatch(0, lead), style));
        let tail = before.saturating_sub(lead + text::width(&said));
        let from = before - tail;
        spans.push(bit(said, self.theme.text()));
        spans.push(bit(hatch(from, tail), style));
        if let Some(hole) = hole {
            let said = if r == (rows - 1) / 2 && hole >= 6 { "hole" } else { self.arrow() };
            spans.push(bit(format!("({})", centred(said, hole - 2, ' ')), self.theme.text()));
            spans.push(bit(hatch(before, after), style));
        }
        if slack {
            spans.push(edge);
        }
        spans
    }

    /// Letter, name and height; the name gives way where room is short.
    fn name(&self, slab: &Slab, room: usize) -> String {
        let height = figures::length(slab.height_mm, self.units);
        let bare = text::width(&height) + 5;
        let name = text::clean(&slab.name);
        let left = room.saturating_sub(bare);
        if left >= 3 {
            format!(" {} {} {height} ", slab.role.letter(), text::fit(&name, left))
        } else {
            text::fit(&format!(" {} {height} ", slab.role.letter()), room)
        }
    }

    /// A row of open water with arrows the way it goes.
    fn water(&self, room: usize, said: &str, in_the_middle: bool) -> Span<'static> {
        let said = if in_the_middle { said } else { "" };
        let every = (room / 6).clamp(4, 9);
        let arrows: String = (0..room)
            .map(|c| if in_the_middle && c % every == every / 2 { self.arrow() } else { " " })
            .collect();
        let said = text::fit(said, room);
        let side = room.saturating_sub(text::width(&said)) / 2;
        let lead: String = arrows.chars().take(side).collect();
        let tail: String = arrows.chars().skip(side + text::width(&said)).collect();
        bit(format!("{lead}{said}{tail}"), self.theme.text())
    }

    fn arrow(&self) -> &'static str {
        match self.section.way {
            Way::Rising => "↑",
            Way::Falling => "↓",
        }
    }
}

fn repeat(sign: char, n: usize) -> String {
    std::iter::repeat_n(sign, n).collect()
}

fn centred(said: &str, room: usize, fill: char) -> String {
    let said = text::fit(said, room);
    let free = room.saturating_sub(text::width(&said));
    format!("{}{said}{}", repeat(fill, free / 2), repeat(fill, free - free / 2))
}

fn excess(section: &Section, w: usize, units: Units, theme: Theme) -> Vec<Row> {
    let spaces = section.floor.iter().map(|f| ("the floor".to_owned(), f));
    let trays = section.trays.iter().enumerate().map(|(i, t)| (format!("tray {}", i + 1), t));
    spaces
        .chain(trays)
        .filter(|(_, s)| s.excess_mm > 0.0)
        .flat_map(|(place, s)| {
            let said = format!("! {place}: layers stand {} too high", figures::length(s.excess_mm, units));
            paint::prose(&said, w, theme.warn())
        })
        .collect()
}

/// The layers as a list, top first, where there is no room to draw.
fn listed(section: &Section, w: usize, units: Units, theme: Theme) -> Vec<Row> {
    let one = |space: &Space, place: String| -> Vec<Row> {
        let mut out = vec![row(text::fit(&place, w), theme.text())];
        if space.layers.is_empty() {
            out.push(row(text::fit(" nothing in it", w), theme.text()));
        }
        for slab in space.layers.iter().rev() {
            let height = figures::length(slab.height_mm, units);
            let said = format!(" {} {height} {}", slab.role.letter(), text::clean(&slab.name));
            out.push(row(text::fit(&said, w), theme.text()));
        }
        out
    };
    let trays = section.trays.iter().enumerate().rev().flat_map(|(i, t)| one(t, format!("tray {}", i + 1)));
    let floor = section.floor.iter().flat_map(|f| one(f, "floor".to_owned()));
    trays.chain(floor).collect()
}

/// A line across; dotted where what it stands for is assumed.
fn flat(assumed: bool) -> &'static str {
    if assumed { "┄" } else { "─" }
}
fn upright(assumed: bool) -> &'static str {
    if assumed { "┆" } else { "│" }
}

fn word(place: LeakPlace) -> &'static str {
    match place {
        LeakPlace::Seal { .. } => "seal",
        LeakPlace::Slack { .. } => "edge gap",
        LeakPlace::Hole { .. } => "hole",
        LeakPlace::Joint { .. } => "joint",
    }
}
