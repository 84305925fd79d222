//! Rows of draws weighed by readings; where too few of them count, rows drawn where a straight line through the model
//! says that they will.

use super::linear::{Factor, dot};
use super::reading::Reading;
use super::weights::{shares, tail, tempered, worth};
use crate::uncertainty::Generator;
use crate::uncertainty::normal::quantile;
use libm::log as ln;

/// Rows of each round.
pub const ROWS: usize = 8_192;
/// Fewest equal rows that will do.
pub const ENOUGH: f64 = 400.0;
/// The same once the readings are blunted.
const BLUNT: f64 = 200.0;
/// Heaviest tail of the weights at which means of them settle (Vehtari et al. 2024).
const HEAVIEST: f64 = 0.7;
const MOST_STEPS: usize = 4;
/// What keeps the straight line from leaning on a key that hardly varies, as a share of a row.
const RIDGE: f64 = 1e-4;
/// A step aims wider than the readings' own errors, and much wider at a reading that lies far off.
const WIDE: f64 = 1.3;
const FAR_WIDE: f64 = 6.0;
const FAR: f64 = 3.5;

/// Standard normals, row by row: one a key.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Rows {
    pub keys: usize,
    pub numbers: Vec<f64>,
}

impl Rows {
    /// The first rows, each key's by the hash of its name.
    pub fn first(keys: &[u64], seed: u64, rows: usize) -> Self {
        let mut streams: Vec<Generator> = keys.iter().map(|hash| Generator::new(seed, hash ^ LOG)).collect();
        let numbers = (0..rows)
            .flat_map(|_| streams.iter_mut().map(|of| quantile(of.unit())).collect::<Vec<f64>>())
            .collect();
        Self { keys: keys.len(), numbers }
    }
    pub fn rows(&self) -> impl Iterator<Item = &[f64]> {
        self.numbers.chunks_exact(self.keys.max(1))
    }
    pub(super) fn len(&self) -> usize {
        self.numbers.len() / self.keys.max(1)
    }
}

/// `log` in bytes: a key's rows here are none of its draws elsewhere.
const LOG: u64 = 0x006c_6f67;
pub struct Question<'q> {
    /// Each key's hash.
    pub keys: &'q [u64],
    pub readings: &'q [Reading],
    /// What the model gives in rows: for each all the figures that the readings are compared with, one after the other.
    /// None when told to stop.
    pub model: &'q (dyn Fn(&Rows) -> Option<Vec<f64>> + Sync),
    /// What it gives in the first rows, where that is known already; else empty.
    pub first: Vec<f64>,
    pub slips: f64,
    pub rows: usize,
    /// Rows that will be drawn of what is found.
    pub samples: usize,
    pub seed: u64,
}

/// Rows with what they weigh.
#[derive(Clone, Debug)]
pub struct Found {
    pub rows: Rows,
    pub figures: Vec<f64>,
    /// Add to 1.
    pub shares: Vec<f64>,
    /// How many equal rows they are worth.
    pub worth: f64,
    pub tail: f64,
    pub steps: usize,
    /// The power that the readings had to be blunted to; none when they stand as they are.
    pub blunted: Option<f64>,
    /// Logarithm of the chance of all readings under the model.
    pub evidence: f64,
}

impl Found {
    pub fn mean(&self, of: impl Iterator<Item = f64>) -> f64 {
        of.zip(&self.shares).filter(|(_, share)| **share > 0.0).map(|(x, share)| x * share).sum()
    }
    pub fn key(&self, key: usize) -> (f64, f64) {
        let of = || self.rows.rows().map(move |row| row.get(key).copied().unwrap_or(0.0));
        let mean = self.mean(of());
        (mean, self.mean(of().map(|z| (z - mean) * (z - mean))).sqrt())
    }
}

/// Weighs rows by the readings; none when told to stop.
pub fn search(of: &Question<'_>) -> Option<Found> {
    let mut rows = Rows::first(of.keys, of.seed, of.rows);
    let mut figures = if of.first.is_empty() { (of.model)(&rows)? } else { of.first.clone() };
    let (mut steps, mut lines): (usize, Vec<Line>) = (0, Vec::new());
    loop {
        let likely: Vec<f64> = each_row(of.readings, &figures).map(|row| likely(of, row)).collect();
        let besides = mixture(&rows, &lines);
        let logs: Vec<f64> = likely.iter().zip(&besides).map(|(l, b)| l + b).collect();
        let (weighed, sum) = shares(&logs);
        let mut found = Found {
            worth: worth(&weighed),
            tail: tail(&weighed),
            shares: weighed,
            steps,
            blunted: None,
            evidence: sum - ln(rows.len() as f64),
            rows,
            figures,
        };
        let enough = found.worth >= ENOUGH.max(of.samples as f64) && found.tail < HEAVIEST;
        let line =
            (!enough && steps < MOST_STEPS).then(|| Line::through(of, &found, &likely, &besides)).flatten();
        let Some(line) = line else {
            if found.worth < ENOUGH {
                let (power, blunt) = tempered(&likely, &besides, BLUNT);
                found.blunted = (power < 1.0).then_some(power);
                (found.worth, found.shares) = (worth(&blunt), blunt);
            }
            return Some(found);
        };
        steps += 1;
        let more = line.rows(of, steps as u64);
        let more_figures = (of.model)(&more)?;
        lines.push(line);
        Found { rows, figures, .. } = found;
        rows.numbers.extend(more.numbers);
        figures.extend(more_figures);
    }
}
pub(super) fn each_row<'f>(readings: &[Reading], figures: &'f [f64]) -> impl Iterator<Item = &'f [f64]> {
    figures.chunks_exact(readings.iter().map(Reading::width).sum::<usize>().max(1))
}

/// The readings with their figures of a row.
pub(super) fn with<'a>(
    readings: &'a [Reading],
    row: &'a [f64],
) -> impl Iterator<Item = (&'a Reading, &'a [f64])> {
    let mut rest = row;
    readings.iter().map(move |reading| {
        let (own, behind) = rest.split_at_checked(reading.width()).unwrap_or((rest, &[]));
        rest = behind;
        (reading, own)
    })
}

/// The numbers among the readings with what the model gives for them in a row.
pub(super) fn numbers<'a>(
    readings: &'a [Reading],
    row: &'a [f64],
) -> impl Iterator<Item = (f64, f64, f64)> + 'a {
    with(readings, row).filter_map(|(reading, model)| match (reading, model) {
        (Reading::Number { seen, sd }, [x]) => Some((*seen, *sd, *x)),
        _ => None,
    })
}

fn likely(of: &Question<'_>, row: &[f64]) -> f64 {
    with(of.readings, row).map(|(reading, model)| reading.ln_chance(model, of.slips)).sum()
}

/// Logarithm of how often rows are drawn as they stand, against how often they are drawn in all (the balance
/// heuristic: Veach and Guibas 1995). What is common to all is left out.
fn mixture(rows: &Rows, lines: &[Line]) -> Vec<f64> {
    let each = 1.0 / (lines.len() + 1) as f64;
    rows.rows()
        .map(|row| {
            let plain = -0.5 * dot(row, row);
            let logs: Vec<f64> =
                std::iter::once(0.0).chain(lines.iter().map(|l| l.ln_density(row) - plain)).collect();
            let (_, sum) = shares(&logs);
            -(sum + ln(each))
        })
        .collect()
}

/// A straight line through the model, and the normal law of the rows that it takes the readings to speak for.
struct Line {
    /// For each number read: how it changes with each key.
    slopes: Vec<Vec<f64>>,
    /// Its own error and what the line leaves, squared.
    errors: Vec<f64>,
    /// Of the slopes with the errors: `H Hᵀ + R`.
    spread: Factor,
    mean: Vec<f64>,
    /// Half the logarithm of the determinant of the inverse of its covariance.
    half_ln_det: f64,
}

impl Line {
    /// Through rows weighed by blunted readings; none where there is no number to draw it by.
    fn through(of: &Question<'_>, found: &Found, likely: &[f64], besides: &[f64]) -> Option<Self> {
        let read: Vec<(f64, f64)> = of
            .readings
            .iter()
            .filter_map(|r| if let Reading::Number { seen, sd } = r { Some((*seen, *sd)) } else { None })
            .collect();
        let (keys, count) = (of.keys.len(), found.rows.len() as f64);
        if read.is_empty() || keys == 0 {
            return None;
        }
        let wanted = (15.0 * keys as f64).max(40.0 * (read.len() + 1) as f64).min(count / 4.0);
        let (_, blunt) = tempered(likely, besides, wanted);
        let rows: Vec<(f64, &[f64], Vec<f64>)> = blunt
            .iter()
            .zip(found.rows.rows())
            .zip(each_row(of.readings, &found.figures))
            .filter(|((share, _), _)| **share > 0.0)
            .map(|((share, z), figures)| {
                (*share, z, numbers(of.readings, figures).map(|(.., x)| x).collect())
            })
            .collect();
        #[expect(clippy::type_complexity, reason = "a row, and which of its numbers")]
        let mean = |of: &dyn Fn(&(f64, &[f64], Vec<f64>), usize) -> f64, n: usize| -> Vec<f64> {
            (0..n).map(|i| rows.iter().map(|row| row.0 * of(row, i)).sum()).collect()
        };
        let at = |of: &[f64], i: usize| of.get(i).copied().unwrap_or(0.0);
        let (z_mean, y_mean) =
            (mean(&|row, i| at(row.1, i), keys), mean(&|row, i| at(&row.2, i), read.len()));
        let mut of_keys: Vec<Vec<f64>> = (0..keys).map(|i| vec![0.0; i + 1]).collect();
        let mut of_both = vec![vec![0.0; keys]; read.len()];
        let mut of_numbers = vec![0.0; read.len()];
        for (share, z, y) in &rows {
            let z: Vec<f64> = z.iter().zip(&z_mean).map(|(z, mean)| z - mean).collect();
            for (line, z_i) in of_keys.iter_mut().zip(&z) {
                line.iter_mut().zip(&z).for_each(|(sum, z_j)| *sum += share * z_i * z_j);
            }
            for (((line, square), y), mean) in of_both.iter_mut().zip(&mut of_numbers).zip(y).zip(&y_mean) {
                let y = y - mean;
                *square += share * y * y;
                line.iter_mut().zip(&z).for_each(|(sum, z)| *sum += share * y * z);
            }
        }
        let ridge = RIDGE / worth(&blunt).max(1.0);
        for (i, line) in of_keys.iter_mut().enumerate() {
            line.get_mut(i).into_iter().for_each(|x| *x += ridge);
        }
        let factor = Factor::of(&of_keys)?;
        let slopes: Vec<Vec<f64>> = of_both.iter().map(|line| factor.solve(line)).collect();
        let errors: Vec<f64> = slopes
            .iter()
            .zip(&of_both)
            .zip(&of_numbers)
            .zip(read.iter().zip(&y_mean))
            .map(|(((slope, both), square), ((seen, sd), mean))| {
                let left = (square - dot(slope, both)).max(0.0);
                let far = (seen - mean).abs() > FAR * (square + sd * sd).sqrt();
                let wide = sd * if far { FAR_WIDE } else { WIDE };
                wide * wide + left
            })
            .collect();
        let spread: Vec<Vec<f64>> = slopes
            .iter()
            .zip(&errors)
            .enumerate()
            .map(|(i, (slope, error))| {
                let before = slopes.iter().take(i).map(|other| dot(slope, other));
                before.chain([dot(slope, slope) + error]).collect()
            })
            .collect();
        let spread = Factor::of(&spread)?;
        // |I + Hᵀ R⁻¹ H| = |H Hᵀ + R| / |R|.
        let half_ln_det = 0.5 * (spread.ln_det() - errors.iter().map(|r| ln(*r)).sum::<f64>());
        let off: Vec<f64> = slopes
            .iter()
            .zip(read.iter().zip(&y_mean))
            .map(|(slope, ((seen, _), mean))| seen - mean + dot(slope, &z_mean))
            .collect();
        let mean = across(&slopes, &spread.solve(&off), keys);
        Some(Self { slopes, errors, spread, mean, half_ln_det })
    }

    /// Logarithm of its density at a row, but for what is common to all.
    fn ln_density(&self, row: &[f64]) -> f64 {
        let off: Vec<f64> = row.iter().zip(&self.mean).map(|(z, mean)| z - mean).collect();
        let numbers = self.slopes.iter().zip(&self.errors).map(|(slope, error)| {
            let along = dot(slope, &off);
            along * along / error
        });
        self.half_ln_det - 0.5 * (dot(&off, &off) + numbers.sum::<f64>())
    }

    /// Rows of its law: a plain row and plain errors, moved by what the readings would make of them.
    fn rows(&self, of: &Question<'_>, step: u64) -> Rows {
        let mut generator = Generator::new(of.seed, LOG.wrapping_add(step));
        let mut normal = || quantile(generator.unit());
        let mut numbers = Vec::with_capacity(of.rows * self.mean.len());
        for _ in 0..of.rows {
            let plain: Vec<f64> = self.mean.iter().map(|_| normal()).collect();
            let off: Vec<f64> = self
                .slopes
                .iter()
                .zip(&self.errors)
                .map(|(slope, error)| dot(slope, &plain) + error.sqrt() * normal())
                .collect();
            let moved = across(&self.slopes, &self.spread.solve(&off), self.mean.len());
            numbers
                .extend(plain.iter().zip(moved).zip(&self.mean).map(|((z, moved), mean)| z - moved + mean));
        }
        Rows { keys: self.mean.len(), numbers }
    }
}

/// `Hᵀ x`.
fn across(slopes: &[Vec<f64>], x: &[f64], keys: usize) -> Vec<f64> {
    let mut out = vec![0.0; keys];
    for (slope, x) in slopes.iter().zip(x) {
        out.iter_mut().zip(slope).for_each(|(sum, h)| *sum += h * x);
    }
    out
}
