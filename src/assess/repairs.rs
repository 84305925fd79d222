//! The single repairs a person can make to a build and its filter, each with its edit and its cost.

use super::findings::{LeakPlace, LeftOver, Mend, Slips, Takes};
use super::rerun::{Run, case_of, left_over, reordered};
use super::stage;
use crate::hydraulics::hoses::HosePart;
use crate::model::assumed::Assumed;
use crate::model::edit::{Place, Side};
use crate::model::filter::Part;
use crate::model::hoses::Fitting;
use crate::model::{Edit, Impeller, Lamp, SealCondition, Workpiece, ranges as r};
use crate::order::InOrder;
use crate::uncertainty::{Provenance, Spot, Uncertain};
use crate::units::Length;

/// Slack from here on is worth cutting a new pad for, m.
const WIDE_SLACK: f64 = 0.3e-3;
/// Hoses as they are sold, m. Common practice, no source.
const HOSES: [f64; 6] = [9e-3, 12e-3, 16e-3, 19e-3, 22e-3, 25e-3];
/// Bores closer than this are the same, m.
const SAME_BORE: f64 = 0.05e-3;

/// Pads that are tried one by one, those with the most room beside them; a build of hundreds asks no hundreds of runs.
const TRIED_ALONE: usize = 32;

#[derive(Clone, Debug)]
pub(super) struct Candidate {
    pub kind: Kind,
    pub edit: Edit,
}

#[derive(Clone, Debug)]
pub(super) enum Kind {
    // New seals on these trays.
    Seals(Vec<usize>),
    // Pads cut to fit.
    Slack(Vec<Place>),
    Hole(Place),
    // Fittings of that name and bore as wide as the hose.
    Fittings { name: &'static str, bore: f64, at: Vec<(Side, usize)> },
    // The next wider hose, with the fittings as they are.
    Hose { to: f64 },
    // The same layers put in order.
    Order { left: Vec<LeftOver> },
    Lamp,
    Impeller,
    // The outlet under the surface.
    Outlet,
}

pub(super) fn candidates(piece: &Workpiece, now: &Run) -> Vec<Candidate> {
    let mut all = Vec::new();
    seals(piece, &mut all);
    pads(piece, &mut all);
    fittings(piece, &mut all);
    hose(piece, &mut all);
    if let Some(ordered) = reordered(&case_of(piece), &now.told.way) {
        let left = left_over(&ordered);
        let edit = Edit::SetStack { floor: ordered.build.floor, trays: ordered.build.trays };
        all.push(Candidate { kind: Kind::Order { left }, edit });
    }
    let unit = piece.filter.unit.as_ref();
    if unit.is_some_and(|u| u.impeller != Impeller::New) {
        all.push(Candidate { kind: Kind::Impeller, edit: Edit::SetImpeller { impeller: Impeller::New } });
    }
    if piece.filter.uv.is_some() {
        all.push(Candidate { kind: Kind::Lamp, edit: Edit::SetLamp { lamp: Lamp::Working, hours: None } });
    }
    let height = piece.tank.as_ref().map_or(0.0, |t| t.hoses.outlet_above_water.si());
    if height > 0.0
        && let Some(height) = piece.figure("outlet-above-water", &r::OUTLET_ABOVE, 0.0, Provenance::Assumed)
    {
        all.push(Candidate { kind: Kind::Outlet, edit: Edit::SetOutletHeight { height } });
    }
    all
}

/// Each that is `worth` it alone and, where there are several, all of them.
fn each_and_all<T: Clone>(
    things: &[(T, Edit)],
    worth: impl Fn(&T) -> bool,
    kind: impl Fn(Vec<T>) -> Kind,
    all: &mut Vec<Candidate>,
) {
    for (thing, edit) in things.iter().filter(|(thing, _)| worth(thing)) {
        all.push(Candidate { kind: kind(vec![thing.clone()]), edit: edit.clone() });
    }
    if things.len() > 1 {
        let (things, edits) = things.iter().cloned().unzip();
        all.push(Candidate { kind: kind(things), edit: Edit::All(edits) });
    }
}

fn seals(piece: &Workpiece, all: &mut Vec<Candidate>) {
    let mut worn = Vec::new();
    for (t, tray) in piece.filter.trays.iter().enumerate() {
        let condition = tray.seal.as_ref().map(|seal| seal.condition);
        if matches!(condition, Some(SealCondition::Worn | SealCondition::Missing)) {
            let seal = Assumed::new(&piece.filter.id).seal(t, None);
            worn.push((t, Edit::SetSeal { tray: t, seal }));
        }
    }
    each_and_all(&worn, |_| true, Kind::Seals, all);
}

fn pads(piece: &Workpiece, all: &mut Vec<Candidate>) {
    let trays = piece.build.trays.iter().enumerate().map(|(t, layers)| (Some(t), layers));
    let spaces = std::iter::once((None, &piece.build.floor)).chain(trays);
    let all_layers =
        spaces.flat_map(|(t, layers)| layers.iter().enumerate().map(move |(i, layer)| ((t, i), layer)));
    let (mut loose, mut holes) = (Vec::new(), Vec::new());
    for (at, layer) in all_layers {
        let wide = |gap: &Option<Uncertain<Length>>| gap.as_ref().map_or(0.0, Uncertain::si);
        let (slack, hole) = (wide(&layer.slack), wide(&layer.hole));
        if slack >= WIDE_SLACK {
            loose.push((slack, at));
        }
        if hole > 0.0 {
            holes.push((hole, at));
        }
    }
    for at in widest(&holes) {
        all.push(Candidate { kind: Kind::Hole(at), edit: Edit::SetHole { at, hole: None } });
    }
    let worth = widest(&loose);
    let loose: Vec<(Place, Edit)> =
        loose.into_iter().map(|(_, at)| (at, Edit::SetSlack { at, slack: None })).collect();
    each_and_all(&loose, |at| worth.contains(at), Kind::Slack, all);
}

/// The places of the widest of these, in the order given.
fn widest(all: &[(f64, Place)]) -> Vec<Place> {
    let mut order: Vec<usize> = (0..all.len()).collect();
    let width = |i: &usize| all.get(*i).map_or(0.0, |(width, _)| *width);
    order.order_by(|a, b| width(b).total_cmp(&width(a)));
    order.truncate(TRIED_ALONE);
    order.sort_unstable();
    order.iter().filter_map(|i| all.get(*i)).map(|(_, at)| *at).collect()
}

fn fittings(piece: &Workpiece, all: &mut Vec<Candidate>) {
    let hose = &piece.filter.hose.bore;
    let sides = [(Side::Intake, &piece.filter.intake), (Side::Return, &piece.filter.return_side)];
    let narrow: Vec<(&'static str, &Uncertain<Length>, Side, usize)> = sides
        .into_iter()
        .flat_map(|(side, list)| list.iter().enumerate().map(move |(i, fitting)| (side, i, fitting)))
        .filter_map(|(side, i, fitting)| match fitting {
            Fitting::Connector { bore, .. } => Some(("connector", bore, side, i)),
            Fitting::Tap { bore, .. } => Some(("tap", bore, side, i)),
            Fitting::Strainer { .. } | Fitting::Elbow { .. } => None,
        })
        .filter(|(_, bore, _, _)| bore.si() < hose.si() - SAME_BORE)
        .collect();
    let alike = |a: (&str, f64), b: (&str, f64)| a.0 == b.0 && (a.1 - b.1).abs() < SAME_BORE;
    let mut seen: Vec<(&'static str, f64)> = Vec::new();
    for &(name, bore, _, _) in &narrow {
        let bore = bore.si();
        if seen.iter().any(|s| alike(*s, (name, bore))) {
            continue;
        }
        seen.push((name, bore));
        let group: Vec<((Side, usize), Edit)> = narrow
            .iter()
            .filter(|(other, b, _, _)| alike((other, b.si()), (name, bore)))
            .filter_map(|&(_, _, side, index)| {
                let word = if side == Side::Intake { "intake" } else { "return" };
                let at = Spot::from(word).item(index).part("bore");
                let bore = piece.figure(at, &r::FITTING_BORE, hose.si(), Provenance::Assumed)?;
                Some(((side, index), Edit::SetFittingBore { side, index, bore }))
            })
            .collect();
        each_and_all(&group, |_| true, |at| Kind::Fittings { name, bore, at }, all);
    }
}

fn hose(piece: &Workpiece, all: &mut Vec<Candidate>) {
    let now = piece.filter.hose.bore.si();
    if let Some(&to) = HOSES.iter().find(|size| **size > now + SAME_BORE)
        && let Some(bore) = piece.figure("hose/bore", &r::HOSE_BORE, to, Provenance::Assumed)
    {
        all.push(Candidate { kind: Kind::Hose { to }, edit: Edit::SetHoseBore { bore } });
    }
}

impl Kind {
    /// Repairs of one family stand for each other: one of it, or all of it.
    pub fn family(&self) -> (u8, u64) {
        match self {
            Self::Seals(_) => (0, 0),
            Self::Slack(_) => (1, 0),
            Self::Hole((tray, layer)) => (2, tray.map_or(0, |t| t as u64 + 1) * 1000 + *layer as u64),
            Self::Fittings { name, bore, .. } => {
                (if *name == "tap" { 3 } else { 4 }, (bore * 1e5).round() as u64)
            }
            Self::Hose { .. } => (5, 0),
            Self::Order { .. } => (6, 0),
            Self::Lamp => (7, 0),
            Self::Impeller => (8, 0),
            Self::Outlet => (9, 0),
        }
    }
    pub fn count(&self) -> usize {
        match self {
            Self::Seals(trays) => trays.len(),
            Self::Slack(places) => places.len(),
            Self::Fittings { at, .. } => at.len(),
            _ => 1,
        }
    }

    /// What it costs, where a price of the unit's repairs or of the medium carries it.
    pub fn cost(&self, edited: &Workpiece, then: &Run) -> Option<f64> {
        let fix = |is: &dyn Fn(&Part) -> bool| {
            let unit = edited.filter.unit.as_ref()?;
            Some(unit.to_fix.iter().find(|repair| is(&repair.part))?.price.si())
        };
        // A pad cut anew is bought anew: its free volume at its price a litre.
        let pad = |at: Place| {
            let case = case_of(edited);
            let n = case.plan.layers.iter().position(|l| (l.tray, l.index) == at)?;
            let medium = &edited.layer(at)?.medium;
            let litres = then.told.way.vessel.lain.get(n)?.free_volume() * 1e3;
            medium.price.as_ref().filter(|_| medium.is_pad()).map(|price| price.si() * litres)
        };
        match self {
            Self::Seals(trays) => fix(&|part| {
                matches!(part, Part::Seals { trays: priced }
                    if trays.iter().all(|t| priced.contains(&(*t as u32 + 1))))
            }),
            Self::Slack(places) => places.iter().map(|at| pad(*at)).sum(),
            Self::Hole(at) => pad(*at),
            Self::Lamp => {
                let price = edited.filter.uv.as_ref().and_then(|uv| uv.price.as_ref());
                fix(&|part| *part == Part::Lamp).or(price.map(Uncertain::si))
            }
            Self::Impeller => fix(&|part| *part == Part::Impeller),
            // A hose to fix is replaced by its like, not by a wider one.
            Self::Fittings { .. } | Self::Hose { .. } | Self::Order { .. } | Self::Outlet => None,
        }
    }

    /// What would mend what; what that gains is told by the figures, but for a lamp.
    pub fn mend(&self, piece: &Workpiece, now: &Run, then: &Run) -> Mend {
        let mm = |metres: f64| metres * 1e3;
        match self {
            Self::Seals(trays) => {
                let here = |p| matches!(p, LeakPlace::Seal { tray } if trays.contains(&tray));
                let first =
                    trays.first().and_then(|t| piece.filter.trays.get(*t)).and_then(|t| t.seal.as_ref());
                let missing = first.is_some_and(|seal| seal.condition == SealCondition::Missing);
                Mend::Seals { trays: trays.clone(), missing, slips: slips(piece, now, here) }
            }
            Self::Slack(places) => {
                let here =
                    |p| matches!(p, LeakPlace::Slack { tray, layer } if places.contains(&(tray, layer)));
                let first = places.first().and_then(|at| piece.layer(*at)?.slack.as_ref());
                let slack = mm(first.map_or(0.0, Uncertain::si));
                Mend::Slack { at: places.clone(), slack, slips: slips(piece, now, here) }
            }
            Self::Hole(at) => {
                let here = |p| matches!(p, LeakPlace::Hole { tray, layer } if (tray, layer) == *at);
                let hole = piece.layer(*at).and_then(|l| l.hole.as_ref()).map_or(0.0, Uncertain::si);
                Mend::Hole { at: *at, hole: mm(hole), slips: slips(piece, now, here) }
            }
            Self::Fittings { name, bore, at } => Mend::Fittings {
                name,
                bore: mm(*bore),
                at: at.iter().map(|(side, _)| *side).collect(),
                to: mm(piece.filter.hose.bore.si()),
                takes: fittings_take(now, then),
            },
            Self::Hose { to } => Mend::Hose { from: mm(piece.filter.hose.bore.si()), to: mm(*to) },
            Self::Order { left } => Mend::Order { left: left.clone() },
            Self::Lamp => {
                let unit = piece.filter.unit.as_ref().map_or(Lamp::Working, |u| u.lamp);
                Mend::Lamp {
                    burnt_out: unit == Lamp::BurntOut,
                    was: now.dose.filter(|_| unit == Lamp::Working),
                    dose: then.dose.unwrap_or(0.0),
                }
            }
            Self::Impeller => {
                Mend::Impeller { share: piece.filter.unit.as_ref().and_then(|unit| unit.impeller.share()) }
            }
            Self::Outlet => {
                let height = piece.tank.as_ref().map_or(0.0, |t| t.hoses.outlet_above_water.si());
                Mend::Outlet { height: mm(height) }
            }
        }
    }
}

/// The share that slips past there, from the leaks of the run; none where these are no leaks of the stage.
fn slips(piece: &Workpiece, now: &Run, here: impl Fn(LeakPlace) -> bool) -> Slips {
    let way = &now.told.way;
    let (Some((role, _)), Some(bypass)) = (&way.stage, now.bypass) else { return None };
    let case = case_of(piece);
    let leaks = stage::leaks(&case.plan, &way.flows, &way.carried, *role, bypass);
    let share: f64 = leaks.iter().filter(|leak| here(leak.place)).map(|leak| leak.share).sum();
    (share >= 0.005).then_some(share)
}

/// What these fittings cost beside the hose, both at the present flow.
fn fittings_take(now: &Run, then: &Run) -> Takes {
    let (Some(before), Some(after), Ok(q)) =
        (&now.told.way.vessel.laws.outside, &then.told.way.vessel.laws.outside, now.told.way.flow)
    else {
        return Takes::Untold;
    };
    let theirs = before.hoses.clone().at(q).loss - after.hoses.clone().at(q).loss;
    let is_hose = |part: &HosePart| matches!(part, HosePart::IntakeHose | HosePart::ReturnHose);
    let hose: f64 = before.hoses.parts(q).iter().filter(|(part, _)| is_hose(part)).map(|(_, pa)| pa).sum();
    if theirs > hose { Takes::MoreThanTheHose } else { Takes::Head(theirs / before.weight()) }
}
