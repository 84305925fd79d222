//! The cut: figures that others share keep their draws, and in each draw the build's own are chosen among candidates.

use super::course::Watched;
use super::learnt::{Ask, predict};
use super::reading::{Reading, SLIPS};
use super::search::{Found, Rows, each_row, with};
use super::weights::{drawn, shares, worth};
use crate::assess::log::is_own;
use crate::uncertainty::generator::Generator;
use crate::uncertainty::key::Key;
use crate::uncertainty::normal::quantile;
use crate::uncertainty::sampling::{Column, Draws};

/// Candidates of each draw, and more where few of them count.
const CANDIDATES: usize = 256;
const MORE: usize = 1_024;
/// Fewest candidates that are worth something, in the middle draw.
const FEW: f64 = 4.0;
/// Rows judged at a time.
const AT_ONCE: usize = 8_192;

/// Draws with the build's own columns chosen, and how it went; none when told to stop.
pub(super) fn learn(
    watched: &Watched<'_>,
    keys: &[Key],
    readings: &[Reading],
    held: &[usize],
    ask: &Ask<'_>,
) -> Option<(Draws, Found)> {
    let unit = &watched.case.filter.id;
    let own: Vec<bool> = keys.iter().map(|key| is_own(key, unit)).collect();
    let normals: Vec<std::sync::Arc<[f64]>> = keys.iter().map(|key| ask.draws.normals(key)).collect();
    let mut found = choose(watched, keys, readings, held, ask, (&own, &normals), CANDIDATES)?;
    if found.worth < FEW {
        found = choose(watched, keys, readings, held, ask, (&own, &normals), MORE)?;
    }
    let columns = keys.iter().enumerate().filter(|(k, _)| own.get(*k) == Some(&true)).map(|(k, key)| {
        let of = found.rows.rows().map(|row| row.get(k).copied().unwrap_or(0.0)).collect();
        (key.hash(), Column::chosen(of))
    });
    Some((ask.draws.replaced(columns), found))
}

type Columns<'c> = (&'c [bool], &'c [std::sync::Arc<[f64]>]);

fn choose(
    watched: &Watched<'_>,
    keys: &[Key],
    readings: &[Reading],
    held: &[usize],
    ask: &Ask<'_>,
    (own, normals): Columns<'_>,
    candidates: usize,
) -> Option<Found> {
    let (count, seed) = (ask.draws.samples(), ask.draws.seed());
    let mut streams: Vec<Generator> = keys.iter().map(|key| Generator::new(seed, key.hash() ^ OWN)).collect();
    let mut pick = Generator::new(seed, OWN);
    let (mut chosen, mut worths) = (Vec::with_capacity(count * keys.len()), Vec::with_capacity(count));
    let at_once = (AT_ONCE / candidates).max(1);
    let mut first = 0;
    while first < count {
        let here = at_once.min(count - first);
        let mut numbers = Vec::with_capacity(here * candidates * keys.len());
        for draw in first..first + here {
            for candidate in 0..candidates {
                for ((stream, own), normal) in streams.iter_mut().zip(own).zip(normals) {
                    let old = normal.get(draw).copied().unwrap_or(0.0);
                    // The first is the draw as it was.
                    let new = if *own { quantile(stream.unit()) } else { old };
                    numbers.push(if candidate == 0 { old } else { new });
                }
            }
        }
        let rows = Rows { keys: keys.len(), numbers };
        let figures = predict(watched, keys, &rows, ask)?;
        let logs: Vec<f64> = each_row(readings, &figures)
            .map(|row| {
                let used = with(readings, row).enumerate().filter(|(i, _)| !held.contains(i));
                used.map(|(_, (reading, model))| reading.ln_chance(model, SLIPS)).sum()
            })
            .collect();
        let all: Vec<&[f64]> = rows.rows().collect();
        for (draw, logs) in logs.chunks_exact(candidates).enumerate() {
            let (of, _) = shares(logs);
            worths.push(worth(&of));
            let one = drawn(&of, 1, &mut pick).first().copied().unwrap_or(0);
            chosen.extend(all.get(draw * candidates + one).into_iter().flat_map(|row| row.iter().copied()));
        }
        first += here;
    }
    worths.sort_by(f64::total_cmp);
    Some(Found {
        rows: Rows { keys: keys.len(), numbers: chosen },
        figures: Vec::new(),
        shares: vec![1.0 / count as f64; count],
        worth: worths.get(count / 2).copied().unwrap_or(0.0),
        tail: 0.0,
        steps: 0,
        blunted: None,
        evidence: 0.0,
    })
}

/// `own` in bytes.
const OWN: u64 = 0x006f_776e;
