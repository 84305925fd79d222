//! The outline seen from above, with the share of its box that it fills, beside the legend of the hatches.

use ratatui::text::Line;

use super::super::super::paint::{Row, bit, row};
use super::super::super::text;
use super::super::super::theme::{self, Theme};
use crate::assess::assessment::{Section, Space};
use crate::model::medium::Role;
use crate::report::figures;

/// Most cells of the inset, across and down.
const MOST: (usize, usize) = (14, 5);
/// A cell is about twice as high as wide.
const TALL: f64 = 2.0;

/// Cells across and down in the outline's own proportion, as large as the room allows.
fn cells(space: &Space) -> (usize, usize) {
    let (width, depth) = space.box_mm.filter(|(w, d)| *w > 0.0 && *d > 0.0).unwrap_or((1.0, 1.0));
    let across = width / depth * TALL;
    let scale = (MOST.0 as f64 / across).min(MOST.1 as f64);
    let whole = |x: f64, most: usize| (x.round().max(1.0) as usize).min(most);
    (whole(across * scale, MOST.0), whole(scale, MOST.1))
}

/// The lines; one line of words alone where height is short.
pub fn rows(section: &Section, w: usize, h: usize, theme: Theme) -> Vec<Row> {
    let Some(space) = section.trays.first().or(section.floor.as_ref()) else { return Vec::new() };
    let said = words(section, space);
    if h < 20 || w < 26 || space.from_above.len() < 3 {
        return vec![row(text::fit(&said, w), theme.text())];
    }
    let (across, down) = cells(space);
    let mut beside = text::wrap(&said, w.saturating_sub(across + 4));
    let in_use = |role: &&Role| {
        let all = section.trays.iter().chain(section.floor.iter()).flat_map(|s| &s.layers);
        all.into_iter().any(|l| l.role == **role)
    };
    let legend: Vec<String> = Role::ALL.iter().filter(in_use).map(|r| theme::sample(*r)).collect();
    beside.extend(text::pack(&legend, w.saturating_sub(across + 4)));
    let count = down.max(beside.len());
    let mut beside = beside.into_iter();
    (0..count)
        .map(|y| {
            let at = |x: usize| ((x as f64 + 0.5) / across as f64, (y as f64 + 0.5) / down as f64);
            let picture: String =
                (0..across).map(|x| if y < down && inside(space, at(x)) { '█' } else { ' ' }).collect();
            Line::from(vec![
                bit(format!(" {picture}  "), theme.quiet()),
                bit(beside.next().unwrap_or_default(), theme.text()),
            ])
        })
        .collect()
}

fn words(section: &Section, space: &Space) -> String {
    let which = if section.trays.len() > 1 && section.trays.iter().any(|t| t.outline != space.outline) {
        "lowest tray "
    } else {
        ""
    };
    match space.fills_box {
        Some(share) => {
            format!("from above: {which}{}, fills {} of its box", space.outline, figures::share(share))
        }
        None => format!("from above: {which}{}", space.outline),
    }
}

/// Whether a point of the unit square lies within the outline (even-odd rule).
fn inside(space: &Space, (px, py): (f64, f64)) -> bool {
    let corners = &space.from_above;
    let before = corners.iter().cycle().skip(corners.len().saturating_sub(1));
    corners
        .iter()
        .zip(before)
        .filter(|((ax, ay), (bx, by))| {
            (*ay > py) != (*by > py) && px < (bx - ax) * (py - ay) / (by - ay) + ax
        })
        .count()
        % 2
        == 1
}
