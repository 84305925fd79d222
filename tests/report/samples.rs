//! Judgements made up for the tests of the writers.
use cansift::assess::assessment::Assessment;
use cansift::assess::assessment::{Fault, HeadPart, Leak, LeakPlace, Rule, Section, Slab, Space};
use cansift::assess::monte_carlo::Simulated;
use cansift::measures::Measure;
use cansift::measures::{Missing, Outcome};
use cansift::model::filter::Way;
use cansift::model::medium::Role;
use cansift::uncertainty::summary::Band;

/// Simulated cases of which only these bands are known.
pub fn simulated(bands: &[(Measure, f64, f64)]) -> Simulated {
    let mut out = Simulated::empty(512, Vec::new());
    for &(measure, low, high) in bands {
        out.set_band(measure, Some(Band { low, median: f64::midpoint(low, high), high }));
    }
    out
}

/// A row with a few figures set.
pub fn row(filter: &str, build: &str, flow: Option<f64>) -> Assessment {
    let slab = Slab {
        id: "foam-20".to_owned(),
        name: "medium foam, 20 PPI".to_owned(),
        role: Role::Medium,
        height_mm: 40.0,
        slack_mm: 3.0,
        hole_mm: None,
        share: Some(0.5),
        litres: 1.0,
        kilograms: 0.03,
        pad: true,
        dimples: None,
    };
    let space = Space {
        height_mm: 80.0,
        assumed: false,
        outline: "dee",
        from_above: Vec::new(),
        box_mm: Some((185.0, 160.0)),
        fills_box: Some(0.9),
        layers: vec![slab],
        seal: None,
        seal_assumed: false,
        excess_mm: 0.0,
    };
    let section = Section {
        way: Way::Rising,
        tube_mm: None,
        tube_assumed: false,
        floor: None,
        trays: vec![space],
        head_mm: None,
        head_assumed: false,
        uv: false,
    };
    let mut judgement = Assessment::empty(section, Missing::NoTank);
    judgement.set(Measure::Flow, flow.map_or(Outcome::Missing(Missing::NoPumpCurve), Outcome::Value));
    judgement.set(Measure::Bypass, Outcome::Value(0.054_321_987));
    judgement.set(Measure::FitsCabinet, Outcome::Flag(true));
    judgement.set(Measure::BypassChance, Outcome::Missing(Missing::NoSamples));
    judgement.set(Measure::UvDose, Outcome::Missing(Missing::LampBurntOut));
    judgement.stages = vec![Role::Medium];
    judgement.faults = vec![Fault {
        rule: Rule::EmptyTray,
        at: "tray 2".to_owned(),
        says: "water mixes there".to_owned(),
        costs: cansift::assess::findings::Costs::Untold,
    }];
    judgement.head_budget = vec![HeadPart { part: "hose".to_owned(), m: 0.31, share: 0.35 }];
    judgement.leaks = vec![Leak {
        at: "tray 1 seal".to_owned(),
        place: LeakPlace::Seal { tray: 0 },
        share: 0.09,
        share_at_service: None,
    }];
    judgement.file = format!("{filter}.ron");
    (judgement.filter, judgement.build) = (filter.to_owned(), build.to_owned());
    judgement
}
