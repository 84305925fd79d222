//! What differs between builds before any water runs: their inputs field by field, and their layers down the
//! stack, aligned along the water as a text diff aligns lines.

pub mod words;

use crate::model::{Filter, Layer, Way};

/// One field of some builds: where it stands, and what each build has there; none where it has no such field.
#[derive(Clone, Debug, PartialEq)]
pub struct Field {
    /// Such as `pump curve, flow` or `tray 2, seal`.
    pub path: String,
    /// One a build.
    pub values: Vec<Option<String>>,
}

impl Field {
    pub fn differs(&self) -> bool {
        self.values.windows(2).any(|pair| matches!(pair, [a, b] if a != b))
    }
}

/// The inputs of some builds side by side, in the order in which a person would list them. Layers are left to
/// [`stacks`].
pub fn fields(builds: &[(&Filter, usize)]) -> Vec<Field> {
    let lists: Vec<Vec<(String, String)>> =
        builds.iter().map(|(filter, build)| words::apart_from_layers(filter, *build)).collect();
    let mut paths: Vec<&String> = Vec::new();
    for list in &lists {
        let mut after = 0;
        for (path, _) in list {
            if let Some(at) = paths.iter().position(|p| *p == path) {
                after = at + 1;
            } else {
                paths.insert(after.min(paths.len()), path);
                after += 1;
            }
        }
    }
    paths
        .into_iter()
        .map(|path| Field {
            path: path.clone(),
            values: lists
                .iter()
                .map(|list| list.iter().find(|(p, _)| p == path).map(|(_, value)| value.clone()))
                .collect(),
        })
        .collect()
}

#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// `floor`, `tray 1`; trays count from the bottom.
    pub place: String,
    /// Media id; empty for an empty tray.
    pub medium: String,
    /// The layer in words, `(empty)` for an empty tray.
    pub says: String,
}

/// One row of aligned stacks: at most one step of each build.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// One a build.
    pub steps: Vec<Option<Step>>,
}

impl Row {
    /// Not the same in all builds, in what lies there or where.
    pub fn differs(&self) -> bool {
        self.steps.windows(2).any(|pair| matches!(pair, [a, b] if a != b))
    }

    /// In which tray it stands in the first build that has it; 0 is the floor.
    pub fn tray(&self) -> usize {
        let place = self.steps.iter().flatten().next().map_or("", |step| &*step.place);
        place.strip_prefix("tray ").and_then(|n| n.parse().ok()).unwrap_or(0)
    }
}

/// The steps of one build in the order in which the water meets them.
pub fn along_the_water(filter: &Filter, build: usize) -> Vec<Step> {
    let Some(build) = filter.builds.get(build) else { return Vec::new() };
    let step = |place: &str, layer: &Layer| Step {
        place: place.to_owned(),
        medium: layer.medium.id.clone(),
        says: words::layer(layer),
    };
    let mut out: Vec<Step> = build.floor.iter().map(|l| step("floor", l)).collect();
    for (i, _) in filter.trays.iter().enumerate() {
        let place = format!("tray {}", i + 1);
        match build.trays.get(i) {
            Some(layers) if !layers.is_empty() => out.extend(layers.iter().map(|l| step(&place, l))),
            _ => out.push(Step { place, medium: String::new(), says: "(empty)".to_owned() }),
        }
    }
    if filter.way == Way::Falling {
        out.reverse();
    }
    out
}

/// The stacks of some builds, aligned: rows in the order of the water, the same medium beside the same.
pub fn stacks(builds: &[(&Filter, usize)]) -> Vec<Row> {
    let mut rows: Vec<Row> = Vec::new();
    for (n, (filter, build)) in builds.iter().enumerate() {
        rows = merge(rows, along_the_water(filter, *build), n);
    }
    rows
}

/// Adds the `n`th build's steps to rows that hold `n` builds.
pub fn merge(rows: Vec<Row>, steps: Vec<Step>, n: usize) -> Vec<Row> {
    let pairs = best_pairs(&rows, &steps);
    let mut out = Vec::with_capacity(rows.len() + steps.len());
    let mut steps = steps.into_iter().enumerate().peekable();
    let mut pairs = pairs.into_iter().peekable();
    for (i, mut row) in rows.into_iter().enumerate() {
        let partner = pairs.next_if(|(r, _)| *r == i).map(|(_, s)| s);
        if let Some(s) = partner {
            while let Some((_, step)) = steps.next_if(|(j, _)| *j < s) {
                out.push(alone(step, n));
            }
            row.steps.push(steps.next().map(|(_, step)| step));
        } else {
            row.steps.push(None);
        }
        out.push(row);
    }
    out.extend(steps.map(|(_, step)| alone(step, n)));
    out
}

fn alone(step: Step, before: usize) -> Row {
    let mut steps = vec![None; before];
    steps.push(Some(step));
    Row { steps }
}

/// How well a step fits beside a row: the same medium counts most, then the same amount, then the same place;
/// what merely stands in the same place is put beside it where nothing better is.
fn likeness(row: &Row, step: &Step) -> u32 {
    let like = |other: &Step| {
        let place = u32::from(other.place == step.place);
        if other.medium == step.medium { 40 + 20 * u32::from(other.says == step.says) + place } else { place }
    };
    row.steps.iter().flatten().map(like).max().unwrap_or(0)
}

/// The heaviest common subsequence of rows and steps (dynamic programming), as pairs of indices.
fn best_pairs(rows: &[Row], steps: &[Step]) -> Vec<(usize, usize)> {
    let width = steps.len() + 1;
    let mut best = vec![0_u32; (rows.len() + 1) * width];
    let at = |best: &[u32], i: usize, j: usize| best.get(i * width + j).copied().unwrap_or(0);
    for (i, row) in rows.iter().enumerate().rev() {
        for (j, step) in steps.iter().enumerate().rev() {
            let like = likeness(row, step);
            let paired = if like > 0 { like + at(&best, i + 1, j + 1) } else { 0 };
            let value = paired.max(at(&best, i + 1, j)).max(at(&best, i, j + 1));
            if let Some(slot) = best.get_mut(i * width + j) {
                *slot = value;
            }
        }
    }
    let (mut i, mut j, mut out) = (0, 0, Vec::new());
    while let (Some(row), Some(step)) = (rows.get(i), steps.get(j)) {
        let like = likeness(row, step);
        if like > 0 && at(&best, i, j) == like + at(&best, i + 1, j + 1) {
            out.push((i, j));
            i += 1;
            j += 1;
        } else if at(&best, i + 1, j) >= at(&best, i, j + 1) {
            i += 1;
        } else {
            j += 1;
        }
    }
    out
}
