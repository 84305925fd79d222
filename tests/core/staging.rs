//! The staging rules, each broken and kept, rising and falling; and the same layers put in order.
//! The rules are common practice, no source.

use std::sync::Arc;

use crate::small_filter::{build, exact, filter, grains, layer, pad};
use cansift::media_order::in_order::{Ordered, in_order};
use cansift::media_order::{At, Found, Rule, faults, layer_at, stages};
use cansift::model::filter::{Build, Filter, Way};
use cansift::model::medium::{Medium, Role};
use cansift::model::tray::{Amount, Dimples, Layer};
use cansift::units::{Length, Mass, Plain};
use proptest::prelude::*;

/// 10 mm of a medium of that role; loose where such media are.
fn of(role: Role) -> Layer {
    let loose = matches!(role, Role::Settlement | Role::Biological | Role::Chemical);
    let medium = if loose { grains(role.word(), role) } else { pad(role.word(), role) };
    layer(&Arc::new(medium), 0.01)
}

/// One tray a role, in the order of the water.
fn along(way: Way, roles: &[Role]) -> (Filter, Build) {
    let mut trays: Vec<Vec<Layer>> = roles.iter().map(|role| vec![of(*role)]).collect();
    if way == Way::Falling {
        trays.reverse();
    }
    (filter(way, roles.len()), build(Vec::new(), trays))
}

/// Tray counted along the water of a tray counted from the bottom.
fn tray_along(way: Way, trays: usize, tray: Option<usize>) -> Option<usize> {
    tray.map(|tray| if way == Way::Rising { tray } else { trays - 1 - tray })
}

/// What is broken when one tray holds each role: rule and tray along the water, the same both ways.
#[track_caller]
fn broken(roles: &[Role]) -> Vec<(Rule, usize)> {
    let both = [Way::Rising, Way::Falling].map(|way| {
        let (filter, build) = along(way, roles);
        let found = faults(&filter, &build);
        found
            .iter()
            .map(|f| (f.rule, tray_along(way, roles.len(), f.tray).expect("no floor here")))
            .collect::<Vec<_>>()
    });
    assert_eq!(both[0], both[1], "rising and falling differ");
    both[0].clone()
}

use Role::{Biological, Chemical, Coarse, Fine, Medium as Middle, Polishing, Settlement};

#[test]
fn a_good_stack_breaks_nothing() {
    assert_eq!(broken(&[Coarse, Middle, Fine, Biological, Biological]), []);
    assert_eq!(broken(&[Settlement, Coarse, Middle, Fine, Biological, Chemical]), []);
    assert_eq!(broken(&[Coarse, Biological, Polishing]), [], "polishing last is allowed");
    assert_eq!(broken(&[Coarse, Coarse, Biological]), []);
    assert_eq!(broken(&[]), []);
}

/// Two pads are two beds: the fault stands for each, and the second says why.
#[test]
fn a_pad_cut_in_two_says_why_it_counts_twice() {
    for way in [Way::Rising, Way::Falling] {
        let (filter, mut build) = along(way, &[Middle, Coarse]);
        for tray in &mut build.trays {
            let pad = tray[0].clone();
            tray.push(pad);
        }
        let says: Vec<bool> =
            faults(&filter, &build).iter().map(|f| f.says.contains("two layers are two beds")).collect();
        assert_eq!(says, [false, true], "{way:?}");
        let other = faults(&filter, &along(way, &[Middle, Fine, Coarse]).1);
        assert!(other.iter().all(|f| !f.says.contains("two beds")));
    }
}

#[test]
fn a_finer_before_coarser() {
    assert_eq!(broken(&[Middle, Coarse, Biological]), [(Rule::FinerBeforeCoarser, 0)]);
    // One fault a layer, however many coarser ones follow and however far away.
    assert_eq!(
        broken(&[Coarse, Fine, Middle, Coarse, Biological]),
        [(Rule::FinerBeforeCoarser, 1), (Rule::FinerBeforeCoarser, 2)]
    );
    assert_eq!(broken(&[Coarse, Polishing, Fine]), [(Rule::FinerBeforeCoarser, 1)]);
    // Settlement media are no mechanical stage.
    assert_eq!(broken(&[Coarse, Settlement, Biological]), []);
}

#[test]
fn b_biological_out_of_place() {
    assert_eq!(broken(&[Biological, Coarse]), [(Rule::BiologicalOutOfPlace, 0)]);
    assert_eq!(broken(&[Coarse, Biological, Fine]), [(Rule::BiologicalOutOfPlace, 1)]);
    assert_eq!(broken(&[Biological]), [(Rule::BiologicalOutOfPlace, 0)], "nothing stands before it");
    // Polishing after it is allowed, but does not serve as what stands before; and it then stands alone.
    assert_eq!(broken(&[Biological, Polishing]), [(Rule::BiologicalOutOfPlace, 0), (Rule::LoneFine, 1)]);
    assert_eq!(broken(&[Settlement, Biological, Coarse]), [(Rule::BiologicalOutOfPlace, 1)]);
    // Polishing before it counts as mechanical.
    assert_eq!(broken(&[Coarse, Polishing, Biological]), []);
}

#[test]
fn c_chemical_before_mechanical() {
    assert_eq!(broken(&[Coarse, Chemical, Fine]), [(Rule::ChemicalBeforeMechanical, 1)]);
    // Polishing may stand last, as the order itself has it.
    assert_eq!(broken(&[Coarse, Chemical, Polishing]), []);
    assert_eq!(broken(&[Coarse, Chemical, Biological]), []);
    assert_eq!(broken(&[Chemical]), []);
}

#[test]
fn d_the_floor_rising_only() {
    let cases = [
        (vec![], false),
        (vec![of(Settlement)], false),
        (vec![of(Coarse)], true),
        (vec![of(Settlement), of(Coarse), of(Coarse)], true),
    ];
    for (floor, other) in cases {
        let build = build(floor, vec![vec![of(Coarse)], vec![of(Biological)]]);
        let found = faults(&filter(Way::Rising, 2), &build);
        assert_eq!(found.len(), usize::from(other), "one fault for the floor: {found:?}");
        if let Some(found) = found.first() {
            assert_eq!((found.rule, found.tray, found.layer), (Rule::FloorHoldsOtherMedia, None, None));
            assert_eq!(found.at(), "floor");
        }
    }
    // Falling: the floor stands last, and no rule concerns it: neither itself nor as what comes after.
    let build = build(vec![of(Coarse)], vec![vec![of(Biological)], vec![], vec![of(Fine), of(Middle)]]);
    let found = faults(&filter(Way::Falling, 3), &build);
    assert_eq!(found.iter().map(|f| f.rule).collect::<Vec<_>>(), [Rule::EmptyTray]);
}

#[test]
fn floor_layers_stand_first_when_rising() {
    // A fine pad on the floor before a coarse one in the tray: its place, and the floor's own fault.
    let build = build(vec![of(Fine)], vec![vec![of(Coarse)]]);
    let found = faults(&filter(Way::Rising, 1), &build);
    let seen: Vec<_> = found.iter().map(|f| (f.rule, f.at())).collect();
    assert_eq!(
        seen,
        [
            (Rule::FinerBeforeCoarser, "floor, layer 1".to_owned()),
            (Rule::FloorHoldsOtherMedia, "floor".to_owned()),
            (Rule::LoneFine, "floor, layer 1".to_owned()),
        ]
    );
}

#[test]
fn e_an_empty_tray_between_layers() {
    for way in [Way::Rising, Way::Falling] {
        let first = if way == Way::Rising { 0 } else { 3 };
        let put = |filled: &[usize]| {
            let mut trays = vec![Vec::new(); 4];
            for tray in filled {
                trays[*tray] = vec![of(if *tray == first { Coarse } else { Biological })];
            }
            let found = faults(&filter(way, 4), &build(Vec::new(), trays));
            assert!(found.iter().all(|f| f.rule == Rule::EmptyTray && f.layer.is_none()), "{found:?}");
            found.iter().map(|f| f.tray.unwrap()).collect::<Vec<_>>()
        };
        let between = if way == Way::Rising { vec![1, 2] } else { vec![2, 1] };
        assert_eq!(put(&[0, 3]), between, "along the water");
        assert_eq!(put(&[0, 1, 2, 3]), Vec::<usize>::new());
        // Empty at either end is no fault.
        assert_eq!(put(&[first]), Vec::<usize>::new());
    }
    // Rising, media on the floor stand before the first tray; trays the build does not name are empty.
    let short = build(vec![of(Settlement)], vec![vec![], vec![of(Coarse)]]);
    let found = faults(&filter(Way::Rising, 4), &short);
    assert_eq!(found.iter().map(Found::at).collect::<Vec<_>>(), ["tray 1"]);
}

#[test]
fn f_a_lone_fine_pad() {
    assert_eq!(broken(&[Fine, Biological]), [(Rule::LoneFine, 0)]);
    assert_eq!(broken(&[Settlement, Polishing]), [(Rule::LoneFine, 1)]);
    assert_eq!(broken(&[Middle, Fine, Biological]), []);
    // It is the first one that counts, and it may break (a) as well.
    assert_eq!(broken(&[Fine, Coarse, Biological]), [(Rule::FinerBeforeCoarser, 0), (Rule::LoneFine, 0)]);
}

#[test]
fn g_dimples_facing_away() {
    for (way, dimples, away) in [
        (Way::Rising, Dimples::Up, true),
        (Way::Rising, Dimples::Down, false),
        (Way::Rising, Dimples::Both, false),
        (Way::Falling, Dimples::Up, false),
        (Way::Falling, Dimples::Down, true),
        (Way::Falling, Dimples::Both, false),
    ] {
        let pad = Layer { dimples: Some(dimples), ..of(Coarse) };
        let found = faults(&filter(way, 1), &build(Vec::new(), vec![vec![pad]]));
        let rules: Vec<_> = found.iter().map(|f| f.rule).collect();
        assert_eq!(rules, if away { vec![Rule::DimplesFacingAway] } else { vec![] }, "{way:?} {dimples:?}");
    }
    // Grains have no face.
    let odd = Layer { dimples: Some(Dimples::Up), ..of(Settlement) };
    assert!(faults(&filter(Way::Rising, 1), &build(Vec::new(), vec![vec![odd]])).is_empty());
}

#[test]
fn order_within_a_tray() {
    // Bottom to top in the file, so a good rising tray is a bad falling one.
    let tray = vec![of(Coarse), of(Middle), of(Fine)];
    let it = build(Vec::new(), vec![tray]);
    assert!(faults(&filter(Way::Rising, 1), &it).is_empty());
    let found = faults(&filter(Way::Falling, 1), &it);
    let seen: Vec<_> = found.iter().map(|f| (f.rule, f.at())).collect();
    assert_eq!(
        seen,
        [
            (Rule::FinerBeforeCoarser, "tray 1, layer 3".to_owned()),
            (Rule::FinerBeforeCoarser, "tray 1, layer 2".to_owned()),
            (Rule::LoneFine, "tray 1, layer 3".to_owned()),
        ]
    );
}

#[test]
fn every_fault_says_one_sentence() {
    let worst = build(
        vec![of(Chemical)],
        vec![
            vec![of(Fine), of(Biological)],
            vec![],
            vec![Layer { dimples: Some(Dimples::Up), ..of(Coarse) }],
        ],
    );
    let found = faults(&filter(Way::Rising, 3), &worst);
    let mut rules: Vec<_> = found.iter().map(|f| f.rule).collect();
    rules.dedup();
    assert_eq!(rules.len(), 7, "{rules:?}");
    for f in found {
        assert!(
            f.says.ends_with('.') && f.says.matches('.').count() == 1 && !f.says.contains("  "),
            "{}",
            f.says
        );
    }
}

#[test]
fn stages_follow_the_water() {
    let it = build(
        vec![of(Settlement), of(Settlement)],
        vec![vec![of(Coarse), of(Fine)], vec![], vec![of(Biological)]],
    );
    let up: Vec<At> = vec![(None, 0), (None, 1), (Some(0), 0), (Some(0), 1), (Some(2), 0)];
    assert_eq!(stages(&filter(Way::Rising, 3), &it), up);
    let down: Vec<At> = vec![(Some(2), 0), (Some(0), 1), (Some(0), 0), (None, 1), (None, 0)];
    assert_eq!(stages(&filter(Way::Falling, 3), &it), down);
    assert!(layer_at(&it, (Some(1), 0)).is_none() && layer_at(&it, (Some(9), 0)).is_none());
}

// ---- put in order ----

const AREA: f64 = 0.01;

/// Every place has 100 cm2; figures of depth, mass at 0.03 kg/l, and rest as 40 mm.
fn volume(layer: &Layer) -> f64 {
    match &layer.amount {
        Amount::Depth(depth) => depth.si() * AREA,
        Amount::Volume(volume) => volume.si(),
        Amount::Mass(mass) => mass.si() / 30.0,
        Amount::Rest => 0.04 * AREA,
    }
}

fn ordered(filter: &Filter, build: &Build) -> Ordered {
    in_order(filter, build, |at| volume(layer_at(build, at).unwrap()), |_, _| AREA)
}

/// Medium and height, mm, of each layer along the water.
fn listed(filter: &Filter, build: &Build) -> Vec<(Option<usize>, String, f64)> {
    let layers = stages(filter, build).into_iter().map(|at| (at.0, layer_at(build, at).unwrap()));
    layers.map(|(tray, l)| (tray, l.medium.id.clone(), (volume(l) / AREA * 1e6).round() / 1e3)).collect()
}

fn row(tray: impl Into<Option<usize>>, id: &str, mm: f64) -> (Option<usize>, String, f64) {
    (tray.into(), id.to_owned(), mm)
}

#[test]
fn put_in_order_rising() {
    let deep = |role: Role, depth: f64| layer(&of(role).medium, depth);
    let it = build(
        vec![deep(Middle, 0.02)],
        vec![
            vec![deep(Biological, 0.07)],
            vec![deep(Fine, 0.03), deep(Settlement, 0.02)],
            vec![deep(Chemical, 0.01), deep(Coarse, 0.04), deep(Polishing, 0.02)],
        ],
    );
    let filter = filter(Way::Rising, 3);
    let done = ordered(&filter, &it);
    // Trays are 80 mm: the fine pad does not fit on 40 + 20 and goes up whole, grains are split.
    assert_eq!(
        listed(&filter, &done.build),
        [
            row(None, "settlement", 20.0),
            row(0, "coarse", 40.0),
            row(0, "medium", 20.0),
            row(1, "fine", 30.0),
            row(1, "biological", 50.0),
            row(2, "biological", 20.0),
            row(2, "chemical", 10.0),
            row(2, "polishing", 20.0),
        ]
    );
    assert!(done.left_over.is_empty());
    assert_eq!(faults(&filter, &done.build), []);
}

#[test]
fn put_in_order_falling() {
    let deep = |role: Role, depth: f64| layer(&of(role).medium, depth);
    // Bottom to top; the water meets the top first.
    let it = build(
        vec![deep(Biological, 0.02)],
        vec![vec![deep(Coarse, 0.05)], vec![deep(Biological, 0.06), deep(Fine, 0.02)]],
    );
    let filter = filter(Way::Falling, 2);
    let done = ordered(&filter, &it);
    assert_eq!(
        listed(&filter, &done.build),
        [
            row(1, "coarse", 50.0),
            row(1, "fine", 20.0),
            row(1, "biological", 10.0),
            row(0, "biological", 50.0),
            row(None, "biological", 20.0),
        ]
    );
    assert_eq!(done.build.trays[1][2].medium.id, "coarse", "bottom to top in the build");
    assert!(faults(&filter, &done.build).is_empty());
}

#[test]
fn what_fits_nowhere_is_said() {
    let deep = |role: Role, depth: f64| layer(&of(role).medium, depth);
    let it = build(Vec::new(), vec![vec![deep(Coarse, 0.09), deep(Biological, 0.1), deep(Middle, 0.03)]]);
    let filter = filter(Way::Rising, 1);
    let done = ordered(&filter, &it);
    assert_eq!(listed(&filter, &done.build), [row(0, "medium", 30.0), row(0, "biological", 50.0)]);
    let left: Vec<_> =
        done.left_over.iter().map(|l| (l.medium.id.as_str(), (l.volume * 1e6).round())).collect();
    assert_eq!(left, [("coarse", 900.0), ("biological", 500.0)], "ml");
}

#[test]
fn settlement_media_overflow_into_the_first_tray() {
    let rings = layer(&of(Settlement).medium, 0.03);
    let it = build(Vec::new(), vec![vec![of(Coarse)], vec![rings]]);
    let filter = filter(Way::Rising, 2);
    assert_eq!(
        listed(&filter, &ordered(&filter, &it).build),
        [row(None, "settlement", 25.0), row(0, "settlement", 5.0), row(0, "coarse", 10.0)]
    );
    // No floor: it starts in the tray.
    let mut bare = filter;
    bare.body.floor = None;
    assert_eq!(
        listed(&bare, &ordered(&bare, &it).build),
        [row(0, "settlement", 30.0), row(0, "coarse", 10.0)]
    );
}

#[test]
fn layers_keep_what_is_their_own() {
    // Equals stay in their old order with their slack and hole; a pressed pad takes its pressed height.
    let first =
        Layer { slack: Some(exact::<Length>(0.001)), hole: Some(exact::<Length>(0.02)), ..of(Coarse) };
    let second = Layer {
        squeezed: Some(exact::<Plain>(0.5)),
        ..layer(&Arc::new(Medium { id: "other".into(), ..pad("other", Coarse) }), 0.14)
    };
    let stone = Layer { amount: Amount::Mass(exact::<Mass>(0.003)), ..of(Biological) };
    let rest = Layer { amount: Amount::Rest, ..of(Biological) };
    let it = build(Vec::new(), vec![vec![stone, rest], vec![first.clone(), second.clone()]]);
    let filter = filter(Way::Rising, 2);
    let done = ordered(&filter, &it);
    // 10 mm and 140 mm pressed to 70 fill the first tray.
    assert_eq!(done.build.trays[0], [first, second]);
    assert_eq!(done.build.trays[1].len(), 2);
    assert!(matches!(&done.build.trays[1][0].amount, Amount::Mass(m) if m.si() == 0.003));
    assert!(matches!(&done.build.trays[1][1].amount, Amount::Volume(v) if (v.si() - 4e-4).abs() < 1e-12));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn order_keeps_all_media_and_mends_all_it_can(
        way in prop_oneof![Just(Way::Rising), Just(Way::Falling)],
        layers in prop::collection::vec((0usize..7, 0usize..4, 1u32..60), 1..12),
    ) {
        let mut trays = vec![Vec::new(); 4];
        for (role, tray, mm) in &layers {
            trays[*tray].push(layer(&of(Role::ALL[*role]).medium, f64::from(*mm) * 1e-3));
        }
        let it = build(Vec::new(), trays);
        let filter = filter(way, 4);
        let done = ordered(&filter, &it);
        let total = |b: &Build| stages(&filter, b).into_iter().map(|at| volume(layer_at(b, at).unwrap())).sum::<f64>();
        let left: f64 = done.left_over.iter().map(|l| l.volume).sum();
        prop_assert!((total(&done.build) + left - total(&it)).abs() < 1e-12);
        for tray in &done.build.trays {
            prop_assert!(tray.iter().map(volume).sum::<f64>() <= 0.08 * AREA + 1e-9);
        }
        let roles: Vec<Role> =
            stages(&filter, &done.build).into_iter().map(|at| layer_at(&done.build, at).unwrap().medium.role).collect();
        prop_assert!(roles.is_sorted(), "{roles:?}");
        for found in faults(&filter, &done.build) {
            // Without a coarser pad no order helps.
            let has = |any: &[Role]| roles.iter().any(|role| any.contains(role));
            let excused = match found.rule {
                Rule::LoneFine => !has(&[Coarse, Middle]),
                Rule::BiologicalOutOfPlace => !has(&[Coarse, Middle, Fine]),
                _ => false,
            };
            prop_assert!(excused, "{found:?}");
        }
    }
}
