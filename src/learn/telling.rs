//! What came of a log, told: each reading against the model, what moved, when to open the filter again.

use super::course::{Item, Watched};
use super::learnt::{Ask, Log};
use super::reading::Reading;
use super::search::Found;
use crate::assess::log::{MOVED, Moved, Odd, Read, Sort, Told};
use crate::order::InOrder;
use crate::simd::{F64x8, Real};
use crate::uncertainty::normal::quantile;
use crate::uncertainty::{Band, Batch, Draws, Generator, Key, Sample};

/// What came of one log, with the rows found and the draws that follow.
pub(super) fn told_of(log: &Log<'_>, keys: &[Key], found: &Found, draws: &Draws, ask: &Ask<'_>) -> Told {
    let mut moved: Vec<Moved> = keys
        .iter()
        .enumerate()
        .map(|(k, key)| {
            let (by, left) = found.key(k);
            Moved { key: key.clone(), by, left }
        })
        .filter(|moved| moved.by.abs() >= MOVED)
        .collect();
    moved.order_by(|a, b| b.by.abs().total_cmp(&a.by.abs()).then_with(|| a.key.cmp(&b.key)));
    let opens = |draws: &Draws| {
        let mut sample = Sample::default();
        for first in draws.firsts() {
            let days: Option<F64x8> = log.watched.opens(&Batch::new(draws, first));
            sample.push(days.unwrap_or_else(F64x8::zero), F64x8::mask(days.is_some()), draws.samples());
        }
        sample
    };
    let corrected = opens(draws);
    Told {
        build: log.build,
        mode: ask.mode,
        unused: None,
        ess: found.worth,
        khat: found.tail,
        rounds: found.steps,
        phi: found.blunted,
        p: log.agreement.together,
        unusual: log.agreement.unusual(),
        odd: odd(&log.watched),
        readings: reads(log, Some(draws), ask.draws.seed()),
        moved,
        packed: log.watched.case.build.kept.packed,
        fell: fell(log, ask.draws.seed()),
        opened: log.watched.periods.last().map_or(0.0, |period| period.start),
        opens: corrected.band().zip(opens(ask.draws).band()),
        next: super::next::next(&log.watched, draws, &corrected),
    }
}

/// What the keeper may not have meant.
fn odd(watched: &Watched<'_>) -> Vec<Odd> {
    let same = |a: &Item, b: &Item| a.sort == b.sort && (a.day - b.day).abs() < 0.5;
    let mut out = Vec::new();
    for (i, item) in watched.items.iter().enumerate() {
        let earlier = watched.items.iter().take(i).filter(|other| same(other, item)).count();
        if earlier == 1 {
            out.push(Odd::Twice(item.sort, item.day));
        }
        let opened = watched.openings.iter().any(|day| (day - item.day).abs() < 0.5) || item.day < 0.5;
        if item.sort == Sort::BucketOut && !opened {
            out.push(Odd::MediaOut(item.day));
        }
    }
    out
}

/// How far the flow fell between the first and the last bucket of the spell that has most of them, and what the model
/// expected.
fn fell(log: &Log<'_>, seed: u64) -> Option<(f64, Band, f64)> {
    let used = log.used();
    let mut at = 0;
    let mut buckets: Vec<(usize, usize, f64, f64, f64)> = Vec::new();
    for (i, item) in log.watched.items.iter().enumerate() {
        if let (Sort::Bucket, Reading::Number { seen, sd }, true) = (item.sort, &item.reading, used(i)) {
            buckets.push((item.period, at, *seen, *sd, item.day));
        }
        at += item.reading.width();
    }
    let spells = buckets.chunk_by(|a, b| a.0 == b.0);
    let longest = spells.max_by(|a, b| a.len().cmp(&b.len()).then(std::cmp::Ordering::Less))?;
    let (first, last) = (longest.first()?, longest.last()?);
    if first.1 == last.1 || last.4 - first.4 < 1.0 {
        return None;
    }
    let mut noise = Generator::new(seed, ERRORS ^ 1);
    let sd = first.3.hypot(last.3);
    let rows = log.first.chunks_exact(at.max(1)).filter_map(|row| Some(row.get(last.1)? - row.get(first.1)?));
    let lost: Vec<f64> = rows.map(|fall| 1.0 - libm::exp(fall + sd * quantile(noise.unit()))).collect();
    Some((1.0 - libm::exp(last.2 - first.2), Sample::new(lost).band()?, last.4 - first.4))
}

/// Each reading against the model as it was and as it is believed now.
pub(super) fn reads(log: &Log<'_>, now: Option<&Draws>, seed: u64) -> Vec<Read> {
    let after: Vec<f64> = now.map_or_else(Vec::new, |draws| {
        let mut out = Vec::new();
        for first in draws.firsts() {
            let eight: Vec<F64x8> = log.watched.figures(&Batch::new(draws, first));
            for lane in 0..F64x8::WIDTH.min(draws.samples() - first) {
                out.extend(eight.iter().map(|x| x.draw(lane)));
            }
        }
        out
    });
    let readings = log.readings();
    let width: usize = readings.iter().map(Reading::width).sum();
    let mut noise = Generator::new(seed, ERRORS);
    let mut at = 0;
    let mut out = Vec::new();
    for (i, item) in log.watched.items.iter().enumerate() {
        let own = at..at + item.reading.width();
        at = own.end;
        let rows = |all: &[f64]| -> Vec<Vec<f64>> {
            let rows = all.chunks_exact(width.max(1)).filter_map(|row| row.get(own.clone()));
            rows.filter(|row| row.iter().all(|x| x.is_finite())).map(<[f64]>::to_vec).collect()
        };
        let (before, after) = (rows(&log.first), rows(&after));
        let band = |rows: &[Vec<f64>], sd: f64, noise: &mut Generator| -> Option<Band> {
            let one = |row: &Vec<f64>| match (&item.reading, row.as_slice()) {
                (Reading::Number { .. } | Reading::Colour { .. }, [x]) => {
                    Some(libm::exp(x + if sd > 0.0 { sd * quantile(noise.unit()) } else { 0.0 }))
                }
                (Reading::Fell, [early, late, _]) => Some(f64::midpoint(*early, *late)),
                (Reading::Fine, [share, _]) => Some(*share),
                _ => None,
            };
            Sample::new(rows.iter().map(one).collect::<Option<Vec<f64>>>()?).band()
        };
        let sd = match item.reading {
            Reading::Number { sd, .. } | Reading::Colour { sd, .. } => sd,
            _ => 0.0,
        };
        let held = log.agreement.held.contains(&i);
        let slip = if after.is_empty() || held {
            0.0
        } else {
            after.iter().map(|row| item.reading.slip(row)).sum::<f64>() / after.len() as f64
        };
        let off = match (&item.reading, held) {
            (Reading::Number { seen, sd }, false) if after.len() > 1 => {
                let n = after.len() as f64;
                let mean = after.iter().flatten().sum::<f64>() / n;
                let var = after.iter().flatten().map(|x| (x - mean) * (x - mean)).sum::<f64>() / n;
                (seen - mean) / (sd * sd + var).sqrt()
            }
            _ => 0.0,
        };
        let expected = band(&before, sd, &mut noise);
        let corrected = if after.is_empty() { None } else { band(&after, 0.0, &mut noise) };
        out.push(Read {
            from: item.from,
            sort: item.sort,
            day: item.day,
            // As it was before its logarithm was taken.
            seen: match item.reading {
                Reading::Number { seen, .. } => Some(libm::exp(seen)),
                _ => None,
            },
            expected,
            corrected,
            alone: log.agreement.alone.get(i).copied().unwrap_or(1.0),
            slip,
            held,
            off,
        });
    }
    out
}

/// `error` in bytes.
const ERRORS: u64 = 0x0065_7272_6f72;
