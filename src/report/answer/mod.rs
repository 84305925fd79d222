//! A reply to paste for "what should I buy?": short, or in full with a table. Every sentence hangs on a figure or on
//! something the profile says, and each fact stands once.

mod catch;
mod check;
mod full;
pub mod say;
mod short;
mod to_do;

use std::sync::Arc;

use super::figures::Units;
use super::ranking::{self};
use super::wording::with_article;
use super::{Page, Ranked, Sheet, builds};
use crate::assess::{Assessment, Case as AtTank};
use crate::compare::candidates::{Candidate, candidates, off};
use crate::compare::requirements::Passing;
use crate::compare::{MeasureFirst, Met, Standing, Stands};
use crate::measures::{Measure, Outcome};
use crate::message::worded;
use crate::model::{Build, Filter, Impeller, Lamp, SealCondition, Tank, Unit};
use crate::order::InOrder;
use crate::uncertainty::Draws;

worded! {
    #[derive(Default)]
    Kind word: &'static str {
        /// 120 words at most.
        #[default]
        Short "short";
        /// 350 words at most for four units, and a table.
        Full "full";
        /// The table alone.
        Table "table";
        /// How they rank, and why.
        Report "report";
    }
}

#[derive(Clone, Copy, Debug)]
struct Answer<'a> {
    pub sheet: &'a Sheet,
    pub builds: &'a [(Arc<Filter>, usize)],
    pub tank: &'a Tank,
    /// The units to choose from.
    pub candidates: &'a [Candidate],
    /// How the candidates stand to what is asked, each by its best build, in the same order.
    pub standing: &'a Standing,
    pub first: &'a MeasureFirst,
    /// Units told of one by one in full.
    pub top: usize,
    pub units: Units,
}

/// Builds to choose from, judged for one tank.
#[derive(Clone, Copy, Debug)]
pub struct Asked<'a> {
    pub builds: &'a [(Arc<Filter>, usize)],
    pub sheet: &'a Sheet,
    pub draws: &'a Draws,
    pub tank: &'a Tank,
    /// Units told of one by one in full.
    pub top: usize,
    pub units: Units,
}

/// The reply on these builds, each unit by its best one; the command line and the screens say the same.
pub fn reply(asked: Asked<'_>, kind: Kind) -> Page {
    let Asked { builds, sheet, draws, tank, top, units } = asked;
    let filters: Vec<&Filter> = builds.iter().map(|(filter, _)| &**filter).collect();
    let rows: Vec<&Assessment> = sheet.rows.iter().collect();
    let candidates = candidates(&filters, &rows, tank, draws.seed());
    let best: Vec<&Assessment> = candidates.iter().filter_map(|c| rows.get(c.best).copied()).collect();
    let standing = Standing::new(&best, tank, draws.seed());
    let at_tank = |c: &Candidate| {
        let (filter, build) = builds.get(c.best)?;
        Some(AtTank::new(filter, filter.builds.get(*build)?, Some(tank)))
    };
    let cases: Vec<AtTank<'_>> = candidates.iter().filter_map(at_tank).collect();
    let first = standing.measure_first(draws, &cases);
    let answer = Answer {
        sheet,
        builds,
        tank,
        candidates: &candidates,
        standing: &standing,
        first: &first,
        top,
        units,
    };
    page(answer, kind)
}

fn page(answer: Answer<'_>, kind: Kind) -> Page {
    match kind {
        Kind::Short => short::page(&Case::new(answer)),
        Kind::Full => full::page(&Case::new(answer)),
        Kind::Table => {
            let case = Case::new(answer);
            builds::page(&case.best(), &builds::USUAL, answer.units)
        }
        Kind::Report => {
            let names: Vec<(String, String)> =
                answer.builds.iter().map(|(filter, _)| (filter.id.clone(), filter.name.clone())).collect();
            let sheet = sheet_of(&answer, &answer.candidates.iter().map(|c| c.best).collect::<Vec<_>>());
            let Answer { standing, first, units, .. } = answer;
            ranking::page(&Ranked { sheet: &sheet, standing, first, names: &names }, units)
        }
    }
}

/// Those rows of the sheet, in that order.
fn sheet_of(answer: &Answer<'_>, rows: &[usize]) -> Sheet {
    let rows = rows.iter().filter_map(|row| answer.sheet.rows.get(*row).cloned()).collect();
    Sheet { rows, broken: Vec::new(), ..answer.sheet.clone() }
}

#[derive(Clone, Copy, Debug)]
struct One<'a> {
    at: usize,
    candidate: Candidate,
    filter: &'a Arc<Filter>,
    build: &'a Build,
    as_it_is: &'a Build,
    row: &'a Assessment,
    stands: &'a Stands,
}

/// A requirement is missed where it fails in one of ten cases or more.
const MISSED: f64 = 0.1;

impl<'a> One<'a> {
    fn unit(&self) -> Option<&'a Unit> {
        self.filter.unit.as_ref()
    }
    fn lamp(&self) -> Option<Lamp> {
        self.filter.as_found().unit.as_ref().map(|unit| unit.lamp)
    }
    /// Worn, mended or old: what a shop sells is none of these.
    fn second_hand(&self) -> bool {
        let worn = |unit: &Unit| {
            unit.age.as_ref().is_some_and(|age| age.si() > 0.0)
                || unit.impeller != Impeller::New
                || unit.lamp != Lamp::Working
                || !unit.to_fix.is_empty()
        };
        let sound = |seal: SealCondition| !matches!(seal, SealCondition::Worn | SealCondition::Missing);
        let seals = || self.filter.trays.iter().filter_map(|tray| tray.seal.as_ref());
        self.unit().is_some_and(worn) || seals().any(|seal| !sound(seal.condition))
    }
    /// The build to take is another than what stands there now.
    fn repacked(&self) -> bool {
        self.candidate.best != self.candidate.as_it_is
    }
    fn number(&self, measure: Measure) -> Option<f64> {
        self.row.outcome(measure).number()
    }
    /// Each requirement with its chances, where cases were simulated.
    fn requirements(&self) -> impl Iterator<Item = (&'a Met, Option<Passing>)> {
        let chances = self.stands.chances.as_ref();
        let chance = move |i: usize| chances.and_then(|c| c.each.get(i)).copied();
        self.stands.musts.iter().enumerate().map(move |(i, met)| (met, chance(i)))
    }
    /// The requirement that it misses most surely, and how surely.
    fn missed(&self) -> Option<(&'a Met, f64)> {
        let fails = |(met, chance): (&'a Met, Option<Passing>)| {
            let nominal = f64::from(u8::from(met.passes == Some(false)));
            (met, chance.map_or(nominal, |chance| chance.fails()))
        };
        let missed = self.requirements().map(fails).filter(|(_, fails)| *fails >= MISSED);
        missed.fold(
            None,
            |worst: Option<(&Met, f64)>, one| {
                if worst.is_some_and(|worst| worst.1 >= one.1) { worst } else { Some(one) }
            },
        )
    }
    /// Share of the cases in which it suits no tank of so many litres; without cases whether it does, 1 or 0.
    fn too_small(&self, litres: f64) -> f64 {
        let sample = self.row.simulated.as_ref().and_then(|cases| cases.sample(Measure::SuitsUpTo));
        let nominal = || self.number(Measure::SuitsUpTo).map_or(0.0, |x| f64::from(u8::from(x < litres)));
        sample.and_then(|sample| sample.chance(|x| x < litres)).unwrap_or_else(nominal)
    }
    fn unsure(&self) -> Option<&'a Met> {
        let open = |(met, chance): &(&Met, Option<Passing>)| {
            met.passes.is_none() || chance.is_some_and(|chance| chance.untold >= MISSED)
        };
        self.requirements().find(open).map(|(met, _)| met)
    }
    /// Everything asked is met, in nine of ten cases together and by the figures that are shown.
    fn meets_all(&self) -> bool {
        let nominal = self.stands.musts.iter().all(|met| met.passes == Some(true));
        let together = self.stands.chances.as_ref().is_none_or(|c| c.all.passes > 1.0 - MISSED);
        nominal && together && self.missed().is_none() && self.unsure().is_none()
    }
}

/// How the candidates compare, which decides what is said.
#[derive(Clone, Debug)]
struct Case<'a> {
    answer: Answer<'a>,
    /// Those to choose from, the best first.
    listed: Vec<One<'a>>,
    /// Those that a requirement rules out, while others are left.
    out: Vec<One<'a>>,
    /// Those of which not even the flow can be told, while it can of others.
    silent: Vec<One<'a>>,
    /// Words that a name takes at most.
    name: usize,
}

/// Words of a name that are told where there is room.
const NAME: usize = 16;

impl<'a> Case<'a> {
    fn new(answer: Answer<'a>) -> Self {
        let all = answer.standing.order().into_iter().filter_map(|at| one(answer, at));
        let none = answer.standing.none_passes;
        let (mut listed, out): (Vec<One<'a>>, Vec<One<'a>>) =
            all.partition(|one| none && !one.stands.contradicts || !one.stands.ruled_out);
        let mut silent = Vec::new();
        if listed.iter().any(|one| one.number(Measure::Flow).is_some()) {
            (listed, silent) = listed.into_iter().partition(|one| one.number(Measure::Flow).is_some());
        }
        let mut case = Self { answer, listed, out, silent, name: NAME };
        if short::none_does(&case) {
            // One that is ruled out may come closer than one that is far too small.
            case.listed.extend(case.out.extract_if(.., |one| !one.stands.contradicts));
            case.listed.order_by_key(|one| off(one.stands, one.row, answer.tank));
        }
        case
    }

    fn best(&self) -> Sheet {
        let rows = self.listed.iter().chain(&self.out).chain(&self.silent);
        sheet_of(&self.answer, &rows.map(|one| one.candidate.best).collect::<Vec<_>>())
    }

    fn simulated(&self) -> bool {
        self.answer.standing.samples > 0
    }

    fn first(&self, one: &One<'_>) -> f64 {
        self.answer.standing.rank(one.at).map_or(0.0, crate::compare::rank::Ranked::first)
    }

    /// `Tamsin 1100, restacked`, its file where another candidate is called the same.
    fn called(&self, one: &One<'_>) -> String {
        let name = say::short_name(&one.filter.name, self.name);
        let same = |c: &&Candidate| {
            self.answer.builds.get(c.best).is_some_and(|(filter, _)| filter.name == one.filter.name)
        };
        if self.answer.candidates.iter().filter(same).count() > 1 {
            format!("{name} ({})", one.row.file)
        } else {
            name
        }
    }
    fn the(&self, one: &One<'_>) -> String {
        with_article(&self.called(one))
    }
    fn in_full(&self, one: &One<'_>) -> String {
        let called = self.called(one);
        if one.candidate.builds > 1 {
            format!("{called}, {}", say::short_name(&one.build.name, self.name))
        } else {
            called
        }
    }
    fn money(&self, amount: f64) -> String {
        let amount = if amount < 1.0 && amount > 0.0 { amount } else { amount.round() };
        let shown = super::figures::show(Measure::RepairCost, Outcome::Value(amount), self.answer.units);
        format!("{shown} {}", self.answer.tank.currency).trim_end().to_owned()
    }
}

fn one(answer: Answer<'_>, at: usize) -> Option<One<'_>> {
    let candidate = *answer.candidates.get(at)?;
    let (filter, build) = answer.builds.get(candidate.best)?;
    let (first, as_it_is) = answer.builds.get(candidate.as_it_is)?;
    Some(One {
        at,
        candidate,
        filter,
        build: filter.builds.get(*build)?,
        as_it_is: first.builds.get(*as_it_is)?,
        row: answer.sheet.rows.get(candidate.best)?,
        stands: answer.standing.builds.get(at)?,
    })
}
