//! Draws by Latin hypercube: one stratified random permutation for each key.
//!
//! McKay, Beckman and Conover 1979, Technometrics 21: of `n` draws each key takes one from each of `n` strata
//! of equal chance, in a random order of its own. A key's order hangs on its name and the seed alone, so builds
//! that share a key share its draws, whatever else they ask for and on however many threads.

#![allow(clippy::doc_markdown, reason = "McKay is a name")]

use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};
use std::sync::{Arc, OnceLock, PoisonError, RwLock};

use super::distribution::Distribution;
use super::generator::Generator;
use super::key::Key;
use super::normal::{below, quantile};
use super::uncertain::{Draw, Spread};
use crate::assumptions::A;
use crate::simd::{F64x8, Real};

/// The draws of one key.
#[derive(Debug)]
pub struct Column {
    /// Strictly between 0 and 1, one in each stratum; none of normals that were chosen, as few laws ask for it.
    uniform: Option<Arc<[f64]>>,
    /// The same as normal quantiles.
    normal: Arc<[f64]>,
    /// What they make of the figure that the key stands for: it is asked for again by every build and law that
    /// holds it. Two coefficients of one law may share a key.
    made: [OnceLock<Made>; 2],
}

/// The values of a figure in every draw.
#[derive(Debug)]
struct Made {
    value: f64,
    spread: Spread,
    drawn: Box<[f64]>,
}

impl Column {
    fn new(samples: usize, seed: u64, key: u64) -> Self {
        let mut generator = Generator::new(seed, key);
        let mut strata: Vec<usize> = (0..samples).collect();
        generator.shuffle(&mut strata);
        let n = samples as f64;
        let uniform: Arc<[f64]> = strata.into_iter().map(|i| (i as f64 + generator.unit()) / n).collect();
        let normal = uniform.iter().map(|u| quantile(*u)).collect();
        Self { uniform: Some(uniform), normal, made: [const { OnceLock::new() }; 2] }
    }

    /// Of normals that were chosen.
    pub fn chosen(normals: Vec<f64>) -> Self {
        Self { uniform: None, normal: normals.into(), made: [const { OnceLock::new() }; 2] }
    }

    /// Strictly between 0 and 1, as drawn ones are.
    fn uniform(&self, i: usize, z: f64) -> f64 {
        let known = self.uniform.as_ref().and_then(|uniform| uniform.get(i)).copied();
        known.unwrap_or_else(|| below(z).clamp(f64::MIN_POSITIVE, 1.0 - f64::EPSILON))
    }

    /// The figure's values from draw `first` on; past the end the last. The same bits as by [`Distribution::at`], whatever
    /// was asked for before: a key may be asked for with another figure, where one is tried.
    fn eight(&self, value: f64, spread: Spread, first: usize) -> F64x8 {
        for made in &self.made {
            let made = made.get_or_init(|| {
                let law = Distribution::new(value, spread);
                // Candidates of one draw stand beside each other, alike in what is not theirs.
                let (mut last, mut x) = (f64::NAN, value);
                let each = |i: usize| {
                    let z = self.normal.get(i).copied().unwrap_or(0.0);
                    if z.to_bits() != last.to_bits() {
                        (last, x) = (z, self.at(law, i));
                    }
                    x
                };
                let drawn = (0..self.normal.len().max(1)).map(each).collect();
                Made { value, spread, drawn }
            });
            if made.value.to_bits() == value.to_bits() && made.spread == spread {
                if let Some(eight) =
                    made.drawn.get(first..).and_then(<[f64]>::first_chunk::<{ F64x8::WIDTH }>)
                {
                    return F64x8::gather(|lane| eight.get(lane).copied().unwrap_or(value));
                }
                let last = made.drawn.last().copied().unwrap_or(value);
                return F64x8::gather(|lane| made.drawn.get(first + lane).copied().unwrap_or(last));
            }
        }
        let law = Distribution::new(value, spread);
        F64x8::gather(|lane| self.at(law, first + lane))
    }

    /// What the law makes of draw `i`; past the end of the last, without draws of the median.
    pub fn at(&self, law: Distribution, i: usize) -> f64 {
        let i = i.min(self.normal.len().saturating_sub(1));
        let z = self.normal.get(i).copied().unwrap_or(0.0);
        law.at((if law.is_of_uniform() { self.uniform(i, z) } else { 0.5 }, z))
    }
}

/// Keys are hashed already: pass the hash on.
#[derive(Clone, Copy, Debug, Default)]
struct AsIs(u64);

impl Hasher for AsIs {
    fn finish(&self) -> u64 {
        self.0
    }
    fn write(&mut self, bytes: &[u8]) {
        self.0 = bytes.iter().fold(self.0, |h, b| (h ^ u64::from(*b)).wrapping_mul(0x0100_0000_01b3));
    }
    fn write_u64(&mut self, hash: u64) {
        self.0 = hash;
    }
}

type ByHash = HashMap<u64, Arc<Column>, BuildHasherDefault<AsIs>>;

/// Columns at hand, so that builds that share a key need not make them again; those not asked for of late are
/// let go. A column follows from its key alone, so it comes back the same.
#[derive(Debug, Default)]
struct AtHand {
    new: ByHash,
    old: ByHash,
}

impl AtHand {
    fn get(&self, hash: u64) -> Option<&Arc<Column>> {
        self.new.get(&hash)
    }
    /// The column of that key; `made` unless it is at hand. At most twice `most` are kept.
    fn take(&mut self, hash: u64, most: usize, made: Option<Arc<Column>>) -> Option<Arc<Column>> {
        if let Some(column) = self.new.get(&hash) {
            return Some(Arc::clone(column));
        }
        let column = self.old.remove(&hash).or(made)?;
        if self.new.len() >= most {
            self.old = std::mem::take(&mut self.new);
        }
        self.new.insert(hash, Arc::clone(&column));
        Some(column)
    }
}

/// Numbers kept in columns at hand, in all: 32 MiB.
pub const AT_HAND: usize = 1 << 22;

/// All draws of a run, shared by all builds and threads. A column is made when it is first asked for.
#[derive(Debug)]
pub struct Draws {
    samples: usize,
    seed: u64,
    columns: RwLock<AtHand>,
    constants: Vec<OnceLock<Arc<Column>>>,
    /// Columns that stand in place of drawn ones.
    chosen: Columns,
}

impl Draws {
    /// `samples` draws under that seed. The strata are exact up to 2^19 draws.
    pub fn new(samples: usize, seed: u64) -> Self {
        Self {
            samples,
            seed,
            columns: RwLock::default(),
            constants: A::ALL.iter().map(|_| OnceLock::new()).collect(),
            chosen: Columns::default(),
        }
    }
    /// The same draws but for the columns of these keys, one number a draw.
    #[must_use]
    pub fn replaced(&self, chosen: impl IntoIterator<Item = (u64, Column)>) -> Self {
        let chosen = chosen.into_iter().map(|(hash, column)| (hash, Arc::new(column))).collect();
        Self { chosen: Columns(chosen), ..Self::new(self.samples, self.seed) }
    }
    /// The same draws but for the columns that were chosen in these.
    #[must_use]
    pub fn with_chosen_of<'d>(&self, others: impl IntoIterator<Item = &'d Self>) -> Self {
        let chosen = others.into_iter().flat_map(|draws| &draws.chosen.0);
        let chosen = chosen.map(|(hash, column)| (*hash, Arc::clone(column))).collect();
        Self { chosen: Columns(chosen), ..Self::new(self.samples, self.seed) }
    }
    /// The mean of the normals chosen for each key.
    pub fn means(&self) -> impl Iterator<Item = (u64, f64)> {
        let mean = |column: &Column| column.normal.iter().sum::<f64>() / column.normal.len().max(1) as f64;
        self.chosen.0.iter().map(move |(hash, column)| (*hash, mean(column)))
    }
    /// How many draws.
    pub fn samples(&self) -> usize {
        self.samples
    }
    pub fn seed(&self) -> u64 {
        self.seed
    }
    /// The first draw of each batch of eight: 0, 8, 16 … The last batch may reach past the end.
    pub fn firsts(&self) -> impl Iterator<Item = usize> + use<> {
        (0..self.samples).step_by(F64x8::WIDTH)
    }
    /// The key's draws, strictly between 0 and 1, one in each of as many strata as there are draws.
    pub fn uniforms(&self, key: &Key) -> Arc<[f64]> {
        let column = self.column(key);
        column.normal.iter().enumerate().map(|(i, z)| column.uniform(i, *z)).collect()
    }
    /// The same draws as quantiles of a standard normal.
    pub fn normals(&self, key: &Key) -> Arc<[f64]> {
        Arc::clone(&self.column(key).normal)
    }
    /// How many numbers the columns at hand hold: never more than [`AT_HAND`].
    pub fn numbers_at_hand(&self) -> usize {
        let kept = self.columns.read().unwrap_or_else(PoisonError::into_inner);
        (kept.new.len() + kept.old.len()) * 3 * self.samples
    }
    /// The columns of these keys, for lookups without a lock: once a build, from a nominal run over
    /// [`super::recorder::KeyRecorder`].
    pub fn prefetch<'k>(&self, keys: impl IntoIterator<Item = &'k Key>) -> Columns {
        Columns(keys.into_iter().map(|key| (key.hash(), self.column(key))).collect())
    }

    pub fn column(&self, key: &Key) -> Arc<Column> {
        let hash = key.hash();
        if let Some(chosen) = self.chosen.0.get(&hash) {
            return Arc::clone(chosen);
        }
        let known = self.columns.read().unwrap_or_else(PoisonError::into_inner).get(hash).cloned();
        // Half of what is kept, in columns of three numbers a draw.
        let most = (AT_HAND / (6 * self.samples.max(1))).max(64);
        let at_hand = |made| {
            let mut columns = self.columns.write().unwrap_or_else(PoisonError::into_inner);
            columns.take(hash, most, made)
        };
        known.or_else(|| at_hand(None)).unwrap_or_else(|| {
            // Made outside the lock: two threads may both make it, and get the same.
            let made = Arc::new(Column::new(self.samples, self.seed, hash));
            at_hand(Some(Arc::clone(&made))).unwrap_or(made)
        })
    }

    fn with<T>(&self, columns: Option<&Columns>, key: &Key, f: impl FnOnce(&Column) -> T) -> T {
        match columns.and_then(|c| c.0.get(&key.hash())) {
            Some(column) => f(column),
            None => f(&self.column(key)),
        }
    }

    fn with_constant<T>(&self, which: A, f: impl FnOnce(&Column) -> T) -> T {
        match self.constants.get(which as usize) {
            Some(slot) => f(slot.get_or_init(|| self.column(which.key()))),
            None => f(&self.column(which.key())),
        }
    }
}

/// Columns fetched beforehand.
#[derive(Clone, Debug, Default)]
pub struct Columns(ByHash);

/// F64x8 draws at once, from `first` on; past the end the last draw is repeated, and what comes of it is to be
/// left out (see [`super::summary::Sample::push`]).
#[derive(Clone, Copy, Debug)]
pub struct Batch<'a> {
    draws: &'a Draws,
    columns: Option<&'a Columns>,
    first: usize,
}

impl<'a> Batch<'a> {
    /// The eight draws from `first` on.
    pub fn new(draws: &'a Draws, first: usize) -> Self {
        Self { draws, columns: None, first }
    }
    /// The same, looking first among columns of the same draws fetched beforehand.
    pub fn prefetched(draws: &'a Draws, columns: &'a Columns, first: usize) -> Self {
        Self { draws, columns: Some(columns), first }
    }
    fn gather(&self, value: f64, spread: Spread, column: &Column) -> F64x8 {
        column.eight(value, spread, self.first)
    }
}

impl Draw<F64x8> for Batch<'_> {
    fn spread(&self, value: f64, spread: Spread, key: &Key) -> F64x8 {
        if spread == Spread::Exact {
            return F64x8::splat(value);
        }
        self.draws.with(self.columns, key, |column| self.gather(value, spread, column))
    }
    fn constant(&self, which: A) -> F64x8 {
        let row = which.entry();
        if row.spread == Spread::Exact {
            return F64x8::splat(row.value);
        }
        self.draws.with_constant(which, |column| self.gather(row.value, row.spread, column))
    }
}
