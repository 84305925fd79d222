//! One whole build against an independent program: the demo's Tamsin 1100 as found, on the reading-room tank.
//!
//! The figures were worked in Python (2026) from the same laws by code that shares nothing with this crate. One per
//! cent, two for what hangs on the day of opening.

#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use std::path::Path;

use cansift::assess::biology::{nitrifies, removal};
use cansift::assess::case::Case;
use cansift::assess::figures::water_way;
use cansift::assess::figures::{Effort, Figures, figures};
use cansift::assess::findings::Opens;
use cansift::assess::judge_build;
use cansift::assess::suits::{Stocking, Suits, suits};
use cansift::biology::nitrifying::{Surface, own_surface, steady_tan};
use cansift::biology::oxygen;
use cansift::hydraulics::transport::Carried;
use cansift::library::{Library, demo, demo_tanks};
use cansift::measures::Measure;
use cansift::model::filter::Filter;
use cansift::model::tank::{Food, Stock, Tank};
use cansift::profile::read_filter;
use cansift::report::wording::pictures;
use cansift::uncertainty::uncertain::Nominal;

fn filter(name: &str) -> Filter {
    let found = demo().filters.into_iter().find(|sound| sound.filter.name.starts_with(name));
    (*found.unwrap().filter).clone()
}

fn reading_room() -> Tank {
    demo_tanks()
        .into_iter()
        .find(|sound| sound.tank.name.starts_with("reading"))
        .unwrap()
        .tank
        .as_ref()
        .clone()
}

fn told(filter: &Filter, build: usize, tank: &Tank) -> Figures<f64> {
    figures(&Case::new(filter, &filter.builds[build], Some(tank)), &Nominal, Effort::FULL)
}

/// Greatest relative difference, told at the end so that all rows are seen.
#[derive(Default)]
struct Rows {
    off: Vec<String>,
}

impl Rows {
    fn row(&mut self, what: &str, found: f64, wanted: f64, share: f64) {
        if (found - wanted).abs() > share * wanted.abs() {
            self.off.push(format!("{what}: {found} is not {wanted}"));
        }
    }
    fn done(self) {
        assert!(self.off.is_empty(), "{}", self.off.join("\n"));
    }
}

/// Figures with one figure wanted of each build, as bought and restacked, and the share they may be off.
const MEASURES: [(Measure, [f64; 2], f64); 16] = [
    (Measure::Flow, [678.48, 678.33], 0.01),
    (Measure::FilteredFlow, [189.71, 674.45], 0.01),
    (Measure::Clearing, [1.3876, 1.5705], 0.01),
    (Measure::Caught, [0.58117, 0.61096], 0.01),
    (Measure::Bypass, [0.72039, 0.00572], 0.01),
    (Measure::OpeningInterval, [7.582, 40.26], 0.02),
    (Measure::FlowDirty, [665.04, 625.26], 0.02),
    (Measure::FilteredFlowDirty, [74.57, 609.08], 0.02),
    (Measure::ClearingDirty, [1.0098, 1.4692], 0.02),
    (Measure::BypassDirty, [0.9006, 0.0294], 0.02),
    (Measure::AmmoniaCapacity, [0.5020, 2.6892], 0.01),
    (Measure::AmmoniaCapacityTank, [0.9967, 3.1839], 0.01),
    (Measure::SuitsUpTo, [90.36, 141.34], 0.01),
    (Measure::Nitrate, [126.41, 126.41], 0.01),
    (Measure::NitrateOff, [0.0, 31.17], 0.01),
    (Measure::OxygenOut, [6.9228, 6.9227], 0.01),
];

#[test]
fn the_tamsin_on_the_reading_rooms_tank() {
    let (filter, tank) = (filter("Tamsin"), reading_room());
    let mut rows = Rows::default();
    for build in 0..2 {
        let name = &filter.builds[build].name;
        let f = told(&filter, build, &tank);
        assert!(f.solved);
        for (measure, wanted, share) in MEASURES {
            let found = f.get(measure).unwrap();
            rows.row(&format!("{name} {}", measure.key()), found, wanted[build], share);
        }
        let aged = f.aged.as_ref().unwrap();
        rows.row(&format!("{name} E"), f.way.efficiency.unwrap(), [0.36812, 0.41674][build], 0.01);
        rows.row(&format!("{name} late bypass"), aged.dirty.bypass, [0.8879, 0.02587][build], 0.02);
        let living = f.living.as_ref().unwrap();
        let case = Case::new(&filter, &filter.builds[build], Some(&tank));
        let surface = Surface::<f64>::drawn(&Nominal);
        let mut carried = Carried::new(case.plan.what.len());
        let own = own_surface(0.18, &Nominal);
        let carried = std::cell::RefCell::new(&mut carried);
        let steady = steady_tan(living.tan, |s: f64| {
            let k1 = surface.first_order(s, living.celsius, living.oxygen_in);
            removal(&case, (&f.way.flows, f.way.carry_over), &living.areas, k1, s, &mut carried.borrow_mut())
                + k1 * s * own
        });
        rows.row(&format!("{name} steady TAN"), steady, [0.2510, 0.0708][build], 0.01);
        let water = f.water_inside.unwrap();
        let hours = oxygen::hours_to_scarce(water, living.oxygen_in, living.shut_use);
        rows.row(&format!("{name} hours"), hours, [1.128, 0.961][build], 0.01);
        let opens = judge_build(&filter, &filter.builds[build], Some(&tank)).timeline.unwrap().opens;
        let why = ["clearing 30 % down: water slips past the media", "voids of tray 1, layer 3 40 % full"];
        let Opens::On { why: told, .. } = opens else { panic!("{name}: by the calendar") };
        assert_eq!(pictures::opened_by(told), why[build]);
    }
    rows.done();
}

/// Rows of a build without a tank or with one, at nominal values.
fn rows_of(filter: &Filter, build: usize, tank: Option<&Tank>) -> Vec<Suits<f64>> {
    let case = Case::new(filter, &filter.builds[build], tank);
    let way = water_way(&case, &Nominal);
    suits(&case, &way, nitrifies(&case, &way.vessel, way.carry_over, &Nominal).removal, &Nominal).unwrap()
}

fn by(rows: &[Suits<f64>], stocking: Stocking) -> Suits<f64> {
    *rows.iter().find(|row| row.stocking == stocking).unwrap()
}

#[test]
fn what_tank_a_build_suits() {
    let (tamsin, dunlow) = (filter("Tamsin"), filter("Dunlow"));
    let lumps = dunlow.builds.iter().position(|b| b.name.contains("foam and lumps")).unwrap();
    let mut rows = Rows::default();
    let checks = [
        (&tamsin, 1, Stock::Normal, [1710.8, 281.4, 168.5, 183.3]),
        (&tamsin, 1, Stock::Heavy, [784.1, 140.7, 168.5, 91.7]),
        (&dunlow, lumps, Stock::Normal, [352.4, 56.5, 39.9, 21.4]),
    ];
    for (filter, build, stock, [ammonia, clearing, turnover, cycle]) in checks {
        let row = by(&rows_of(filter, build, None), Stocking::Word(stock));
        let name = format!("{} {stock:?}", filter.name);
        rows.row(&format!("{name} ammonia"), row.ammonia.unwrap(), ammonia, 0.01);
        rows.row(&format!("{name} clearing"), row.clearing, clearing, 0.01);
        rows.row(&format!("{name} turnover"), row.turnover, turnover, 0.01);
        rows.row(&format!("{name} cycle"), row.full_cycle, cycle, 0.01);
    }
    let tank = reading_room();
    for (build, ammonia, clearing, first) in [(1, 484.1, 141.3, false), (0, 90.36, 124.9, true)] {
        let row = by(&rows_of(&tamsin, build, Some(&tank)), Stocking::SoFed);
        rows.row("so fed ammonia", row.ammonia.unwrap(), ammonia, 0.01);
        rows.row("so fed clearing", row.clearing, clearing, 0.01);
        assert_eq!(row.up_to().1, first);
    }
    rows.done();
}

/// Printed figures only: flow, outside size, number of trays; the build lists its media.
const PRINTED_ONLY: &str = r#"
Filter(format: 1, name: "printed figures only", label: Label(flow: l_h(1100)),
    body: Body(outside: (width: mm(235), depth: mm(200), height: mm(410))), trays: count(3),
    builds: [Build(name: "foam and lumps", trays: [
        [Layer(media: "foam-10", depth: mm(25)), Layer(media: "foam-20", depth: mm(25)), Layer(media: "foam-30", depth: mm(20))],
        [Layer(media: "sintered-lump-20", fill: rest)], [Layer(media: "sintered-lump-20", fill: rest)]])])
"#;

#[test]
fn a_filter_of_which_only_the_box_is_known() {
    // Worked in Python (2026) from the same assumptions by code that shares nothing with this crate.
    let sound = read_filter(Path::new("printed.ron"), PRINTED_ONLY, Library::shipped());
    let filter = sound.map_err(|broken| broken.problems).unwrap().filter;
    let room = reading_room();
    let food = Food { daily: None, ..room.food.clone() };
    let tank = Tank { food, stock: Some(Stock::Normal), ..room };
    let f = told(&filter, 0, &tank);
    let mut rows = Rows::default();
    for (measure, wanted) in [
        (Measure::Flow, 669.62),
        (Measure::FilteredFlow, 652.75),
        (Measure::Bypass, 0.02520),
        (Measure::Clearing, 1.4235),
        (Measure::TraySpace, 6.2808),
        (Measure::AmmoniaCapacity, 8.3495),
        (Measure::Power, 18.7),
        (Measure::FullWeight, 12.602),
    ] {
        rows.row(measure.key(), f.get(measure).unwrap(), wanted, 0.01);
    }
    rows.done();
}
