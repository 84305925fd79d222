//! What to measure or ask before choosing, with the figure to expect, and how the inputs are known.

use std::cell::RefCell;
use std::collections::BTreeMap;

use super::super::figures;
use super::super::ranking::key_words;
use super::super::sources::plain;
use super::{Case, One, say};
use crate::assess::assessment::Known;
use crate::assess::figures::{Figures, figures as judged};
use crate::assess::{Case as AtTank, Effort, judge_build};
use crate::assumptions::A;
use crate::compare::Gain;
use crate::compare::ranking::UNKNOWN_FIGURE;
use crate::measures::Measure;
use crate::model::{Build, Feed, Filter, Impeller};
use crate::order::InOrder;
use crate::uncertainty::key::Step;
use crate::uncertainty::{Draw, Key, Nominal, Provenance, Source, Spread, Uncertain};
use crate::units::{KINDS, Length};
use crate::ways::{BILL, BUCKET, FOOD};

/// Why look at another than the one to take.
const TURNS: &str = ", which could still be the one";
/// Begins advice for the day of packing.
pub const CUT: &str = "cut its pads close:";
/// Litres of a bucket test.
const LITRES: f64 = 10.0;

/// A nominal run that notes every figure of a file.
#[derive(Debug, Default)]
pub struct Inputs(RefCell<BTreeMap<Key, f64>>);

impl Draw<f64> for Inputs {
    fn spread(&self, value: f64, _: Spread, key: &Key) -> f64 {
        self.0.borrow_mut().insert(key.clone(), value);
        value
    }
    fn constant(&self, which: A) -> f64 {
        which.entry().value
    }
}

impl Inputs {
    pub fn of(case: &Case<'_>, one: &One<'_>) -> Self {
        let inputs = Self::default();
        let at_tank = AtTank::new(one.filter, one.build, Some(case.answer.tank));
        let _: Figures<f64> = judged(&at_tank, &inputs, Effort::FULL);
        inputs
    }
    /// The figure of a key in the unit of its field.
    fn expected(&self, key: &Key) -> Option<String> {
        let si = *self.0.borrow().get(key)?;
        let unit = key.field().unit;
        let of = KINDS.iter().flat_map(|(_, units)| units.iter()).find(|of| of.name == unit);
        let round = |x: f64| plain((x * 100.0).round() / 100.0);
        Some(of.map_or_else(|| round(si), |of| format!("{} {}", round(of.from_si(si)), of.sign)))
    }
}

/// `mostly from printed figures`, by what most of the unit's own figures are.
pub fn known(one: &One<'_>) -> &'static str {
    let Known { measured, printed, guessed, assumed } = one.row.known;
    let all = measured + printed + guessed + assumed;
    if all == 0 {
        "from typical figures"
    } else if 2 * measured > all {
        "mostly from measured figures"
    } else if 2 * (guessed + assumed) >= all {
        "half of them guesses or assumed"
    } else {
        "mostly from printed figures"
    }
}

/// Seconds that a bucket takes with no media in the vessel and this tank's hoses, both ends level.
fn seconds(case: &Case<'_>, filter: &Filter) -> Option<f64> {
    let mut tank = case.answer.tank.clone();
    let level = &tank.hoses.outlet_above_water;
    tank.hoses.outlet_above_water =
        Uncertain { value: Length::of(0.0), spread: Spread::Exact, ..level.clone() };
    let empty = Build::empty(filter.trays.len());
    let flow = judge_build(filter, &empty, Some(&tank)).outcome(Measure::Flow).number()?;
    (flow > 0.0).then(|| LITRES / flow * 3600.0)
}

fn bucket(case: &Case<'_>, one: &One<'_>) -> Option<String> {
    let seconds = seconds(case, one.filter)?;
    let litres = figures::volume(LITRES, case.answer.units);
    let chosen = super::short::chosen(case).is_some_and(|chosen| chosen.at == one.at);
    let whose = if chosen { String::new() } else { format!(" of {}", case.the(one)) };
    let turns = if chosen { "" } else { TURNS };
    Some(format!("time {litres} at the hose end{whose}{turns}, media out: about {seconds:.0} s is right"))
}

fn food(case: &Case<'_>) -> Option<String> {
    let tank = case.answer.tank;
    let volume = tank.volume.as_ref().map(Uncertain::si);
    let grams = crate::biology::load::fed::<f64>(&tank.feed(), volume, &Nominal).ok()?;
    Some(format!("weigh a week's food: {} g is reckoned", plain((grams * 7.0).round())))
}

fn told(case: &Case<'_>, gain: &Gain) -> Option<String> {
    let key = &gain.key;
    let field = key.field();
    let whose =
        case.listed.iter().find(|one| matches!(key.source(), Source::Filter(id) if **id == *one.filter.id));
    match field.measured_by? {
        BUCKET => return whose.and_then(|one| bucket(case, one)),
        FOOD => return food(case),
        _ => {}
    }
    let chosen = super::short::chosen(case).zip(whose).is_some_and(|(chosen, one)| chosen.at == one.at);
    let turns = if whose.is_some() && !chosen { TURNS } else { "" };
    if field.name == UNKNOWN_FIGURE {
        let whose = whose.map_or_else(String::new, |one| format!(" of {}", case.the(one)));
        let how = gain.how();
        // What no seller knows.
        return Some(if how == BILL {
            format!("look at {how}: without the price of power a year's cost can't be told")
        } else {
            format!("{how} for the price{whose}{turns}")
        });
    }
    let names: Vec<(String, String)> =
        case.listed.iter().map(|one| (one.filter.id.clone(), case.called(one))).collect();
    let what = short(&key_words(key, &names), whose.map(|one| case.the(one)), chosen);
    let expected = whose.or(case.listed.first()).and_then(|one| Inputs::of(case, one).expected(key));
    // A stack that has yet to be packed cannot be measured: how well it is cut is its keeper's to say.
    let new = |one: &One<'_>| matches!(key.at().steps(), [Step::Build(name), ..] if one.repacked() && **name == *one.build.name);
    if whose.is_some_and(new) {
        let slack = matches!(key.at().steps().last(), Some(Step::Part("slack")));
        return expected.filter(|_| slack && chosen).map(|x| format!("{CUT} {what} is reckoned at {x}"));
    }
    let expected = expected.map_or_else(String::new, |x| format!(": {x} is reckoned"));
    let how = gain.how();
    let no_tool = ["ask", "look", "read"].into_iter().any(|verb| how.starts_with(verb));
    Some(if no_tool {
        format!("{how} ({what}{turns}){expected}")
    } else {
        format!("measure {what}{turns}{expected}")
    })
}

/// `the tray 2 layer 1 edge gap of the Tamsin 1100`, of `Tamsin 1100: restacked, tray 2 layer 1 edge gap`: which build is
/// meant is known, and so is the filter where it is the one to take.
fn short(words: &str, whose: Option<String>, chosen: bool) -> String {
    let Some((_, place)) = words.split_once(": ") else { return words.to_owned() };
    let place = place.rsplit_once(", ").map_or(place, |(_, place)| place);
    let place = match place.strip_suffix(" edge gap") {
        Some(at) => format!("edge gap at {at}"),
        None => place.to_owned(),
    };
    match whose {
        Some(name) if !chosen => format!("the {place} of {name}"),
        Some(_) => format!("the {place}"),
        None => words.to_owned(),
    }
}

/// What to do before the choice is made, the most telling first.
pub fn before(case: &Case<'_>) -> Vec<String> {
    let Some(first) = case.listed.first() else { return Vec::new() };
    let top = case.answer.first.top.iter().filter_map(|gain| told(case, gain));
    let untold = case.answer.tank.volume.is_none();
    let tank =
        "say how large the tank is and what is fed: clearing, openings and ammonia can't be told without";
    let mut all: Vec<String> = untold.then(|| tank.to_owned()).into_iter().chain(top).collect();
    let tested = |one: &One<'_>| one.unit().is_some_and(|unit| matches!(unit.impeller, Impeller::Bucket(_)));
    if first.second_hand() && !tested(first) {
        all.extend(bucket(case, first));
    }
    if matches!(case.answer.tank.feed(), Feed::Stock(_)) {
        all.extend(food(case));
    }
    // The day of packing comes last.
    all.order_by_key(|one| one.starts_with(CUT));
    let mut once: Vec<String> = Vec::new();
    for one in all {
        if !once.contains(&one) {
            once.push(one);
        }
    }
    once
}

/// What nobody told of the tank, in one clause; empty where all was told.
pub fn assumed(case: &Case<'_>) -> String {
    let tank = case.answer.tank;
    let given = |figure: &Uncertain<Length>| figure.known != Provenance::Assumed;
    let mut taken = Vec::new();
    if let Feed::Stock(_) = tank.feed() {
        let volume = tank.volume.as_ref().map(Uncertain::si);
        if let Ok(grams) = crate::biology::load::fed::<f64>(&tank.feed(), volume, &Nominal) {
            taken.push(format!("{} g of food a day", plain((grams * 10.0).round() / 10.0)));
        }
    }
    if !given(&tank.hoses.intake) || !given(&tank.hoses.return_side) {
        let metres = tank.hoses.intake.si().max(tank.hoses.return_side.si());
        let length = match case.answer.units {
            figures::Units::Us => format!("{} ft", plain((metres / 0.3048 * 10.0).round() / 10.0)),
            _ => format!("{} m", plain(metres)),
        };
        taken.push(format!("{length} of hose each way"));
    }
    if tank.water.salt {
        taken.push("salt water as fresh".to_owned());
    }
    let mut unknown = Vec::new();
    if matches!(tank.feed(), Feed::Unknown) {
        unknown.push("food".to_owned());
    }
    if tank.water_change.is_none() {
        unknown.push("water changes".to_owned());
    }
    if tank.power_price.is_none() {
        unknown.push("the power price".to_owned());
    }
    let mut said = Vec::new();
    if !taken.is_empty() {
        said.push(format!("assuming {}", say::list(&taken)));
    }
    if !unknown.is_empty() {
        said.push(format!("without knowing {}", say::list(&unknown)));
    }
    said.join(", ")
}
