//! Who stands for choice: physical units, not builds. The same unit as bought and as restacked is one candidate,
//! spoken for by the build that stands best.

use super::ranking::Standing;
use super::swap::{ALL, Pair};
use crate::assess::Assessment;
use crate::model::filter::{Build, Filter};
use crate::model::tank::Tank;

/// One unit, by the places of its builds among those judged.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Candidate {
    /// The build that stands best.
    pub best: usize,
    /// The first build of its file: as it stands now.
    pub as_it_is: usize,
    /// How many builds it has.
    pub builds: usize,
}

/// Are two filters one unit? The same name and, builds and keys apart, the same to the nominal model, price and
/// condition included.
pub fn same_unit(a: &Filter, b: &Filter) -> bool {
    let empty = |filter: &Filter| Build {
        name: String::new(),
        floor: Vec::new(),
        trays: vec![Vec::new(); filter.trays.len()],
    };
    let (ea, eb) = (empty(a), empty(b));
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

/// One candidate a unit, in the order of their first builds. `filters` and `judged` hold filter and figures of
/// each build.
///
/// The build that stands best is the first of the ranking; where every build of a unit is ruled out, the one
/// that fails the fewest musts, and of those the one that would stand best if musts did not count.
pub fn candidates(filters: &[&Filter], judged: &[&Assessment], tank: &Tank, seed: u64) -> Vec<Candidate> {
    let standing = Standing::new(judged, tank, seed);
    let open = Tank { requirements: Vec::new(), ..tank.clone() };
    let without = Standing::new(judged, &open, seed);
    let place = |standing: &Standing, b: usize| standing.order().iter().position(|x| *x == b);
    let fails = |b: usize| standing.builds.get(b).map_or(usize::MAX, |s| s.ruled_out_by().count());
    let one = |builds: Vec<usize>| {
        let ranked = builds.iter().copied().filter(|b| standing.builds.get(*b).is_some_and(|s| !s.ruled_out));
        let best = ranked.min_by_key(|b| place(&standing, *b));
        let nearest = || builds.iter().copied().min_by_key(|b| (fails(*b), place(&without, *b)));
        Some(Candidate {
            best: best.or_else(nearest)?,
            as_it_is: builds.first().copied()?,
            builds: builds.len(),
        })
    };
    units(filters).into_iter().filter_map(one).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assess::judge;
    use crate::library::{demo, demo_tanks};

    #[test]
    fn a_unit_is_one_candidate_whatever_its_builds_and_wherever_they_lie() {
        let tank = demo_tanks().remove(0).tank;
        let demo = demo();
        let of = |id: &str| &demo.filters.iter().find(|s| s.filter.id == id).unwrap().filter;
        let tamsin = of("tamsin-1100");
        // The same unit in a second file, with another build; and the same model at another price.
        let mut copy = (**tamsin).clone();
        copy.id = "copy".to_owned();
        copy.builds.remove(0);
        let mut dearer = (**tamsin).clone();
        dearer.id = "dearer".to_owned();
        dearer.unit.as_mut().unwrap().asking = of("selwick-1200-uv").unit.as_ref().unwrap().asking.clone();
        assert!(same_unit(tamsin, &copy) && !same_unit(tamsin, &dearer));
        let builds = [(&**tamsin, 0), (&**tamsin, 1), (&copy, 0), (&dearer, 0)];
        let judged: Vec<Assessment> = builds.iter().map(|(f, b)| judge(f, *b, Some(&tank))).collect();
        let filters: Vec<&Filter> = builds.iter().map(|(f, _)| *f).collect();
        let judged: Vec<_> = judged.iter().collect();
        let found = candidates(&filters, &judged, &tank, 1);
        assert_eq!(found.len(), 2);
        assert_eq!(found[0], Candidate { best: 1, as_it_is: 0, builds: 3 });
        assert_eq!(found[1], Candidate { best: 3, as_it_is: 3, builds: 1 });
    }

    #[test]
    fn where_all_are_ruled_out_the_one_with_the_fewest_failures_speaks() {
        let mut tank = (*demo_tanks().remove(0).tank).clone();
        tank.requirements
            .push(crate::model::tank::Requirement::AtMost { measure: "power".to_owned(), limit: 1.0 });
        let demo = demo();
        let tamsin = &demo.filters.iter().find(|s| s.filter.id == "tamsin-1100").unwrap().filter;
        let judged: Vec<Assessment> = (0..2).map(|b| judge(tamsin, b, Some(&tank))).collect();
        let judged: Vec<_> = judged.iter().collect();
        let found = candidates(&[tamsin, tamsin], &judged, &tank, 1);
        assert_eq!(found, [Candidate { best: 1, as_it_is: 0, builds: 2 }]);
    }
}
