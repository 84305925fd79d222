//! The single repairs a person can make to a build and its filter, each with its edit, its words and its cost.

use super::findings::Place as LeakPlace;
use super::rerun::{Run, case_of, left_over_words, reordered};
use super::stage;
use crate::hydraulics::hoses::HosePart;
use crate::message::{Amount, Message, message};
use crate::model::edit::{Edit, Place, Side, Workpiece};
use crate::model::filter::{Impeller, Lamp};
use crate::model::hoses::Fitting;
use crate::model::ranges as r;
use crate::model::tray::{Seal, SealCondition};
use crate::place::Space;
use crate::uncertainty::key::Spot;
use crate::uncertainty::uncertain::{Provenance, Uncertain};
use crate::units::Length;

/// Gap of a seal in good order, m.
const GOOD_SEAL: f64 = 0.05e-3;
/// Slack from here on is worth cutting a new pad for, m.
const WIDE_SLACK: f64 = 0.3e-3;
/// Hoses as they are sold, m. Common practice, no source.
const HOSES: [f64; 6] = [9e-3, 12e-3, 16e-3, 19e-3, 22e-3, 25e-3];
/// Bores closer than this are the same, m.
const SAME_BORE: f64 = 0.05e-3;

/// One repair, not yet tried.
#[derive(Clone, Debug)]
pub(super) struct Candidate {
    pub kind: Kind,
    /// The edit that makes it.
    pub edit: Edit,
}

#[derive(Clone, Debug)]
pub(super) enum Kind {
    /// New seals on these trays.
    Seals(Vec<usize>),
    /// Pads cut to fit.
    Slack(Vec<Place>),
    Hole(Place),
    /// Fittings of that name and bore as wide as the hose.
    Fittings {
        name: &'static str,
        bore: f64,
        at: Vec<(Side, usize)>,
    },
    /// The next wider hose, with the fittings as they are.
    Hose {
        to: f64,
    },
    /// The same layers put in order, with what is then left over in words.
    Order {
        left: Message,
    },
    Lamp,
    Impeller,
    /// The outlet under the surface.
    Outlet,
}

/// Every repair that could be made.
pub(super) fn candidates(piece: &Workpiece, now: &Run) -> Vec<Candidate> {
    let mut all = Vec::new();
    seals(piece, &mut all);
    pads(piece, &mut all);
    fittings(piece, &mut all);
    hose(piece, &mut all);
    if let Some(ordered) = reordered(&case_of(piece), &now.told.way) {
        let left = left_over_words(&ordered);
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

/// One, or several as one.
fn one_or_all(mut edits: Vec<Edit>) -> Edit {
    match edits.pop() {
        Some(edit) if edits.is_empty() => edit,
        Some(edit) => {
            edits.push(edit);
            Edit::All(edits)
        }
        None => Edit::All(edits),
    }
}

/// Each alone and, where there are several, all of them.
fn each_and_all<T: Clone>(things: &[(T, Edit)], kind: impl Fn(Vec<T>) -> Kind, all: &mut Vec<Candidate>) {
    for (thing, edit) in things {
        all.push(Candidate { kind: kind(vec![thing.clone()]), edit: edit.clone() });
    }
    if things.len() > 1 {
        let edit = one_or_all(things.iter().map(|(_, edit)| edit.clone()).collect());
        all.push(Candidate { kind: kind(things.iter().map(|(thing, _)| thing.clone()).collect()), edit });
    }
}

fn seals(piece: &Workpiece, all: &mut Vec<Candidate>) {
    let mut worn = Vec::new();
    for (t, tray) in piece.filter.trays.iter().enumerate() {
        let bad = tray
            .seal
            .as_ref()
            .is_some_and(|s| matches!(s.condition, SealCondition::Worn | SealCondition::Missing));
        let at = Spot::from(Space::Tray(t)).part("seal");
        if bad && let Some(gap) = piece.figure(at, &r::GAP, GOOD_SEAL, Provenance::Assumed) {
            let seal = Some(Seal { condition: SealCondition::Lip, gap });
            worn.push((t, Edit::SetSeal { tray: t, seal }));
        }
    }
    each_and_all(&worn, Kind::Seals, all);
}

fn pads(piece: &Workpiece, all: &mut Vec<Candidate>) {
    let floor = piece.build.floor.iter().enumerate().map(|(i, layer)| ((None, i), layer));
    let trays = piece
        .build
        .trays
        .iter()
        .enumerate()
        .flat_map(|(t, layers)| layers.iter().enumerate().map(move |(i, layer)| ((Some(t), i), layer)));
    let mut loose = Vec::new();
    for (at, layer) in floor.chain(trays) {
        if layer.slack.as_ref().is_some_and(|s| s.si() >= WIDE_SLACK) {
            loose.push((at, Edit::SetSlack { at, slack: None }));
        }
        if layer.hole.as_ref().is_some_and(|h| h.si() > 0.0) {
            all.push(Candidate { kind: Kind::Hole(at), edit: Edit::SetHole { at, hole: None } });
        }
    }
    each_and_all(&loose, Kind::Slack, all);
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
        each_and_all(&group, |at| Kind::Fittings { name, bore, at }, all);
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

/// A length given in m.
fn mm(metres: f64) -> Amount {
    Amount::Length(metres * 1e3)
}

/// `two`, `three`, `4`.
fn count_word(count: usize) -> String {
    match count {
        2 => "two".to_owned(),
        3 => "three".to_owned(),
        n => n.to_string(),
    }
}

/// `tray 1`, `trays 1 and 3`.
fn trays_words(trays: &[usize]) -> String {
    let numbers: Vec<String> = trays.iter().map(|t| (t + 1).to_string()).collect();
    match numbers.split_last() {
        Some((last, [])) => format!("tray {last}"),
        Some((last, rest)) => format!("trays {} and {last}", rest.join(", ")),
        None => String::new(),
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
    /// How many things are mended.
    pub fn count(&self) -> usize {
        match self {
            Self::Seals(trays) => trays.len(),
            Self::Slack(places) => places.len(),
            Self::Fittings { at, .. } => at.len(),
            _ => 1,
        }
    }
    /// Is it a new lamp, judged on its dose?
    pub fn is_lamp(&self) -> bool {
        matches!(self, Self::Lamp)
    }

    /// What it costs, where a price of the unit's repairs or of the medium carries it.
    pub fn cost(&self, edited: &Workpiece, then: &Run) -> Option<f64> {
        let fix = |word: &str, but: &str| {
            let unit = edited.filter.unit.as_ref()?;
            let part = unit.to_fix.iter().find(|r| {
                let part = r.part.to_lowercase();
                part.contains(word) && (but.is_empty() || !part.contains(but))
            })?;
            Some(part.price.si())
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
            Self::Seals(_) => fix("seal", "lid"),
            Self::Slack(places) => places.iter().map(|at| pad(*at)).sum(),
            Self::Hole(at) => pad(*at),
            Self::Fittings { name, .. } => fix(name, ""),
            Self::Hose { .. } => fix("hose", "seal"),
            Self::Lamp => {
                let price = edited.filter.uv.as_ref().and_then(|uv| uv.price.as_ref());
                fix("lamp", "seal").or(price.map(Uncertain::si))
            }
            Self::Impeller => fix("impeller", ""),
            Self::Order { .. } | Self::Outlet => None,
        }
    }

    /// What is wrong, and what would mend it. What that gains is told by its figures; but for a lamp, whose dose
    /// stands here.
    pub fn words(&self, piece: &Workpiece, now: &Run, then: &Run) -> Message {
        match self {
            Self::Seals(trays) => {
                let here = |p| matches!(p, LeakPlace::Seal { tray } if trays.contains(&tray));
                let slips = slips(piece, now, trays.len() > 1, here);
                if let [tray] = trays.as_slice() {
                    let word = piece.filter.trays.get(*tray).and_then(|t| t.seal.as_ref()).map_or("", |s| {
                        if s.condition == SealCondition::Missing { "missing" } else { "worn" }
                    });
                    format!("the {word} seal of tray {}{slips}; a new one", tray + 1).into()
                } else {
                    format!("the seals of {}{slips}; new ones", trays_words(trays)).into()
                }
            }
            Self::Slack(places) => {
                let here =
                    |p| matches!(p, LeakPlace::Slack { tray, layer } if places.contains(&(tray, layer)));
                let slips = slips(piece, now, false, here);
                if let [at] = places.as_slice() {
                    let slack = piece.layer(*at).and_then(|l| l.slack.as_ref()).map_or(0.0, Uncertain::si);
                    let name = stage::words_of_layer(at.0, at.1);
                    message!(mm(slack), format!(" of slack round {name}{slips}; a pad cut to fit"))
                } else {
                    let count = count_word(places.len());
                    format!("the slack round {count} pads{slips}; pads cut to fit").into()
                }
            }
            Self::Hole(at) => {
                let here = |p| matches!(p, LeakPlace::Hole { tray, layer } if (tray, layer) == *at);
                let hole = piece.layer(*at).and_then(|l| l.hole.as_ref()).map_or(0.0, Uncertain::si);
                let name = stage::words_of_layer(at.0, at.1);
                let slips = slips(piece, now, false, here);
                message!("the ", mm(hole), format!(" hole in {name}{slips}; a pad without one"))
            }
            Self::Fittings { name, bore, at } => {
                let wide = mm(piece.filter.hose.bore.si());
                let share = fittings_share(now, then, at.len());
                match at.as_slice() {
                    [(side, _)] => {
                        let side = if *side == Side::Intake { "intake" } else { "return" };
                        message!(
                            "the ",
                            mm(*bore),
                            format!(" {name} of the {side} hose "),
                            share,
                            "; a ",
                            wide,
                            " one"
                        )
                    }
                    [_, _] => {
                        message!("the two ", mm(*bore), format!(" {name}s "), share, "; a ", wide, " pair")
                    }
                    more => {
                        let count = count_word(more.len());
                        message!(
                            format!("the {count} "),
                            mm(*bore),
                            format!(" {name}s "),
                            share,
                            "; ",
                            wide,
                            " ones"
                        )
                    }
                }
            }
            Self::Hose { to } => {
                let from = mm(piece.filter.hose.bore.si());
                message!("a ", mm(*to), " hose instead of the ", from, " one, fittings as they are")
            }
            Self::Order { left } => message!("the same layers put in order", left.clone()),
            Self::Lamp => {
                let dose = then.dose.unwrap_or(0.0);
                let unit = piece.filter.unit.as_ref().map_or(Lamp::Working, |u| u.lamp);
                match (unit, now.dose) {
                    (Lamp::BurntOut, _) => {
                        format!("the lamp is burnt out; a new one would give {dose:.1} mJ/cm2")
                    }
                    (Lamp::Working, Some(was)) => {
                        format!(
                            "the lamp has aged; a new one would give {dose:.1} mJ/cm2 instead of {was:.1}"
                        )
                    }
                    _ => format!("the lamp is missing; a new one would give {dose:.1} mJ/cm2"),
                }
                .into()
            }
            Self::Impeller => match piece.filter.unit.as_ref().map(|u| &u.impeller) {
                Some(Impeller::Share(share)) => {
                    format!("the impeller gives {:.0} % of a new one's flow; a new one", share.si() * 100.0)
                        .into()
                }
                _ => "the bucket test says the impeller is worn; a new one".into(),
            },
            Self::Outlet => {
                let height = piece.tank.as_ref().map_or(0.0, |t| t.hoses.outlet_above_water.si());
                message!("the outlet ", mm(height), " above the water costs head; under the surface")
            }
        }
    }
}

/// ` lets 9 % slip past`, from the leaks of the run; nothing where these are no leaks of the stage.
///
/// `many` things let, one lets.
fn slips(piece: &Workpiece, now: &Run, many: bool, here: impl Fn(LeakPlace) -> bool) -> String {
    let way = &now.told.way;
    let (Some((role, _)), Some(bypass)) = (&way.stage, now.bypass) else { return String::new() };
    let case = case_of(piece);
    let share: f64 = stage::leaks(&case.plan, &way.flows, &way.carried, *role, bypass)
        .iter()
        .filter(|leak| here(leak.place))
        .map(|leak| leak.share)
        .sum();
    if share >= 0.005 {
        format!(" let{} {:.0} % slip past", if many { "" } else { "s" }, share * 100.0)
    } else {
        String::new()
    }
}

/// What these fittings cost beside the hose, both at the present flow: `cost more than all the hose`.
fn fittings_share(now: &Run, then: &Run, count: usize) -> Message {
    let s = if count == 1 { "s" } else { "" };
    let none = format!("cost{s} head").into();
    let (Some(before), Some(after), Ok(q)) =
        (&now.told.way.vessel.laws.outside, &then.told.way.vessel.laws.outside, now.told.way.flow)
    else {
        return none;
    };
    let theirs = before.hoses.at(q).loss - after.hoses.at(q).loss;
    let is_hose = |part: &HosePart| matches!(part, HosePart::IntakeHose | HosePart::ReturnHose);
    let hose: f64 = before.hoses.parts(q).iter().filter(|(part, _)| is_hose(part)).map(|(_, pa)| pa).sum();
    if theirs > hose {
        format!("cost{s} more than all the hose").into()
    } else {
        message!(format!("take{s} "), Amount::Head(theirs / before.weight()), " of head")
    }
}
