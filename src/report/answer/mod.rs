//! A reply to paste for "what should I buy?": the tank as it was told, a short list with reasons, what would
//! change the answer, what to check before paying, what to do to each, and the cautions that apply.
//!
//! Every sentence hangs on a figure or on something the profile says; where there is none it is left out. So a
//! run without doubt, or a profile without a unit block, gives a shorter reply.

mod before_paying;
mod cautions;
mod change;
mod pick;
mod reasons;
mod tank;
mod to_do;
pub mod words;

use crate::assess::Assessment;
use std::sync::Arc;

use super::Sheet;
use super::figures::Units;
use super::page::{List, Page};
use crate::compare::candidates::Candidate;
use crate::compare::ranking::{Standing, Stands};
use crate::compare::value_of_information::MeasureFirst;
use crate::measures::Measure;
use crate::model::filter::{Build, Filter, Unit};
use crate::model::tank::Tank;

/// What a reply is written from.
#[derive(Clone, Copy, Debug)]
pub struct Answer<'a> {
    pub sheet: &'a Sheet,
    /// Filter and build of each row.
    pub builds: &'a [(Arc<Filter>, usize)],
    pub tank: &'a Tank,
    /// The units to choose from.
    pub candidates: &'a [Candidate],
    /// How the candidates stand, each by its best build, in the same order.
    pub standing: &'a Standing,
    pub first: &'a MeasureFirst,
    pub top: usize,
    pub units: Units,
}

/// One candidate with all that is known of it.
#[derive(Clone, Copy, Debug)]
struct One<'a> {
    at: usize,
    candidate: Candidate,
    filter: &'a Arc<Filter>,
    build: &'a Build,
    /// The build as it stands now.
    as_it_is: &'a Build,
    row: &'a Assessment,
    row_as_it_is: &'a Assessment,
    stands: &'a Stands,
}

impl<'a> One<'a> {
    fn unit(&self) -> Option<&'a Unit> {
        self.filter.unit.as_ref()
    }
    /// The build to take is another than what stands there now.
    fn repacked(&self) -> bool {
        self.candidate.best != self.candidate.as_it_is
    }
    fn number(&self, measure: Measure) -> Option<f64> {
        self.row.outcome(measure).number()
    }
}

/// How the candidates compare, which decides what is said.
#[derive(Clone, Debug)]
struct Case<'a> {
    answer: Answer<'a>,
    /// Those on the list, the best first.
    listed: Vec<One<'a>>,
    /// Those that pass but stand below the list.
    further: Vec<One<'a>>,
    /// Those that a must rules out, while others pass.
    out: Vec<One<'a>>,
    /// Those of which not even the flow can be told, while it can of others.
    silent: Vec<One<'a>>,
    /// How many of the listed, from the first on, cannot be told apart from it.
    tied: usize,
}

impl<'a> Case<'a> {
    fn new(answer: Answer<'a>) -> Self {
        let mut passing: Vec<One<'a>> = Vec::new();
        let mut out = Vec::new();
        for at in answer.standing.order() {
            let Some(one) = one(answer, at) else { continue };
            if answer.standing.none_passes || !one.stands.ruled_out {
                passing.push(one);
            } else {
                out.push(one);
            }
        }
        if answer.standing.none_passes {
            // What comes nearest fails the fewest; of those the order stands.
            passing.sort_by_key(|one| one.stands.ruled_out_by().count());
        }
        let mut silent = Vec::new();
        if passing.iter().any(|one| one.number(Measure::Flow).is_some()) {
            (passing, silent) = passing.into_iter().partition(|one| one.number(Measure::Flow).is_some());
        }
        let further = passing.split_off(answer.top.min(passing.len()));
        let tied = tied(answer.standing, &passing);
        Self { answer, listed: passing, further, out, silent, tied }
    }

    fn doubt(&self) -> bool {
        self.answer.standing.samples > 0
    }

    /// `the Tamsin 1100, restacked`.
    fn full_name(&self, one: &One<'_>) -> String {
        if one.candidate.builds > 1 {
            format!("{}, {}", self.name(one), one.build.name)
        } else {
            self.name(one)
        }
    }

    /// `the Tamsin 1100`; with its file where another candidate is called the same.
    fn name(&self, one: &One<'_>) -> String {
        let article = if one.filter.name.to_lowercase().starts_with("the ") { "" } else { "the " };
        format!("{article}{}", self.called(one))
    }

    /// The same without an article.
    fn called(&self, one: &One<'_>) -> String {
        let name = &one.filter.name;
        let namesakes = self
            .answer
            .candidates
            .iter()
            .filter(|c| self.answer.builds.get(c.best).is_some_and(|(filter, _)| filter.name == *name));
        if namesakes.count() > 1 { format!("{name} ({})", one.row.file) } else { name.clone() }
    }

    fn value(&self, row: &Assessment, measure: Measure) -> String {
        words::of_row(row, measure, &self.answer.tank.currency, self.answer.units)
    }

    fn with_doubt(&self, row: &Assessment, measure: Measure) -> String {
        words::with_doubt(row, measure, &self.answer.tank.currency, self.answer.units)
    }

    fn money(&self, amount: f64) -> String {
        words::value(Measure::RepairCost, amount, &self.answer.tank.currency, self.answer.units)
    }
}

fn one(answer: Answer<'_>, at: usize) -> Option<One<'_>> {
    let candidate = *answer.candidates.get(at)?;
    let (filter, build) = answer.builds.get(candidate.best)?;
    let (_, as_it_is) = answer.builds.get(candidate.as_it_is)?;
    Some(One {
        at,
        candidate,
        filter,
        build: filter.builds.get(*build)?,
        as_it_is: answer.builds.get(candidate.as_it_is)?.0.builds.get(*as_it_is)?,
        row: answer.sheet.rows.get(candidate.best)?,
        row_as_it_is: answer.sheet.rows.get(candidate.as_it_is)?,
        stands: answer.standing.builds.get(at)?,
    })
}

/// Scores nearer than this, nominally, are level; the score is shown with two digits.
const LEVEL: f64 = 0.02;

/// How many from the first on cannot be told apart from it: by the draws, without them by their scores.
fn tied(standing: &Standing, listed: &[One<'_>]) -> usize {
    let Some(first) = listed.first() else { return 0 };
    let with_first = |one: &&One<'_>| match (standing.samples, standing.rank(first.at), standing.rank(one.at))
    {
        (0, Some(a), Some(b)) => (a.score - b.score).abs() < LEVEL,
        (0, ..) => false,
        _ => standing.better(first.at, one.at).is_some_and(|verdict| verdict.better.is_none()),
    };
    1 + listed.iter().skip(1).take_while(with_first).count()
}

pub fn page(answer: Answer<'_>) -> Page {
    let case = Case::new(answer);
    let mut page = Page::default();
    page.heading(pick::headline(&case));
    page.paragraph(tank::restated(answer.tank, answer.units));
    page.paragraph(tank::assumed(answer.tank, answer.units));
    page.list(pick::listed(&case));
    for said in [
        reasons::why_first(&case),
        reasons::not_as_it_stands(&case),
        change::change(&case),
        pick::others(&case),
    ] {
        page.paragraph(said);
    }
    if !answer.standing.none_passes {
        page.listed("Before paying", List::Lines, before_paying::lines(&case));
        page.listed("What to do to it", List::Lines, to_do::lines(&case));
    }
    page.paragraph(cautions::cautions(&case));
    page
}
