//! What would help most and what faults cost: always the model's own re-run, never more than it gains.

use std::sync::Arc;

use crate::filters::{self, foam, layer, three_trays};
use cansift::assess::case::Case;
use cansift::assess::findings::Costs;
use cansift::assess::improvements::{self, MOST, Repair};
use cansift::assess::rerun;
use cansift::assess::rerun::{Run, case_of};
use cansift::assess::{advise, judge_build};
use cansift::library::{demo, demo_tanks};
use cansift::measures::Measure;
use cansift::media_order::{self, Found};
use cansift::model::edit::{Edit, Workpiece, figure};
use cansift::model::filter::{Build, Filter};
use cansift::model::medium::Role;
use cansift::model::tank::Tank;
use cansift::model::tray::{Seal, SealCondition};
use cansift::report::figures::Units;
use cansift::report::wording::mends::{self, NOTHING, mend};
use cansift::uncertainty::uncertain::Provenance;

fn demo_filters() -> Vec<Arc<Filter>> {
    demo().filters.into_iter().map(|sound| sound.filter).collect()
}

fn tank(name: &str) -> Arc<Tank> {
    demo_tanks().into_iter().map(|sound| sound.tank).find(|tank| tank.name.contains(name)).unwrap()
}

fn piece(filter: &Filter, build: &Build, tank: Option<&Tank>) -> Workpiece {
    Workpiece::new(Arc::new(filter.clone()), build.clone(), tank.map(|t| Arc::new(t.clone())))
}

fn judged(piece: &Workpiece, measure: Measure) -> Option<f64> {
    judge_build(&piece.filter, &piece.build, piece.tank.as_deref()).outcome(measure).number()
}

/// Good seals, fittings as wide as the hose, coarse before medium before fine, nothing loose; a hose at the top
/// of the ladder.
fn perfect() -> Filter {
    let mut f = three_trays();
    f.hose.bore = filters::mm(25.0, "hose");
    f.intake = Vec::new();
    f.return_side = Vec::new();
    for tray in &mut f.trays {
        tray.seal = Some(Seal { condition: SealCondition::Lip, gap: filters::mm(0.05, "seal") });
    }
    let stack = [
        vec![
            layer(&foam(10.0, Role::Coarse), 30.0, 0.0, 0.0, "a"),
            layer(&foam(20.0, Role::Medium), 30.0, 0.0, 0.0, "b"),
        ],
        vec![layer(&foam(30.0, Role::Fine), 40.0, 0.0, 0.0, "c")],
        vec![layer(&filters::lumps(), 60.0, 0.0, 0.0, "d")],
    ];
    f.builds[0].floor.clear();
    f.builds[0].trays = stack.to_vec();
    f
}

fn repairs(piece: &Workpiece) -> Vec<Repair> {
    improvements::repairs(piece, &Run::of(&case_of(piece)))
}

fn costs(case: &Case<'_>, faults: &[Found]) -> Vec<Costs> {
    rerun::costs(case, &Run::of(case), faults)
}

fn metric(costs: &Costs) -> String {
    mends::costs(costs, Units::Metric)
}

#[test]
fn a_perfect_build_gets_no_repairs_and_a_hole_gets_mended() {
    let tank = tank("reading-room");
    let mut f = perfect();
    assert!(media_order::faults(&f, &f.builds[0]).is_empty());
    assert_eq!(repairs(&piece(&f, &f.builds[0], Some(&tank))), []);
    f.builds[0].trays[1][0].hole = Some(filters::mm(25.0, "hole"));
    let found = repairs(&piece(&f, &f.builds[0], Some(&tank)));
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].edit, Edit::SetHole { at: (Some(1), 0), hole: None });
    let before = judged(&piece(&f, &f.builds[0], Some(&tank)), Measure::FilteredFlow).unwrap();
    assert!(found[0].help.worked.unwrap() > before);
    let what = mend(&found[0].help.what, Units::Metric);
    assert!(what.starts_with("the 25 mm hole in tray 2, layer 1 lets "), "{what}");
    assert!(what.ends_with(" slip past; a pad without one"), "{what}");
    let us = mend(&found[0].help.what, Units::Us);
    assert!(us.starts_with("the 0.98 in hole in tray 2"), "{us}");
}

#[test]
fn figures_of_every_help_are_those_of_the_edited_build_and_gain_something() {
    let mut told = 0;
    for tank in [Some(tank("reading-room")), Some(tank("caf")), None] {
        for filter in demo_filters() {
            for build in &filter.builds {
                let before = piece(&filter, build, tank.as_deref());
                let found = repairs(&before);
                assert!(found.len() <= MOST);
                assert!(found.windows(2).all(|two| two[0].score >= two[1].score));
                for repair in &found {
                    told += 1;
                    let mut after = before.clone();
                    let undo = after.apply(&repair.edit).unwrap();
                    let help = &repair.help;
                    assert_eq!(help.worked, judged(&after, Measure::FilteredFlow), "{:?}", help.what);
                    assert_eq!(help.flow, judged(&after, Measure::Flow), "{:?}", help.what);
                    assert_eq!(help.service, judged(&after, Measure::OpeningInterval), "{:?}", help.what);
                    assert_eq!(help.bypass, judged(&after, Measure::Bypass), "{:?}", help.what);
                    let gains =
                        [Measure::FilteredFlow, Measure::Flow, Measure::OpeningInterval, Measure::UvDose]
                            .iter()
                            .any(|m| match (judged(&before, *m), judged(&after, *m)) {
                                (Some(was), Some(is)) => is > was * 1.0199,
                                (None, is) => is.is_some(),
                                _ => false,
                            });
                    // A leaky build's interval counts as nothing, so stopping the leak may be all it gains.
                    let stops = judged(&before, Measure::Bypass) > Some(0.5) && help.bypass <= Some(0.5);
                    assert!(gains || stops, "{} / {}: {:?}", filter.name, build.name, help.what);
                    after.apply(&undo).unwrap();
                    assert_eq!(after, before);
                    println!(
                        "{} / {}: {:.2} {} {:?}",
                        filter.name,
                        build.name,
                        repair.score,
                        mend(&help.what, Units::Metric),
                        help.cost
                    );
                }
            }
        }
    }
    assert!(told > 20, "{told}");
}

#[test]
fn advice_fills_the_judgement() {
    let tank = tank("reading-room");
    let filters = demo_filters();
    let filter = filters.iter().find(|f| f.name == "Tamsin 1100").unwrap();
    let build = &filter.builds[0];
    let mut judgement = judge_build(filter, build, Some(&tank));
    assert!(judgement.helps.is_empty() && judgement.faults.iter().all(|f| f.costs == Costs::Untold));
    advise(filter, build, Some(&tank), &mut judgement);
    let case = Case::new(filter, build, Some(&tank));
    let piece = piece(filter, build, Some(&tank));
    assert_eq!(judgement.helps, repairs(&piece).into_iter().map(|r| r.help).collect::<Vec<_>>());
    assert!(!judgement.helps.is_empty());
    let told: Vec<Costs> = judgement.faults.iter().map(|f| f.costs.clone()).collect();
    assert_eq!(told, costs(&case, &media_order::faults(filter, build)));
    assert!(told.iter().all(|c| *c != Costs::Untold) && !told.is_empty(), "{told:?}");
    let seal = judgement.helps.iter().find(|h| mend(&h.what, Units::Metric).contains("seal")).unwrap();
    assert_eq!(seal.cost, Some(9.0), "the profile's own price of the seal set");
}

/// Builds of the demo whose service is shorter once put in order, and rightly: in the Pelworth that ran at the
/// market two trays of rings stand before the foam. They catch dirt and fill slowly, so the foam lasts longer;
/// what it costs is bacteria under mulm, which the note says with its share of the dirt.
const SHORTER_IN_ORDER: &[(&str, &str)] = &[("Pelworth 1000 (market)", "as it ran")];

#[test]
fn order_does_not_shorten_service_but_where_the_note_says_why() {
    let mut shorter = std::collections::BTreeSet::new();
    for tank in demo_tanks().into_iter().map(|sound| sound.tank) {
        for filter in demo_filters() {
            for build in &filter.builds {
                let case = Case::new(&filter, build, Some(&tank));
                let found = media_order::faults(&filter, build);
                let has_flow =
                    judge_build(&filter, build, Some(&tank)).outcome(Measure::Flow).number().is_some();
                for (fault, cost) in found.iter().zip(costs(&case, &found)) {
                    let cost = metric(&cost);
                    let told = format!("{} / {}: {} {cost}", filter.name, build.name, fault.rule.key());
                    assert_eq!(has_flow, !cost.is_empty(), "{told}");
                    // A box of gravel alone: put in order it fills one tray and then the other, for nothing.
                    let gains_nothing = cost.starts_with("costs nothing by this model (in order");
                    assert!(!gains_nothing || filter.name == "Hesper Two", "{told}");
                    if cost.contains("in order it would be") && !gains_nothing {
                        assert!(cost.contains("biological media now shield the pads"), "{told}");
                        assert!(cost.starts_with("ammonia margin "), "and the order does gain: {told}");
                        shorter.insert((filter.name.clone(), build.name.clone()));
                    }
                }
            }
        }
    }
    let expected = SHORTER_IN_ORDER.iter().map(|(filter, build)| ((*filter).to_owned(), (*build).to_owned()));
    assert_eq!(shorter, expected.collect());
}

#[test]
fn a_biological_layer_out_of_place_costs_what_the_fouling_takes() {
    let tank = tank("reading-room");
    let mut f = perfect();
    f.builds[0].trays.rotate_right(1);
    let build = f.builds[0].clone();
    let found = media_order::faults(&f, &build);
    let told = costs(&Case::new(&f, &build, Some(&tank)), &found);
    let good = perfect();
    let margin = |f: &Filter| judged(&piece(f, &f.builds[0], Some(&tank)), Measure::AmmoniaCapacity).unwrap();
    let wanted = format!("ammonia margin {:.1} instead of {:.1}", margin(&f), margin(&good));
    assert!(!told.is_empty() && told.iter().all(|cost| metric(cost).contains(&wanted)), "{wanted}: {told:?}");
}

#[test]
fn costs_are_those_of_a_fresh_run() {
    let tank = tank("reading-room");
    let mut f = perfect();
    // The fine pad first, the coarse one last: faults, and dirt lands on the fine one.
    let trays = &mut f.builds[0].trays;
    let fine = trays[1].remove(0);
    let coarse = std::mem::take(&mut trays[0]);
    trays[1] = coarse;
    trays[0] = vec![fine];
    let build = f.builds[0].clone();
    let case = Case::new(&f, &build, Some(&tank));
    let found = media_order::faults(&f, &build);
    let told = costs(&case, &found);
    assert!(told.len() >= 2 && told.iter().all(|c| *c == told[0]), "{told:?}");
    let good = perfect();
    let (was, is) = (
        judged(&piece(&good, &good.builds[0], Some(&tank)), Measure::OpeningInterval).unwrap(),
        judged(&piece(&f, &build, Some(&tank)), Measure::OpeningInterval).unwrap(),
    );
    assert!(was > is, "{was} {is}");
    let was = if was >= 182.0 { "over 26 weeks".to_owned() } else { format!("{was:.0} d") };
    assert!(metric(&told[0]).starts_with(&format!("open every {is:.0} d instead of {was}")), "{told:?}");
    assert!(costs(&Case::new(&good, &good.builds[0], Some(&tank)), &[]).is_empty());
}

#[test]
fn a_pad_facing_away_is_told_by_turning_it() {
    let tank = tank("reading-room");
    let mut f = perfect();
    f.builds[0].trays[1][0].dimples = Some(cansift::model::tray::Dimples::Up);
    let build = f.builds[0].clone();
    let found = media_order::faults(&f, &build);
    let told = costs(&Case::new(&f, &build, Some(&tank)), &found);
    f.builds[0].trays[1][0].dimples = Some(cansift::model::tray::Dimples::Down);
    let turned = judged(&piece(&f, &f.builds[0], Some(&tank)), Measure::OpeningInterval).unwrap();
    let away = judged(&piece(&f, &build, Some(&tank)), Measure::OpeningInterval).unwrap();
    assert_eq!(told.len(), 1);
    assert_eq!(metric(&told[0]).starts_with(NOTHING), turned < away * 1.02, "{told:?} {turned} {away}");
}

#[test]
fn a_worse_seal_on_the_tray_of_the_finest_stage_never_lowers_clean_bypass() {
    let tank = tank("reading-room");
    for filter in demo_filters() {
        for build in &filter.builds {
            let finest = build
                .trays
                .iter()
                .flatten()
                .chain(&build.floor)
                .map(|l| l.medium.role)
                .filter(|role| role.fineness().is_some())
                .max_by_key(|role| role.fineness());
            let Some(finest) = finest else { continue };
            for (t, tray) in filter.trays.iter().enumerate() {
                let holds = build.trays[t].iter().any(|l| l.medium.role == finest);
                if !holds || tray.seal.is_none() {
                    continue;
                }
                let mut last: Option<f64> = None;
                for gap in [0.05e-3, 0.1e-3, 0.2e-3, 0.4e-3, 0.8e-3, 1.5e-3, 3e-3, 6e-3] {
                    let mut piece = piece(&filter, build, Some(&tank));
                    let gap =
                        figure(&filter.id, "seal", &cansift::model::ranges::GAP, gap, Provenance::Assumed)
                            .unwrap();
                    let seal = Some(Seal { condition: SealCondition::Worn, gap });
                    piece.apply(&Edit::SetSeal { tray: t, seal }).unwrap();
                    let bypass = judged(&piece, Measure::Bypass);
                    if let (Some(last), Some(bypass)) = (last, bypass) {
                        assert!(
                            bypass >= last - 1e-9,
                            "{} {} tray {t}: {last} {bypass}",
                            filter.name,
                            build.name
                        );
                    }
                    last = bypass;
                }
            }
        }
    }
}
