//! All logs together: which readings agree, what they make of the doubt, and the draws that follow from it.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use super::agree::{Agreement, agree};
use super::course::Watched;
use super::reading::{Reading, SLIPS};
use super::search::{Found, Question, Rows, search};
use super::telling::{reads, told_of};
use super::weights::drawn;
use crate::assess::case::Faults;
use crate::assess::figures::{WaterWay, water_way};
use crate::assess::log::{Told, Unused, is_own};
use crate::assess::monte_carlo::simulate;
use crate::assess::{Case, Mode, Simulated};
use crate::model::log::WaterTest;
use crate::model::{Build, Day, Filter, Tank};
use crate::order::InOrder;
use crate::parallel::map;
use crate::simd::{F64x8, Real};
use crate::uncertainty::recorder::KeyRecorder;
use crate::uncertainty::sampling::Column;
use crate::uncertainty::{Batch, Centre, Draws, Generator, Key, Nominal};
pub struct Ask<'a> {
    pub builds: &'a [(&'a Filter, &'a Build)],
    pub tank: Option<&'a Tank>,
    pub mode: Mode,
    pub draws: &'a Draws,
    /// Rows of each round.
    pub rows: usize,
    pub threads: usize,
    pub stop: &'a AtomicBool,
}
#[derive(Debug, Default)]
pub struct Learnt {
    /// Of each build with a log, in the order of the builds asked about.
    pub told: Vec<Told>,
    /// What every build is simulated with; none where nothing moved.
    pub shared: Option<Arc<Draws>>,
    /// What one build alone is simulated with.
    pub own: Vec<(usize, Arc<Draws>)>,
}

impl Learnt {
    /// The draws of a build; none where its figures are as without a log.
    pub fn draws(&self, build: usize) -> Option<&Arc<Draws>> {
        self.own.iter().find(|(b, _)| *b == build).map(|(_, draws)| draws).or(self.shared.as_ref())
    }
    fn chosen(&self) -> impl Iterator<Item = &Draws> {
        self.own.iter().map(|(_, draws)| draws).chain(&self.shared).map(|draws| &**draws)
    }
    /// The draws that cases hang on, of all builds together: what one build has of its own no other asks for.
    pub fn columns(&self, plain: &Draws) -> Draws {
        plain.with_chosen_of(self.chosen())
    }
    pub fn centre(&self) -> Centre {
        Centre::new(self.chosen().flat_map(Draws::means))
    }
    pub fn of(&self, build: usize) -> Option<&Told> {
        self.told.iter().find(|told| told.build == build)
    }
    /// The cases of a build as the logs have them; none where they are as without.
    pub fn simulate(
        &self,
        (filter, build): (&Filter, &Build),
        tank: Option<&Tank>,
        at: usize,
        stop: &AtomicBool,
    ) -> Option<Simulated> {
        let draws = self.draws(at)?;
        let faults = self.is_corrected(at).then(|| Faults::of(&filter.id));
        simulate(&Case { faults, ..Case::new(filter, build, tank) }, draws, stop)
    }
    /// Is the build corrected for faults of the model?
    pub fn is_corrected(&self, build: usize) -> bool {
        self.of(build).is_some_and(|told| told.unused.is_none()) && self.draws(build).is_some()
    }
}

pub fn has_log(filter: &Filter, build: &Build, tank: Option<&Tank>) -> bool {
    build.kept.log.iter().any(|entry| entry.trusted) || !tests_of(filter, build, tank).is_empty()
}

/// The tests of the tank's water that tell of this build, with their days since it was packed.
fn tests_of<'t>(filter: &Filter, build: &Build, tank: Option<&'t Tank>) -> Vec<(usize, f64, &'t WaterTest)> {
    let Some(tank) = tank else { return Vec::new() };
    let stands =
        tank.standing.as_ref().is_some_and(|name| *name == format!("{}#{}", filter.name, build.name));
    let tests = tank.tests.iter().enumerate().filter(|(_, test)| stands && test.trusted);
    tests
        .map(|(n, test)| {
            let since = build.kept.packed.zip(test.on.day(None)).map(|(Day(from), Day(on))| on - from);
            (n, since.unwrap_or(0) as f64, &test.what)
        })
        .collect()
}

/// The build with its log, as it was kept.
pub fn watched<'a>(filter: &'a Filter, build: &'a Build, tank: Option<&'a Tank>) -> Watched<'a> {
    let mut case = Case::new(filter, build, tank);
    let way: WaterWay<f64> = water_way(&case, &Nominal);
    case.start = way.solved.then_some(way.flows);
    Watched::new(case, &tests_of(filter, build, tank))
}

/// A log that is used, with what the first rows say of it.
pub(super) struct Log<'a> {
    pub(super) build: usize,
    pub(super) watched: Watched<'a>,
    /// Its figures in the first rows, row by row.
    pub(super) first: Vec<f64>,
    pub(super) agreement: Agreement,
}

impl Log<'_> {
    pub(super) fn readings(&self) -> Vec<Reading> {
        self.watched.items.iter().map(|item| item.reading.clone()).collect()
    }
    pub(super) fn used(&self) -> impl Fn(usize) -> bool + '_ {
        |i| !self.agreement.held.contains(&i)
    }
    /// Of figures of all its readings, row by row, those that are used.
    fn kept(&self, figures: &[f64]) -> Vec<Vec<f64>> {
        let readings = self.readings();
        let width: usize = readings.iter().map(Reading::width).sum();
        let used = self.used();
        figures
            .chunks_exact(width.max(1))
            .map(|row| {
                let mut rest = row;
                let mut out = Vec::new();
                for (i, reading) in readings.iter().enumerate() {
                    let (own, behind) = rest.split_at_checked(reading.width()).unwrap_or((rest, &[]));
                    rest = behind;
                    if used(i) {
                        out.extend_from_slice(own);
                    }
                }
                out
            })
            .collect()
    }
}

/// What the model gives for the readings of a build in rows; none when told to stop.
fn predict(
    watched: &Watched<'_>,
    keys: &[Key],
    rows: &Rows,
    ask: &Ask<'_>,
    threads: usize,
) -> Option<Vec<f64>> {
    let columns = keys.iter().enumerate().map(|(k, key)| {
        let column = rows.numbers.iter().skip(k).step_by(rows.keys).copied().collect();
        (key.hash(), Column::chosen(column))
    });
    let draws = Draws::new(rows.len(), ask.draws.seed()).replaced(columns);
    let columns = draws.prefetch(keys);
    let firsts: Vec<usize> = draws.firsts().collect();
    // Shares of the batches, so that threads need not meet at each.
    let shares: Vec<&[usize]> = firsts.chunks(16).collect();
    let eights = map(threads, &shares, |share| {
        let of = |first: &usize| {
            (!ask.stop.load(Ordering::Relaxed))
                .then(|| watched.figures(&Batch::prefetched(&draws, &columns, *first)))
        };
        share.iter().map(of).collect::<Option<Vec<Vec<F64x8>>>>()
    });
    let mut out = Vec::new();
    for (share, firsts) in eights.into_iter().zip(&shares) {
        for (eight, first) in share?.into_iter().zip(*firsts) {
            for lane in 0..F64x8::WIDTH.min(rows.len() - first) {
                out.extend(eight.iter().map(|x| x.draw(lane)));
            }
        }
    }
    Some(out)
}

/// Readings that no row gives anything for are set aside.
fn mute(watched: &mut Watched<'_>, first: &mut Vec<f64>) {
    let widths: Vec<usize> = watched.items.iter().map(|item| item.reading.width()).collect();
    let all: usize = widths.iter().sum();
    let mut starts = Vec::new();
    let mut at = 0;
    for width in &widths {
        starts.push(at..at + width);
        at += width;
    }
    let told: Vec<bool> = starts
        .iter()
        .map(|own| {
            let mut rows = first.chunks_exact(all.max(1)).filter_map(|row| row.get(own.clone()));
            rows.any(|row| row.iter().all(|x| x.is_finite()))
        })
        .collect();
    if told.iter().all(|told| *told) {
        return;
    }
    let kept = |row: &[f64]| -> Vec<f64> {
        let parts = starts.iter().zip(&told).filter(|(_, told)| **told);
        parts.filter_map(|(own, _)| row.get(own.clone())).flatten().copied().collect()
    };
    *first = first.chunks_exact(all.max(1)).flat_map(kept).collect();
    let mut which = told.iter();
    watched.mute = watched.items.extract_if(.., |_| which.next() == Some(&false)).collect();
}

fn keys_of(watched: &Watched<'_>) -> Vec<Key> {
    let asked = KeyRecorder::new();
    let _: Vec<f64> = watched.figures(&asked);
    asked.keys()
}

fn untold(build: usize, mode: Mode, why: Unused) -> Told {
    Told {
        build,
        mode,
        unused: Some(why),
        ess: 0.0,
        khat: 0.0,
        rounds: 0,
        phi: None,
        p: 1.0,
        unusual: false,
        odd: Vec::new(),
        readings: Vec::new(),
        moved: Vec::new(),
        packed: None,
        fell: None,
        opened: 0.0,
        opens: None,
        next: Vec::new(),
    }
}

/// Weighs the doubt by all logs; none when told to stop.
pub fn learn(ask: &Ask<'_>) -> Option<Learnt> {
    let mut out = Learnt::default();
    if ask.mode == Mode::Off || ask.draws.samples() == 0 {
        return Some(out);
    }
    let mut found: Vec<(usize, Watched<'_>)> = Vec::new();
    for (build, (filter, one)) in ask.builds.iter().enumerate() {
        if !has_log(filter, one, ask.tank) {
            continue;
        }
        let elsewhere = one.kept.on.as_ref().filter(|on| ask.tank.is_none_or(|tank| tank.name != **on));
        if let Some(on) = elsewhere {
            out.told.push(untold(build, ask.mode, Unused::OtherTank(on.clone())));
            continue;
        }
        found.push((build, watched(filter, one, ask.tank)));
    }
    // Whatever the order of the files, the same bytes.
    found.sort_by_cached_key(|(_, w)| {
        (w.case.filter.id.clone(), w.case.filter.name.clone(), w.case.build.name.clone())
    });
    let mut keys: Vec<Key> = found.iter().flat_map(|(_, watched)| keys_of(watched)).collect();
    keys.sort_by_cached_key(Key::name);
    keys.dedup();
    let hashes: Vec<u64> = keys.iter().map(Key::hash).collect();
    let seed = ask.draws.seed();
    let rows = Rows::first(&hashes, seed, ask.rows);
    let mut logs: Vec<Log<'_>> = Vec::new();
    for (build, watched) in found {
        let mut watched = watched;
        let mut first = predict(&watched, &keys, &rows, ask, ask.threads)?;
        mute(&mut watched, &mut first);
        if watched.items.is_empty() {
            out.told.push(untold(build, ask.mode, Unused::NoDirt));
            continue;
        }
        let readings: Vec<Reading> = watched.items.iter().map(|item| item.reading.clone()).collect();
        let kinds: Vec<usize> = watched.items.iter().map(|item| item.sort as usize).collect();
        let agreement = agree(&readings, &kinds, &first, seed);
        logs.push(Log { build, watched, first, agreement });
    }
    let (used, aside): (Vec<Log<'_>>, Vec<Log<'_>>) = logs.into_iter().partition(|log| !log.agreement.aside);
    for log in aside {
        let mut told = untold(log.build, ask.mode, Unused::Contradicts);
        told.p = log.agreement.together;
        told.readings = reads(&log, None, seed);
        told.packed = log.watched.case.build.kept.packed;
        out.told.push(told);
    }
    if ask.mode == Mode::Own {
        for log in used {
            let (draws, found) = own(&log, &keys, &hashes, ask)?;
            out.told.push(told_of(&log, &keys, &found, &draws, ask));
            out.own.push((log.build, Arc::new(draws)));
        }
    } else if !used.is_empty() {
        all(&used, &keys, &hashes, ask, &mut out)?;
    }
    out.told.order_by_key(|told| told.build);
    Some(out)
}

/// The cut: what others share keeps its draws.
fn own(log: &Log<'_>, keys: &[Key], hashes: &[u64], ask: &Ask<'_>) -> Option<(Draws, Found)> {
    let readings = log.readings();
    let own: Vec<bool> = keys.iter().map(|key| is_own(key, &log.watched.case.filter.id)).collect();
    let normals: Vec<Arc<[f64]>> = keys.iter().map(|key| ask.draws.normals(key)).collect();
    let model = |rows: &Rows| predict(&log.watched, keys, rows, ask, 1);
    let (seed, samples) = (ask.draws.seed(), ask.draws.samples());
    let question = Question {
        keys: hashes,
        readings: &readings,
        model: &model,
        first: Vec::new(),
        slips: SLIPS,
        rows: ask.rows,
        samples,
        seed,
    };
    let found = super::own::chosen(&question, &own, &normals, &log.agreement.held, ask.threads)?;
    let columns = keys.iter().enumerate().filter(|(k, _)| own.get(*k) == Some(&true)).map(|(k, key)| {
        let of = found.rows.rows().map(|row| row.get(k).copied().unwrap_or(0.0)).collect();
        (key.hash(), Column::chosen(of))
    });
    Some((ask.draws.replaced(columns), found))
}

fn all(logs: &[Log<'_>], keys: &[Key], hashes: &[u64], ask: &Ask<'_>, out: &mut Learnt) -> Option<()> {
    let readings: Vec<Reading> = logs
        .iter()
        .flat_map(|log| {
            let used = log.used();
            log.readings()
                .into_iter()
                .enumerate()
                .filter(move |(i, _)| used(*i))
                .map(|(_, r)| r)
                .collect::<Vec<_>>()
        })
        .collect();
    let joined = |of: Vec<Vec<Vec<f64>>>| -> Vec<f64> {
        let rows = of.first().map_or(0, Vec::len);
        (0..rows)
            .flat_map(|row| of.iter().flat_map(move |log| log.get(row).into_iter().flatten().copied()))
            .collect()
    };
    let model = |rows: &Rows| {
        let each =
            logs.iter().map(|log| Some(log.kept(&predict(&log.watched, keys, rows, ask, ask.threads)?)));
        Some(joined(each.collect::<Option<Vec<_>>>()?))
    };
    let first = joined(logs.iter().map(|log| log.kept(&log.first)).collect());
    let seed = ask.draws.seed();
    let samples = ask.draws.samples();
    let question = Question {
        keys: hashes,
        readings: &readings,
        model: &model,
        first,
        slips: SLIPS,
        rows: ask.rows,
        samples,
        seed,
    };
    let found = search(&question)?;
    if found.worth <= 0.0 {
        out.told.extend(logs.iter().map(|log| untold(log.build, ask.mode, Unused::Impossible)));
        return Some(());
    }
    let order = drawn(&found.shares, samples, &mut Generator::new(seed, CHOSEN));
    let rows: Vec<&[f64]> = found.rows.rows().collect();
    let columns = keys.iter().enumerate().map(|(k, key)| {
        let of = |row: &usize| rows.get(*row).and_then(|row| row.get(k)).copied().unwrap_or(0.0);
        (key.hash(), Column::chosen(order.iter().map(of).collect()))
    });
    let draws = Arc::new(ask.draws.replaced(columns));
    for log in logs {
        out.told.push(told_of(log, keys, &found, &draws, ask));
    }
    out.shared = Some(draws);
    Some(())
}

/// `rows` in bytes: which rows are drawn.
const CHOSEN: u64 = 0x726f_7773;
