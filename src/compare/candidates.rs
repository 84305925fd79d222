//! Who stands for choice: physical units, not builds. The same unit as bought and as restacked is one candidate,
//! spoken for by the build that stands best.

use super::swap::{ALL, Pair};
use super::{Bound, Standing, Stands};
use crate::assess::Assessment;
use crate::measures::{Measure, Outcome};
use crate::model::{Build, Filter, Tank};

/// One unit, by the places of its builds among those judged.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Candidate {
    pub best: usize,
    /// The first build of its file: as it stands now.
    pub as_it_is: usize,
    pub builds: usize,
}

/// Are two filters one unit? The same name and, builds and keys apart, the same to the nominal model, price and
/// condition included.
pub fn same_unit(a: &Filter, b: &Filter) -> bool {
    let [ea, eb] = [a, b].map(|filter| Build::empty(filter.trays.len()));
    a.name == b.name && !Pair::new((a, &ea), (b, &eb), None).differs(ALL)
}

/// Builds grouped by unit, in the order given; `filters` holds the filter of each build.
fn units(filters: &[&Filter]) -> Vec<Vec<usize>> {
    let mut out: Vec<(&Filter, Vec<usize>)> = Vec::new();
    for (i, filter) in filters.iter().enumerate() {
        let known = out.iter_mut().find(|(f, _)| f.id == filter.id || same_unit(f, filter));
        match known {
            Some((_, builds)) => builds.push(i),
            None => out.push((filter, vec![i])),
        }
    }
    out.into_iter().map(|(_, builds)| builds).collect()
}

/// One candidate a unit, in the order of their first builds, for somebody who asks what to buy. `filters` and `judged`
/// hold filter and figures of each build.
///
/// The build that stands best is the first of the ranking; where every build of a unit is ruled out, the one
/// that comes closest, and of those the one that would stand best if musts did not count.
pub fn candidates(filters: &[&Filter], judged: &[&Assessment], tank: &Tank, seed: u64) -> Vec<Candidate> {
    let standing = Standing::new(judged, tank, seed);
    let without = Standing::within(judged, tank, &[], seed);
    let place = |standing: &Standing, b: usize| standing.order().iter().position(|x| *x == b);
    let off = |b: usize| standing.builds.get(b).zip(judged.get(b)).map(|(s, judged)| off(s, judged, tank));
    let one = |builds: Vec<usize>| {
        let ranked = builds.iter().copied().filter(|b| standing.builds.get(*b).is_some_and(|s| !s.ruled_out));
        let best = ranked.min_by_key(|b| place(&standing, *b));
        let nearest = || builds.iter().copied().min_by_key(|b| (off(*b), place(&without, *b)));
        Some(Candidate {
            best: best.or_else(nearest)?,
            as_it_is: builds.first().copied()?,
            builds: builds.len(),
        })
    };
    units(filters).into_iter().filter_map(one).collect()
}

/// What missing anything weighs beside how far it is off, which counts by its logarithm: 0.7 is twice or half of what was
/// asked. Our own weights, no source.
const MISSED: f64 = 0.5;
/// A cabinet cannot be stretched: as if twice off.
const CABINET: f64 = 0.7;
/// What cannot be told.
const UNTOLD: f64 = 0.25;
/// Farther off than this is far off, times.
const FAR: f64 = 20.0;
/// Nearer together than this is one, so that trifles do not turn the order.
const STEP: f64 = 0.25;

/// How far a build is off what is asked: each requirement it misses, a tank larger than it suits, and a bypass over 25 %,
/// by how surely and how far. In steps, 0 for what misses nothing.
pub fn off(stands: &Stands, judged: &Assessment, tank: &Tank) -> u32 {
    let times = |ratio: f64| ratio.clamp(1.0, FAR).ln();
    let mut sum = 0.0;
    for (i, met) in stands.musts.iter().enumerate() {
        let chance = stands.chances.as_ref().and_then(|chances| chances.each.get(i));
        let nominal = f64::from(u8::from(met.passes == Some(false)));
        let (fails, untold) =
            chance.map_or((nominal, f64::from(u8::from(met.passes.is_none()))), |c| (c.fails(), c.untold));
        let ratio = match (met.limit.bound, met.figure) {
            (Bound::Yes, _) => CABINET,
            (Bound::AtLeast(least), Outcome::Value(x)) => times(least / x.max(1e-9)),
            (Bound::AtMost(most) | Bound::ToSpend(most), Outcome::Value(x)) => times(x / most.max(1e-9)),
            _ => 0.0,
        };
        sum += fails * (MISSED + ratio) + untold * UNTOLD;
    }
    // Water that slips past is no use to anybody, asked for or not.
    sum += judged.outcome(Measure::BypassChance).number().unwrap_or(0.0) * MISSED;
    let volume = tank.volume.as_ref().map(|volume| volume.si() * 1e3);
    if let (Some(volume), Outcome::Value(suits)) = (volume, judged.outcome(Measure::SuitsUpTo))
        && suits < volume
    {
        sum += MISSED + times(volume / suits.max(1e-9));
    }
    (sum / STEP).round() as u32
}
