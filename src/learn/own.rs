//! The cut: figures that others share keep their draws, and in each draw the build's own are chosen among candidates.

use std::ops::Range;
use std::sync::Arc;

use super::search::{Found, Question, Rows, each_row, with};
use super::weights::{drawn, shares as shares_of, worth};
use crate::parallel::map;
use crate::uncertainty::Generator;
use crate::uncertainty::normal::quantile;

/// Candidates of each draw, and more where few of them count.
const CANDIDATES: usize = 256;
const MORE: usize = 1_024;
/// Fewest candidates that are worth something, in the middle draw.
const FEW: f64 = 4.0;
/// Rows judged at a time.
const AT_ONCE: usize = 2_048;

/// Candidates of the draws of those normals of the keys: figures that are not `own` as drawn.
struct Cut<'c> {
    of: &'c Question<'c>,
    own: &'c [bool],
    normals: &'c [Arc<[f64]>],
}

impl Cut<'_> {
    /// A key's normals in candidates of a draw. The first candidate is the draw as it was.
    fn normals(&self, key: usize, draw: usize, which: Range<usize>) -> impl Iterator<Item = f64> {
        let old = self.normals.get(key).and_then(|normals| normals.get(draw)).copied().unwrap_or(0.0);
        let own = self.own.get(key) == Some(&true);
        let hash = self.of.keys.get(key).copied().unwrap_or(0);
        let mut stream = Generator::new(self.of.seed.wrapping_add(draw as u64), hash ^ OWN);
        if own {
            for _ in 1..which.start {
                stream.bits();
            }
        }
        which.map(move |candidate| if own && candidate > 0 { quantile(stream.unit()) } else { old })
    }

    /// Logarithms of what the readings say of these candidates, by draw; none when told to stop. A share of the draws
    /// by itself, so that threads need not wait for each other.
    fn judged(&self, which: &Range<usize>, held: &[usize], threads: usize) -> Option<Vec<Vec<f64>>> {
        let (of, keys, count) = (self.of, self.of.keys.len(), which.len().max(1));
        let draws: Vec<usize> = (0..of.samples).collect();
        let shares: Vec<&[usize]> = draws.chunks((AT_ONCE / count).max(1)).collect();
        let judged = map(threads, &shares, |draws| {
            let mut numbers = vec![0.0; draws.len() * count * keys];
            for (draw, rows) in draws.iter().zip(numbers.chunks_exact_mut((count * keys).max(1))) {
                for key in 0..keys {
                    let places = rows.iter_mut().skip(key).step_by(keys);
                    places.zip(self.normals(key, *draw, which.clone())).for_each(|(x, z)| *x = z);
                }
            }
            let figures = (of.model)(&Rows { keys, numbers })?;
            let logs: Vec<f64> = each_row(of.readings, &figures)
                .map(|row| {
                    let used = with(of.readings, row).enumerate().filter(|(i, _)| !held.contains(i));
                    used.map(|(_, (reading, model))| reading.ln_chance(model, of.slips)).sum()
                })
                .collect();
            Some(logs.chunks_exact(count).map(<[f64]>::to_vec).collect::<Vec<_>>())
        });
        Some(judged.into_iter().collect::<Option<Vec<_>>>()?.into_iter().flatten().collect())
    }
}

/// How many candidates are worth something in the middle draw.
fn middle(logs: &[Vec<f64>]) -> f64 {
    let mut worths: Vec<f64> = logs.iter().map(|logs| worth(&shares_of(logs).0)).collect();
    worths.sort_unstable_by(f64::total_cmp);
    worths.get(worths.len() / 2).copied().unwrap_or(0.0)
}

/// In each draw of those normals of the keys, one row: figures that are not `own` as drawn, the others chosen among
/// candidates by the readings that are not held; none when told to stop.
pub fn chosen(
    of: &Question<'_>,
    own: &[bool],
    normals: &[Arc<[f64]>],
    held: &[usize],
    threads: usize,
) -> Option<Found> {
    let cut = Cut { of, own, normals };
    let mut logs = cut.judged(&(0..CANDIDATES), held, threads)?;
    if middle(&logs) < FEW {
        let more = cut.judged(&(CANDIDATES..MORE), held, threads)?;
        logs.iter_mut().zip(more).for_each(|(logs, more)| logs.extend(more));
    }
    let mut numbers = Vec::with_capacity(of.samples * of.keys.len());
    for (draw, logs) in logs.iter().enumerate() {
        let mut pick = Generator::new(of.seed.wrapping_add(draw as u64), OWN);
        let one = drawn(&shares_of(logs).0, 1, &mut pick).first().copied().unwrap_or(0);
        numbers.extend((0..of.keys.len()).filter_map(|key| cut.normals(key, draw, one..one + 1).next()));
    }
    Some(Found {
        rows: Rows { keys: of.keys.len(), numbers },
        figures: Vec::new(),
        shares: vec![1.0 / of.samples as f64; of.samples],
        worth: middle(&logs),
        tail: 0.0,
        steps: 0,
        blunted: None,
        evidence: 0.0,
    })
}

/// `own` in bytes.
const OWN: u64 = 0x006f_776e;
