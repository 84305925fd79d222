//! Who stands for choice: physical units, not builds. The same unit as bought and as restacked is one candidate,
//! spoken for by the build that stands best.

use super::Standing;
use super::closest::off;
use super::swap::{ALL, Pair};
use crate::assess::Assessment;
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
