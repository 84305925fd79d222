//! Whether readings and model agree, before any is believed; and which readings to hold out where they do not. Slips
//! have no part in it: a reading that only a slip explains contradicts the model.

use super::linear::{Factor, dot};
use super::reading::{Reading, SLIPS};
use super::search::{each_row, numbers, with};
use super::weights::{shares, worth};
use crate::uncertainty::Generator;
use crate::uncertainty::normal::{below, quantile};

/// Chances under which readings together, how those of a kind change, and a reading alone, contradict the model (ours).
const TOGETHER: f64 = 0.002;
const RUN: f64 = 0.002;
const ALONE: f64 = 0.001;
/// Chance under which readings that agree are called unusual.
const UNUSUAL: f64 = 0.02;

#[derive(Clone, Debug, PartialEq)]
pub struct Agreement {
    /// How far the numbers lie off all together, squared, in the spread that the model and their errors give them.
    pub distance: f64,
    /// Chance of numbers that lie as far off; of those that are not held.
    pub together: f64,
    /// Chance of each that is as surprising.
    pub alone: Vec<f64>,
    /// Which are held out; none where all agree.
    pub held: Vec<usize>,
    /// Nothing that may be held out restores it: no reading is used.
    pub aside: bool,
}

impl Agreement {
    pub fn unusual(&self) -> bool {
        self.together < UNUSUAL
    }
}

/// The numbers in many rows as they might have been read.
struct Numbers {
    /// Which readings they are.
    which: Vec<usize>,
    inverse: Vec<Vec<f64>>,
    /// Of what was read and of each row: distance squared, and how it changes with each number.
    seen: (f64, Vec<f64>),
    made: Vec<(f64, Vec<f64>)>,
}

impl Numbers {
    /// The chance of a distance as great, without those readings.
    fn together(&self, without: &[usize]) -> (f64, f64) {
        let at: Vec<usize> = (0..self.which.len())
            .filter(|i| self.which.get(*i).is_some_and(|w| without.contains(w)))
            .collect();
        if at.len() == self.which.len() {
            return (0.0, 1.0);
        }
        let part = |v: &[f64]| -> Vec<f64> { at.iter().filter_map(|i| v.get(*i).copied()).collect() };
        let block: Vec<Vec<f64>> =
            at.iter().filter_map(|i| self.inverse.get(*i)).map(|row| part(row)).collect();
        let Some(block) = Factor::of(&block) else { return (f64::INFINITY, 0.0) };
        // What is left of the distance when numbers are left out (the inverse of a part, by its complement).
        let rest = |(all, slopes): &(f64, Vec<f64>)| {
            let of = block.forward(&part(slopes));
            all - dot(&of, &of)
        };
        let seen = rest(&self.seen);
        let as_far = self.made.iter().filter(|row| rest(row) >= seen).count();
        (seen, chance(as_far, self.made.len()))
    }
}

/// So many of them: never nothing, as more rows would find some.
fn chance(count: usize, of: usize) -> f64 {
    (count + 1) as f64 / (of + 1) as f64
}

/// Do they? `kinds` tells which readings are of one kind, and `figures` what the model gives in rows of the doubt as it
/// was before any reading.
pub fn agree(readings: &[Reading], kinds: &[usize], figures: &[f64], seed: u64) -> Agreement {
    let rows: Vec<&[f64]> =
        each_row(readings, figures).filter(|row| row.iter().all(|x| x.is_finite())).collect();
    let mut alone = vec![1.0; readings.len()];
    let numbers = numbers_of(readings, &rows, seed, &mut alone);
    for (i, (reading, p)) in readings.iter().zip(&mut alone).enumerate() {
        let mut mean: Vec<f64> = Vec::new();
        let mut seen = 0;
        for row in &rows {
            let Some((chances, which)) = with(readings, row).nth(i).and_then(|(r, model)| r.outcomes(model))
            else {
                break;
            };
            mean.resize(chances.len(), 0.0);
            mean.iter_mut().zip(&chances).for_each(|(sum, x)| *sum += x / rows.len() as f64);
            seen = which;
        }
        if !mean.is_empty() {
            *p = reading.surprise(&mean, seen);
        }
    }
    let together = |without: &[usize]| numbers.as_ref().map_or((0.0, 1.0), |n| n.together(without));
    let all = || 0..readings.len();
    let first = |i: &usize| !kinds.iter().take(*i).any(|kind| Some(kind) == kinds.get(*i));
    let same = |one: usize| all().filter(|i| kinds.get(*i) == kinds.get(one)).collect::<Vec<usize>>();
    let of_kind: Vec<Vec<usize>> = all().filter(first).map(same).filter(|kind| kind.len() > 1).collect();
    let runs = (!of_kind.is_empty()).then(|| Runs::new(readings, &rows));
    let sound = |without: &[usize]| {
        let (_, p) = together(without);
        let each = || alone.iter().enumerate().all(|(i, p)| without.contains(&i) || *p >= ALONE);
        let run = || of_kind.iter().all(|kind| runs.as_ref().is_none_or(|r| r.chance(kind, without) >= RUN));
        (p >= TOGETHER && each() && run()).then_some(p)
    };
    let (distance, p) = together(&[]);
    let agreed =
        |held: Vec<usize>, p, aside| Agreement { distance, together: p, alone: alone.clone(), held, aside };
    if sound(&[]).is_some() {
        return agreed(Vec::new(), p, false);
    }
    let singles: Vec<Vec<usize>> = (0..readings.len()).map(|i| vec![i]).collect();
    let both: Vec<&Vec<usize>> = singles.iter().chain(&of_kind).collect();
    let pairs = both.iter().enumerate().flat_map(|(i, a)| {
        both.iter().skip(i + 1).filter_map(move |b| {
            let mut two: Vec<usize> = a.iter().chain(b.iter()).copied().collect();
            two.sort_unstable();
            two.dedup();
            (two.len() > a.len().max(b.len()) && two.len() < readings.len()).then_some(two)
        })
    });
    let pairs: Vec<Vec<usize>> = pairs.collect();
    for sets in [&singles, &of_kind, &pairs] {
        let restored = sets.iter().filter_map(|held| Some((held, sound(held)?)));
        let better = |(a, p): &(&Vec<usize>, f64), (b, q): &(&Vec<usize>, f64)| {
            b.len().cmp(&a.len()).then(p.total_cmp(q))
        };
        if let Some((held, p)) = restored.max_by(better) {
            return agreed(held.clone(), p, false);
        }
    }
    agreed((0..readings.len()).collect(), p, true)
}

fn numbers_of(readings: &[Reading], rows: &[&[f64]], seed: u64, alone: &mut [f64]) -> Option<Numbers> {
    let which: Vec<usize> =
        (0..readings.len()).filter(|i| matches!(readings.get(*i), Some(Reading::Number { .. }))).collect();
    let count = rows.len() as f64;
    let told: Vec<Vec<(f64, f64, f64)>> = rows.iter().map(|row| numbers(readings, row).collect()).collect();
    let mut noise: Vec<Generator> = which.iter().map(|i| Generator::new(seed, NOISE ^ *i as u64)).collect();
    let first = told.first().filter(|_| !which.is_empty())?;
    let mut mean = vec![0.0; which.len()];
    for row in &told {
        mean.iter_mut().zip(row).for_each(|(sum, (.., x))| *sum += x / count);
    }
    let mut spread: Vec<Vec<f64>> = (0..which.len()).map(|i| vec![0.0; i + 1]).collect();
    for row in &told {
        let off: Vec<f64> = row.iter().zip(&mean).map(|((.., x), mean)| x - mean).collect();
        for (line, a) in spread.iter_mut().zip(&off) {
            line.iter_mut().zip(&off).for_each(|(sum, b)| *sum += a * b / count);
        }
    }
    for (i, (line, (_, sd, _))) in spread.iter_mut().zip(first).enumerate() {
        line.get_mut(i).into_iter().for_each(|x| *x += sd * sd);
    }
    let factor = Factor::of(&spread)?;
    let far = |off: &[f64]| {
        let slopes = factor.solve(off);
        (dot(off, &slopes), slopes)
    };
    let off: Vec<f64> = first.iter().zip(&mean).map(|((seen, ..), mean)| seen - mean).collect();
    let mut under = vec![0_usize; which.len()];
    let made: Vec<(f64, Vec<f64>)> = told
        .iter()
        .map(|row| {
            let made: Vec<f64> = row
                .iter()
                .zip(&mut noise)
                .zip(&mean)
                .map(|(((_, sd, x), noise), mean)| x + sd * quantile(noise.unit()) - mean)
                .collect();
            for ((count, made), seen) in under.iter_mut().zip(&made).zip(&off) {
                *count += usize::from(made < seen);
            }
            far(&made)
        })
        .collect();
    for (i, under) in which.iter().zip(under) {
        if let Some(p) = alone.get_mut(*i) {
            *p = (2.0 * chance(under, rows.len()).min(chance(rows.len() - under, rows.len()))).min(1.0);
        }
    }
    Some(Numbers { which, inverse: factor.inverse(), seen: far(&off), made })
}

/// Errors of readings as they might have been: none of the draws.
const NOISE: u64 = 0x006e_6f69_7365;

/// Under so many rows' worth what the other readings say is too sharp for a tail: all rows count alike (ours).
const ROWS_ENOUGH: f64 = 50.0;

struct Runs<'a> {
    readings: &'a [Reading],
    /// Of each reading: the logarithm of its chance in each row, and the model's number.
    each: Vec<Vec<(f64, f64)>>,
}

impl<'a> Runs<'a> {
    fn new(readings: &'a [Reading], rows: &[&[f64]]) -> Self {
        let mut each = vec![Vec::with_capacity(rows.len()); readings.len()];
        for row in rows {
            for ((reading, model), told) in with(readings, row).zip(&mut each) {
                told.push((reading.ln_chance(model, SLIPS), model.first().copied().unwrap_or(f64::NAN)));
            }
        }
        Self { readings, each }
    }

    /// The chance of a change as great, up or down, by what readings of other kinds say but those left out; 1 where
    /// there are not two.
    fn chance(&self, kind: &[usize], without: &[usize]) -> f64 {
        let number = |i: usize| match (self.readings.get(i)?, self.each.get(i)?) {
            (Reading::Number { seen, sd }, told) if !without.contains(&i) => Some((seen, sd, told)),
            _ => None,
        };
        let mut own = kind.iter().filter_map(|i| number(*i));
        let ends = own.next().zip(own.next_back());
        let Some(((from, sd, first), (to, last_sd, last))) = ends else { return 1.0 };
        let mut logs = vec![0.0; first.len()];
        for (i, told) in self.each.iter().enumerate() {
            if !kind.contains(&i) && !without.contains(&i) {
                for (sum, (chance, _)) in logs.iter_mut().zip(told) {
                    *sum += chance;
                }
            }
        }
        let (mut shares, _) = shares(&logs);
        if worth(&shares) < ROWS_ENOUGH {
            shares.fill(1.0 / first.len() as f64);
        }
        let (seen, sd) = (to - from, sd.hypot(*last_sd));
        let changes = first.iter().zip(last).map(|((_, a), (_, b))| b - a);
        let under = changes.zip(&shares).map(|(change, w)| w * below((seen - change) / sd)).sum::<f64>();
        (2.0 * under.min(1.0 - under)).min(1.0)
    }
}
