//! Laws of clearing, of gaps that close, and of printed curves.

use std::sync::Arc;

use crate::filters::{Chance, any_filter, mm, three_trays};
use Provenance::{Guessed, Measured, Stated};
use cansift::assess::case::Case;
use cansift::assess::figures::water_way;
use cansift::assess::figures::{Effort, Figures, figures};
use cansift::clogging::Capture;
use cansift::hydraulics::leaks::ClosingGap;
use cansift::hydraulics::pump::PumpCurve;
use cansift::hydraulics::water::water;
use cansift::library::{Library, demo, demo_tanks};
use cansift::measures::Measure;
use cansift::model::filter::{Build, Filter};
use cansift::model::pump::{Curve, CurvePoint};
use cansift::model::tank::Tank;
use cansift::model::tray::{Amount, Layer};
use cansift::simd::{F64x8, Real};
use cansift::uncertainty::field::Printed;
use cansift::uncertainty::key::Key;
use cansift::uncertainty::sampling::{Batch, Draws};
use cansift::uncertainty::uncertain::{Nominal, Provenance, Spread, Uncertain};
use cansift::units::{Flow, Length, Quantity};

fn told(filter: &Filter, build: &Build, tank: &Tank) -> Figures<f64> {
    figures(&Case::new(filter, build, Some(tank)), &Nominal, Effort { ageing: false, step: 1.0 })
}

fn clearing(filter: &Filter, build: &Build, tank: &Tank) -> f64 {
    told(filter, build, tank).get(Measure::Clearing).unwrap()
}

#[test]
fn what_is_taken_adds_to_what_the_water_loses() {
    let mut chance = Chance(41);
    let mut told = 0;
    let demo: Vec<(Filter, f64)> = demo().filters.iter().map(|s| ((*s.filter).clone(), 1e-12)).collect();
    // In boxes by chance a gap of nothing beside one of centimetres costs the network some digits.
    let boxes = demo.into_iter().chain((0..500).map(|_| (any_filter(&mut chance), 1e-10)));
    for (i, (filter, most)) in boxes.enumerate() {
        let case = Case::new(&filter, &filter.builds[0], None);
        let way = water_way(&case, &Nominal);
        let (Ok(flow), true) = (way.flow, way.solved) else { continue };
        let mut capture = Capture::new(&case.plan, case.build, &way.vessel, way.carry_over, &Nominal);
        let efficiency: f64 = capture.pass(&case.plan, &way.flows);
        let off = capture.all() / flow - efficiency;
        assert!(off.abs() < most, "{i}: {off}");
        told += 1;
    }
    assert!(told > 200, "{told}");
}

#[test]
fn water_through_a_closing_gap_rises_strictly_with_its_loss() {
    let water = water(25.0);
    let mut chance = Chance(42);
    for i in 0..300 {
        let width = chance.log(5e-5, 5e-3);
        let most = ClosingGap::shut_of(width, chance.between(0.0, 0.95), chance.log(7e-4, 3e-3));
        let mut edge = ClosingGap {
            width,
            perimeter: 0.5,
            length: chance.between(0.01, 0.1),
            yields: chance.log(0.1, 10.0),
            most,
            shut: 0.0,
        };
        edge.fill(chance.between(0.0, 0.4), chance.log(0.01, 0.05));
        let mut before = 0.0;
        for step in 0..400 {
            let loss = 1e-3 * 1.05f64.powi(step);
            let (flow, slope) = edge.flow(loss, &water);
            assert!(flow > before && slope > 0.0, "{i}: {loss} Pa: {before} {flow}");
            before = flow;
        }
    }
}

#[test]
fn a_wider_gap_round_a_lone_pad_never_raises_clearing() {
    let tank = demo_tanks().remove(0).tank;
    let sound = demo().filters.into_iter().find(|s| s.filter.id == "tamsin-1100").unwrap();
    for build in &sound.filter.builds {
        for (tray, layers) in build.trays.iter().enumerate() {
            if layers.len() != 1 || !layers[0].medium.is_pad() {
                continue;
            }
            let mut before = f64::INFINITY;
            for width in [0.1, 0.2, 0.5, 1.0, 2.0, 4.0] {
                let mut build = build.clone();
                build.trays[tray][0].slack = Some(mm(width, "slack"));
                let now = clearing(&sound.filter, &build, &tank);
                assert!(now <= before * (1.0 + 1e-9), "{} {width} mm: {before} {now}", build.name);
                before = now;
            }
        }
    }
}

#[test]
fn floss_clears_more_than_coarse_to_fine_and_that_more_than_a_sponge() {
    let tank = demo_tanks().remove(0).tank;
    let filter = three_trays();
    let library = Library::shipped();
    let pad = |id: &str, depth: f64| Layer {
        medium: Arc::clone(library.medium(id).unwrap()),
        amount: Amount::Depth(mm(depth, "depth")),
        slack: Some(mm(0.5, "slack")),
        hole: None,
        squeezed: None,
        dimples: None,
    };
    let stack = |trays: Vec<Vec<Layer>>| Build::packed("stack", Vec::new(), trays);
    let coarse = || pad("foam-10", 30.0);
    let fine = || vec![coarse(), pad("foam-20", 20.0), pad("foam-30", 20.0)];
    let sponge = stack(vec![vec![coarse()], Vec::new(), Vec::new()]);
    let to_fine = stack(vec![fine(), Vec::new(), Vec::new()]);
    let with_floss = stack(vec![fine(), Vec::new(), vec![pad("floss", 20.0)]]);
    let all = [sponge, to_fine, with_floss].map(|build| clearing(&filter, &build, &tank));
    assert!(all[0] < all[1] && all[1] < all[2], "{all:?}");
}

#[test]
fn a_printed_curve_of_many_points_loses_no_case() {
    // Forty points close together, all printed: drawn apart they would cross in every case.
    let spread = |field: Printed, si: f64| field.spread(Provenance::Stated, false, si);
    let figure = |si: f64, field: Printed, key: &str| Uncertain::<Flow> {
        value: Flow::new(si).unwrap(),
        known: Provenance::Stated,
        spread: spread(field, si),
        key: Key::named(key),
    };
    let point = |i: u32, own: bool| {
        let (flow, head) = (1e-6 + 7e-6 * f64::from(i), 2.0 - 0.05 * f64::from(i));
        let key = |what: &str| if own { format!("p/{what}/{i}") } else { format!("p/{what}") };
        let at = figure(head, Printed::PumpHead, &key("head"));
        CurvePoint {
            flow: figure(flow, Printed::PumpFlow, &key("flow")),
            head: Uncertain { value: Length::of(head), known: at.known, spread: at.spread, key: at.key },
        }
    };
    let draws = Draws::new(512, 3);
    // Measured points have keys of their own; they keep their order all the same.
    for own in [false, true] {
        let mut pump = three_trays().pump;
        pump.curve = Some(Curve::Points { points: (0..39).map(|i| point(i, own)).collect() });
        for first in draws.firsts() {
            let curve: PumpCurve<F64x8> = PumpCurve::new(&pump, "p", &Batch::new(&draws, first)).unwrap();
            assert!(F64x8::all(curve.sound()), "{own} {first}");
        }
    }
}

#[test]
fn how_doubtful_figures_are_by_their_kind() {
    let of = |field: Printed, known, si| field.spread(known, false, si);
    let sd = |share: f64| Spread::Normal { sd: share };
    let near = |a: Spread, b: Spread| match (a, b) {
        (Spread::Normal { sd: a }, Spread::Normal { sd: b })
        | (Spread::CutNormal { sd: a }, Spread::CutNormal { sd: b }) => {
            assert!((a - b).abs() < 1e-12, "{a} {b}");
        }
        other => panic!("{other:?}"),
    };
    // Two deviations: 2 mm and 2 % of 100 mm are 4 mm; 0.5 mm and 1 % of 16 mm are 0.66 mm.
    near(of(Printed::Length, Stated, 0.1), sd(0.02));
    near(of(Printed::Length, Measured, 0.1), sd(0.01));
    near(of(Printed::Bore, Measured, 0.016), sd(0.33 / 16.0));
    near(of(Printed::Bore, Guessed, 0.016), sd(0.2));
    // Gaps: one deviation, the larger of a width and a share.
    near(of(Printed::EdgeGap, Stated, 0.0), Spread::CutNormal { sd: 0.3e-3 });
    near(of(Printed::EdgeGap, Guessed, 5e-3), Spread::CutNormal { sd: 1e-3 });
    near(of(Printed::LipGap, Measured, 0.4e-3), Spread::CutNormal { sd: 0.02e-3 });
    assert_eq!(of(Printed::Surface, Stated, 850.0), Spread::Factor { factor: 1.5 });
    assert_eq!(of(Printed::Capture, Stated, 5.1), Spread::Factor { factor: 1.3 });
    assert_eq!(of(Printed::Exact, Stated, 9.0), Spread::Exact);
}
