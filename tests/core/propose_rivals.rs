//! Proposals are never beaten: by trying everything, by chance, or by one more edit.

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::searched::{best, kind, media, medium, run, tamsin, tank};
use cansift::assess::case::Case;
use cansift::assess::figures::{Effort, figures};
use cansift::compare::requirements::{Bound, Limit};
use cansift::library::{Library, demo, demo_tanks};
use cansift::media_order;
use cansift::model::filter::{Build, Filter, Way};
use cansift::model::medium::{Medium, Role};
use cansift::model::shape::Shape;
use cansift::model::tank::Tank;
use cansift::model::tray::{Amount, Layer};
use cansift::propose::allowed::Allowed;
use cansift::propose::score::Scale;
use cansift::propose::{Options, layers};
use cansift::uncertainty::key::Key;
use cansift::uncertainty::uncertain::{Nominal, Provenance, Spread, Uncertain};
use cansift::units::Length;

/// A stack as this test writes it: per room along the water (the floor first when rising) medium and millimetres
/// along the water, 0 for the rest.
type Rough = Vec<Vec<(Arc<Medium>, u32)>>;

fn mm(x: f64) -> Uncertain<Length> {
    let spread = Spread::Normal { sd: 0.025 };
    Uncertain { value: Length::of(x * 1e-3), known: Provenance::Stated, spread, key: Key::named("rough") }
}

/// The build it makes, if the rules as written for people allow it.
fn packed(filter: &Filter, rough: &Rough) -> Option<Build> {
    // A filter with nothing in it is no stack, whatever it saves in layers to handle.
    rough.iter().find(|room| !room.is_empty())?;
    let rising = filter.way == Way::Rising;
    let along: Vec<&Arc<Medium>> = rough.iter().flatten().map(|(m, _)| m).collect();
    let keen = |m: &Medium| if m.role.fineness().is_some() { m.capture.si() } else { 0.0 };
    for pair in along.windows(2) {
        if pair[0].role > pair[1].role || (pair[0].role == pair[1].role && keen(pair[0]) > keen(pair[1])) {
            return None;
        }
    }
    let mut build = Build { name: "rough".into(), ..Build::empty(filter.trays.len()) };
    for (at, room) in rough.iter().enumerate() {
        let tray = match (rising, filter.body.floor.is_some()) {
            (true, true) => at.checked_sub(1),
            (true, false) => Some(at),
            (false, _) => Some(filter.trays.len() - 1 - at),
        };
        if room.iter().any(|(m, _)| (m.role == Role::Settlement) != tray.is_none()) || room.len() > 5 {
            return None;
        }
        let height = tray
            .map_or_else(|| filter.body.floor.as_ref().unwrap().height.si(), |t| filter.trays[t].height.si())
            * 1e3;
        let set: f64 = room.iter().map(|(_, mm)| f64::from(*mm)).sum();
        let rests = room.iter().filter(|(_, mm)| *mm == 0).count();
        if rests > 1 || set > height + 1e-6 || (rests == 1 && height - set < 10.0) {
            return None;
        }
        let mut upward: Vec<&(Arc<Medium>, u32)> = room.iter().collect();
        if !rising {
            upward.reverse();
        }
        let layers: Vec<Layer> = upward
            .iter()
            .enumerate()
            .map(|(i, (medium, deep))| Layer {
                medium: Arc::clone(medium),
                amount: match deep {
                    0 if i + 1 == upward.len() => Amount::Rest,
                    0 => Amount::Depth(mm((height - set + 1e-6).floor())),
                    deep => Amount::Depth(mm(f64::from(*deep))),
                },
                slack: medium.is_pad().then(|| mm(0.5)),
                hole: None,
                squeezed: None,
                dimples: None,
            })
            .collect();
        for (i, layer) in layers.iter().enumerate() {
            if layer.medium.floats && layers.get(i + 1).is_none_or(|above| above.medium.floats) {
                return None;
            }
        }
        match tray {
            None => build.floor = layers,
            Some(t) => build.trays[t] = layers,
        }
    }
    media_order::faults(filter, &build).is_empty().then_some(build)
}

fn rooms(filter: &Filter) -> usize {
    filter.trays.len() + usize::from(filter.way == Way::Rising && filter.body.floor.is_some())
}

/// Every content of one room: sequences of up to five layers.
fn contents(media: &[Allowed], thicknesses: &[u16], height_mm: f64) -> Vec<Vec<(Arc<Medium>, u32)>> {
    let mut all = vec![Vec::new()];
    let mut last: Vec<Vec<(Arc<Medium>, u32)>> = vec![Vec::new()];
    for _ in 0..5 {
        let mut next = Vec::new();
        for stack in &last {
            for a in media {
                let depths: Vec<u32> = if a.medium.is_pad() {
                    thicknesses.iter().map(|t| u32::from(*t)).collect()
                } else {
                    vec![0]
                };
                for deep in depths {
                    let mut more = stack.clone();
                    more.push((Arc::clone(&a.medium), deep));
                    let high: f64 = more.iter().map(|(_, d)| f64::from(*d)).sum();
                    if high <= height_mm && more.windows(2).all(|p| p[0].0.role <= p[1].0.role) {
                        next.push(more);
                    }
                }
            }
        }
        all.extend(next.iter().cloned());
        last = next;
    }
    all
}

/// What the search makes as great as it can, for any build.
fn value(filter: &Filter, build: &Build, tank: &Tank) -> f64 {
    let room = |shape: &Shape, height: f64| shape.plan(height, &Nominal).area * height * 1e3;
    let floor = filter.body.floor.iter().filter(|_| filter.way == Way::Rising);
    let trays = filter.trays.iter().map(|tray| room(&tray.shape, tray.height.si()));
    let litres: f64 = floor.map(|floor| room(&floor.shape, floor.height.si())).chain(trays).sum();
    let scale = Scale::new(filter, tank, (litres > 0.0).then_some(litres));
    scale.value(&figures(&Case::new(filter, build, Some(tank)), &Nominal, Effort::FULL), layers(build))
}

#[test]
fn trying_everything_finds_nothing_better_and_nothing_else() {
    let tank = tank("reading-room");
    for (ids, thicknesses, way) in [
        (["foam-20", "foam-30", "floss", "sintered-lump-12"], &[25_u16][..], Way::Rising),
        (["foam-10", "foam-30", "ceramic-ring-12", "glass-ring-14"], &[40][..], Way::Rising),
        (["foam-20", "floss", "ceramic-ring-porous-15", "pumice-12"], &[20, 40][..], Way::Falling),
        (["foam-10", "foam-45", "clay-12", "floss"], &[25, 40][..], Way::Rising),
    ] {
        let mut filter = tamsin();
        filter.trays.truncate(2);
        filter.way = way;
        for build in &mut filter.builds {
            build.trays.truncate(2);
            build.floor.clear();
        }
        let media = media(&ids);
        let room = contents(&media, thicknesses, 80.0);
        let floor = contents(&media, &[], 25.0);
        let mut most = f64::NEG_INFINITY;
        let mut tried = 0;
        for first in if way == Way::Rising { floor } else { vec![Vec::new()] } {
            for second in &room {
                for third in &room {
                    let mut rough = vec![second.clone(), third.clone()];
                    if way == Way::Rising {
                        rough.insert(0, first.clone());
                    }
                    if let Some(build) = packed(&filter, &rough) {
                        tried += 1;
                        most = most.max(value(&filter, &build, &tank));
                    }
                }
            }
        }
        assert!(tried > 20, "{tried}");
        let options =
            Options { thicknesses: thicknesses.to_vec(), samples: 0, foam_only: true, ..Options::new(media) };
        assert_eq!(best(&run(&filter, &tank, &options)), most, "{ids:?}");
    }
}

/// Splitmix64 (public domain, Sebastiano Vigna): chance that is the same everywhere.
struct Chance(u64);
impl Chance {
    fn below(&mut self, n: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) % n as u64) as usize
    }
}

fn by_chance(chance: &mut Chance, filter: &Filter, media: &[Allowed], thicknesses: &[u16]) -> Rough {
    let count = 1 + chance.below(7);
    let mut all: Vec<(usize, Arc<Medium>, u32)> = (0..count)
        .map(|_| {
            let medium = Arc::clone(&media[chance.below(media.len())].medium);
            let deep =
                if medium.is_pad() { u32::from(thicknesses[chance.below(thicknesses.len())]) } else { 0 };
            (chance.below(rooms(filter)), medium, deep)
        })
        .collect();
    let mut places: Vec<usize> = all.iter().map(|(room, ..)| *room).collect();
    places.sort_unstable();
    all.sort_by(|a, b| a.1.role.cmp(&b.1.role).then(a.1.capture.si().total_cmp(&b.1.capture.si())));
    let mut rough: Rough = vec![Vec::new(); rooms(filter)];
    for (place, (_, medium, deep)) in places.into_iter().zip(all) {
        rough[place].push((medium, deep));
    }
    rough
}

/// Every stack one edit away from a build.
fn one_edit(filter: &Filter, build: &Build, media: &[Allowed], thicknesses: &[u16]) -> Vec<Rough> {
    let rising = filter.way == Way::Rising;
    let mut layers: Vec<&Vec<Layer>> = build.trays.iter().collect();
    if rising && filter.body.floor.is_some() {
        layers.insert(0, &build.floor);
    }
    if !rising {
        layers.reverse();
    }
    let deep = |layer: &Layer| match &layer.amount {
        Amount::Depth(d) if layer.medium.is_pad() => (d.si() * 1e3).round() as u32,
        _ => 0,
    };
    let base: Rough = layers
        .into_iter()
        .map(|room| {
            let mut room: Vec<_> = room.iter().map(|l| (Arc::clone(&l.medium), deep(l))).collect();
            if !rising {
                room.reverse();
            }
            room
        })
        .collect();
    let choices: Vec<(Arc<Medium>, u32)> = media
        .iter()
        .flat_map(|a| {
            let depths: Vec<u32> =
                if a.medium.is_pad() { thicknesses.iter().map(|t| u32::from(*t)).collect() } else { vec![0] };
            depths.into_iter().map(|d| (Arc::clone(&a.medium), d))
        })
        .collect();
    let mut out = Vec::new();
    for room in 0..base.len() {
        for at in 0..=base[room].len() {
            for choice in &choices {
                let mut more = base.clone();
                more[room].insert(at, choice.clone());
                out.push(more.clone());
                if at < base[room].len() {
                    more[room].remove(at + 1);
                    out.push(more);
                }
            }
            if at < base[room].len() {
                let mut fewer = base.clone();
                let taken = fewer[room].remove(at);
                out.push(fewer.clone());
                if room + 1 < base.len() {
                    let mut moved = fewer.clone();
                    moved[room + 1].insert(0, taken.clone());
                    out.push(moved);
                }
                if room > 0 {
                    fewer[room - 1].push(taken);
                    out.push(fewer);
                }
            }
        }
    }
    out
}

#[test]
fn neither_chance_nor_one_more_edit_beats_a_proposal() {
    let filters = demo().filters;
    let tanks = demo_tanks();
    let all: Vec<Arc<Medium>> = Library::shipped().media().cloned().collect();
    let mut chance = Chance(7);
    let mut legal = 0;
    for case in 0..50 {
        let filter = &filters[chance.below(filters.len())].filter;
        let tank = &tanks[chance.below(tanks.len())].tank;
        let mut ids: BTreeSet<&str> = ["foam-20"].into();
        while ids.len() < 5 {
            ids.insert(&all[chance.below(all.len())].id);
        }
        let ids: Vec<&str> = ids
            .into_iter()
            .filter(|id| {
                !(tank.water.salt && medium(id).freshwater_only) && medium(id).role != Role::Chemical
            })
            .collect();
        let media = media(&ids);
        let thicknesses = [20, 40];
        if filter.way == Way::Falling && !filter.builds[0].floor.is_empty() {
            continue;
        }
        let options = Options {
            thicknesses: thicknesses.to_vec(),
            samples: 0,
            beam: 4,
            most: 3000,
            foam_only: true,
            ..Options::new(media.clone())
        };
        let proposals = run(filter, tank, &options);
        let found = best(&proposals);
        assert!(!proposals.is_empty(), "case {case}: {} with {ids:?}", filter.name);
        let mut rivals: Vec<Rough> =
            (0..2000).map(|_| by_chance(&mut chance, filter, &media, &thicknesses)).collect();
        let winner = proposals.iter().find(|p| p.value == found).unwrap();
        // The search goes by the bed, what is paid by the sheet.
        assert!(
            winner.unmet.iter().all(|limit| matches!(limit.bound, Bound::ToSpend(_))),
            "{:?}",
            winner.unmet
        );
        let mut reachable = (**tank).clone();
        reachable
            .requirements
            .retain(|must| Limit::of(must).is_some_and(|limit| !winner.dropped.contains(&limit)));
        rivals.extend(one_edit(filter, &winner.build, &media, &thicknesses));
        rivals.sort_by_key(|rough| format!("{:?}", names(rough)));
        rivals.dedup_by_key(|rough| format!("{:?}", names(rough)));
        for rough in rivals {
            let Some(build) = packed(filter, &rough) else { continue };
            // Nothing at all is no stack, though where nothing can be told it costs no handling.
            if build.trays.iter().all(Vec::is_empty) && build.floor.is_empty() {
                continue;
            }
            legal += 1;
            let rival = value(filter, &build, &reachable);
            assert!(
                rival <= found + 1e-9,
                "case {case}: {} for {}: {rival} beats {found}: {:?} and not {:?}",
                filter.name,
                tank.name,
                names(&rough),
                kind(&winner.build)
            );
        }
    }
    assert!(legal > 5000, "{legal}");
}

fn names(rough: &Rough) -> Vec<Vec<(String, u32)>> {
    rough.iter().map(|room| room.iter().map(|(m, d)| (m.id.clone(), *d)).collect()).collect()
}
