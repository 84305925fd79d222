//! The network method against a plain one that shares none of its code: nested halving on the same laws, for
//! vessels whose passages are in series and side by side (no joints in the tube).

use crate::filters::{Chance, any_filter};
use cansift::hydraulics::QuadraticLoss;
use cansift::hydraulics::network::{Curved, Tolerance};
use cansift::hydraulics::plan::{Plan, What};
use cansift::hydraulics::vessel::Vessel;
use cansift::uncertainty::uncertain::Nominal;

/// A rising function's root between two bounds.
fn halve(mut low: f64, mut high: f64, rises_past: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..48 {
        let middle = 0.5 * (low + high);
        if rises_past(middle) { high = middle } else { low = middle }
    }
    0.5 * (low + high)
}

/// Loss of passages side by side at a flow through them all.
fn side_by_side(laws: &[QuadraticLoss<f64>], q: f64) -> f64 {
    if let [only] = laws {
        return only.at(q).loss;
    }
    let least = laws.iter().map(|l| l.at(q).loss).fold(f64::INFINITY, f64::min);
    halve(0.0, least, |dp| laws.iter().map(|l| l.flow(dp)).sum::<f64>() > q)
}

#[derive(Default)]
struct Tray {
    steps: Vec<Vec<QuadraticLoss<f64>>>,
    seal: Option<QuadraticLoss<f64>>,
}

impl Tray {
    fn loss(&self, q: f64) -> f64 {
        let chain = |q: f64| self.steps.iter().map(|s| side_by_side(s, q)).sum::<f64>();
        let Some(seal) = self.seal else { return chain(q) };
        let through = halve(0.0, q, |media| chain(media) > seal.at(q - media).loss);
        chain(through)
    }
}

/// The plan's passages as trays in a row; none where a joint breaks the row.
fn trays(plan: &Plan, vessel: &Vessel<f64>) -> Option<Vec<Tray>> {
    let mut rows: Vec<Tray> = Vec::new();
    let ends = |p: usize| plan.graph.passages()[p];
    // Floor and each tray are told apart by the node pair of their passages, in the order of the links.
    let tray_of = |what: &What| match what {
        What::Grid { tray } | What::Seal { tray } => Some(*tray),
        What::Media { layer } | What::Slack { layer } | What::Hole { layer } => plan.layers[*layer].tray,
        _ => None,
    };
    let mut last: Option<Option<usize>> = None;
    let mut step_ends = None;
    for (p, what) in plan.what.iter().enumerate() {
        match what {
            What::Joint { .. } => return None,
            What::Outside | What::TubeIn | What::TubeOut => continue,
            _ => {}
        }
        let tray = tray_of(what);
        if last != Some(tray) {
            rows.push(Tray::default());
            last = Some(tray);
            step_ends = None;
        }
        let row = rows.last_mut().unwrap();
        if let What::Seal { .. } = what {
            row.seal = Some(vessel.clean[p]);
        } else if step_ends == Some(ends(p)) {
            row.steps.last_mut().unwrap().push(vessel.clean[p]);
        } else {
            row.steps.push(vec![vessel.clean[p]]);
            step_ends = Some(ends(p));
        }
    }
    Some(rows)
}

#[test]
fn nested_halving_finds_the_same_flow() {
    let mut chance = Chance(4242);
    let mut compared = 0;
    for i in 0..100 {
        let filter = any_filter(&mut chance);
        let build = &filter.builds[0];
        let plan = Plan::new(&filter, build);
        let mut vessel = Vessel::<f64>::new(&plan, &filter, build, None, &Nominal);
        assert!(vessel.solve(&plan, Tolerance::FULL).solved);
        let Some(trays) = trays(&plan, &vessel) else { continue };
        let tube: Vec<usize> =
            (0..plan.what.len()).filter(|p| matches!(plan.what[*p], What::TubeIn | What::TubeOut)).collect();
        let outside = plan.outside();
        let laws = std::cell::RefCell::new(vessel.laws.clone());
        let whole = |q: f64| {
            let mut laws = laws.borrow_mut();
            let curved: f64 = tube.iter().map(|p| laws.at(*p, q).loss).sum();
            curved + laws.at(outside, q).loss + trays.iter().map(|t| t.loss(q)).sum::<f64>()
        };
        let most = vessel.laws.outside.as_ref().unwrap().largest_flow() * 3.0;
        let flow = halve(0.0, most, |q| whole(q) > 0.0);
        let ours = vessel.flow(&plan);
        assert!((flow / ours - 1.0).abs() < 1e-6, "{i}: halving {flow}, network {ours}");
        compared += 1;
    }
    assert!(compared > 50, "only {compared} vessels compared");
}
