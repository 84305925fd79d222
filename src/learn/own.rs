//! The cut: figures that others share keep their draws, and in each draw the build's own are chosen among candidates.

use std::sync::Arc;

use super::search::{Found, Question, Rows, each_row, with};
use super::weights::{drawn, shares, worth};
use crate::uncertainty::generator::Generator;
use crate::uncertainty::normal::quantile;

/// Candidates of each draw, and more where few of them count.
const CANDIDATES: usize = 256;
const MORE: usize = 1_024;
/// Fewest candidates that are worth something, in the middle draw.
const FEW: f64 = 4.0;
/// Rows judged at a time.
const AT_ONCE: usize = 8_192;

/// In each draw of those normals of the keys, one row: figures that are not `own` as drawn, the others chosen among
/// candidates by the readings that are not held; none when told to stop.
pub fn chosen(of: &Question<'_>, own: &[bool], normals: &[Arc<[f64]>], held: &[usize]) -> Option<Found> {
    let found = choose(of, own, normals, held, CANDIDATES)?;
    if found.worth < FEW { choose(of, own, normals, held, MORE) } else { Some(found) }
}

fn choose(
    of: &Question<'_>,
    own: &[bool],
    normals: &[Arc<[f64]>],
    held: &[usize],
    candidates: usize,
) -> Option<Found> {
    let (count, keys) = (of.samples, of.keys.len());
    let mut streams: Vec<Generator> =
        of.keys.iter().map(|hash| Generator::new(of.seed, hash ^ OWN)).collect();
    let mut pick = Generator::new(of.seed, OWN);
    let (mut chosen, mut worths) = (Vec::with_capacity(count * keys), Vec::with_capacity(count));
    let at_once = (AT_ONCE / candidates).max(1);
    let mut first = 0;
    while first < count {
        let here = at_once.min(count - first);
        let mut numbers = Vec::with_capacity(here * candidates * keys);
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
        let rows = Rows { keys, numbers };
        let figures = (of.model)(&rows)?;
        let logs: Vec<f64> = each_row(of.readings, &figures)
            .map(|row| {
                let used = with(of.readings, row).enumerate().filter(|(i, _)| !held.contains(i));
                used.map(|(_, (reading, model))| reading.ln_chance(model, of.slips)).sum()
            })
            .collect();
        let all: Vec<&[f64]> = rows.rows().collect();
        for (draw, logs) in logs.chunks_exact(candidates).enumerate() {
            let (shares, _) = shares(logs);
            worths.push(worth(&shares));
            let one = drawn(&shares, 1, &mut pick).first().copied().unwrap_or(0);
            chosen.extend(all.get(draw * candidates + one).into_iter().flat_map(|row| row.iter().copied()));
        }
        first += here;
    }
    worths.sort_by(f64::total_cmp);
    Some(Found {
        rows: Rows { keys, numbers: chosen },
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
