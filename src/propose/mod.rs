//! Proposals: which stack would suit this tank better, in these trays, from these media.
//!
//! A stack is legal when it is not empty, its roles never go back along the water (settlement on the floor of a
//! rising filter alone, then coarse, medium, fine, biological, chemical, and polishing last), it breaks no rule
//! of staging, fits its trays, and uses no medium that the tank forbids nor more of one than there is. Media that
//! float lie only under another layer of their tray, which holds them down. A falling filter's floor keeps what
//! it holds.

pub mod allowed;
mod candidates;
pub mod score;
mod search;
pub mod shopping;

use std::sync::atomic::AtomicBool;

pub use allowed::{Allowed, Options, TRADE};
pub use candidates::{MOST_LAYERS, SLACK_MM};
pub use shopping::Shopping;

use crate::assess::figures::{Figures, figures};
use crate::assess::monte_carlo::simulate;
use crate::assess::{Assessment, Case, Effort, judge_build};
use crate::compare::better::better_value;
use crate::compare::{Bound, Limit, Side};
use crate::measures::{Measure, Outcome};
use crate::model::{Build, Filter, Tank};
use crate::order::InOrder;
use crate::parallel::map;
use crate::uncertainty::{Draws, Nominal};
use candidates::{SearchSpace, Stack};
use score::Scale;
use search::{Task, search};

/// The name under which stacks are judged while they are searched; the doubts of all share it, so that a
/// difference between two is not blurred by doubt both have.
const WORKING_NAME: &str = "proposed";
/// How many are judged again under doubt.
const AGAIN: usize = 20;
/// Differences below this share of the figure are not worth telling.
const WORTH_TELLING: f64 = 0.01;

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Change {
    pub measure: Measure,
    pub from: Outcome,
    pub to: Outcome,
}

#[derive(Clone, Debug, PartialEq)]
pub struct Proposal {
    pub build: Build,
    /// Judged at nominal values.
    pub judgement: Assessment,
    /// Weighted mean of the worths at nominal values, 0 to 1.
    pub score: f64,
    /// What the search went by: the score less 0.02 a layer, and less 10 and more for each must
    /// not met, the dropped ones aside.
    pub value: f64,
    /// The same score of the build as it is.
    pub score_as_it_is: f64,
    /// Mean score over the draws; none without draws.
    pub mean_score: Option<f64>,
    /// Share of the draws that meet every must; none without draws.
    pub passes: Option<f64>,
    /// The trays hold too many stacks to look at all that would have been.
    pub part: bool,
    /// Musts that no stack was found to meet: the search went on without them.
    pub dropped: Vec<Limit>,
    /// Other musts it does not meet, or that cannot be told, at nominal values.
    pub unmet: Vec<Limit>,
    pub gains: Vec<Change>,
    pub gives_up: Vec<Change>,
    pub shopping: Shopping,
}

pub fn layers(build: &Build) -> usize {
    build.floor.len() + build.trays.iter().map(Vec::len).sum::<usize>()
}

/// Proposes up to `options.top` builds that differ in more than thickness, the best first: the best 20 kinds by
/// nominal figures are ranked by musts met, then by their mean score over the draws less 0.02 a layer.
///
/// Nothing without a tank, when no legal stack can be made of the media, or as soon as `stop` is set. The same
/// seed gives the same answer, whatever the number of threads.
pub fn propose(
    case: &Case<'_>,
    options: &Options,
    stop: &AtomicBool,
    mut progress: impl FnMut(f64),
) -> Vec<Proposal> {
    let Some(tank) = case.tank else { return Vec::new() };
    let space = SearchSpace::new(case.filter, case.build, tank, options);
    let as_it_is = figures(&Case::new(case.filter, case.build, case.tank), &Nominal, Effort::FULL);
    let mut whole = Scale::new(case.filter, tank, space.capacity());
    if !options.foam_only && space.has_biological() {
        whole = whole.living(&as_it_is, space.capacity());
    }
    let mut dropped = whole.hopeless(&as_it_is);
    let first = whole.without(&dropped);
    let second;
    let mut scale = &first;
    let keep = AGAIN.max(options.top);
    let task = |scale| Task {
        filter: case.filter,
        tank,
        space: &space,
        scale,
        beam: options.beam.max(1),
        most: options.most,
        stop,
        threads: options.threads,
    };
    let Some((mut found, mut part)) = search(&task(scale), keep, &[], &mut |x| progress(x * 0.5)) else {
        return Vec::new();
    };
    // Musts that the best stack cannot meet must not drive the rest: an unreachable budget would ask for an
    // empty filter. They are told, and the search goes on without them.
    let best = found.first().and_then(|f| space.lay(&f.stack, WORKING_NAME));
    let missed = best.map_or_else(Vec::new, |build| {
        let case = Case::new(case.filter, &build, case.tank);
        scale.unmet(&figures(&case, &Nominal, Effort::FULL))
    });
    if !missed.is_empty() {
        dropped.extend(missed);
        second = whole.without(&dropped);
        scale = &second;
        let more: Vec<Stack> = found.into_iter().map(|f| f.stack).collect();
        let Some(again) = search(&task(scale), keep, &more, &mut |x| progress(0.5 + x * 0.45)) else {
            return Vec::new();
        };
        (found, part) = (again.0, part || again.1);
    }
    let task = task(scale);
    let stacks: Vec<Stack> = found.into_iter().map(|f| f.stack).collect();
    let Some(ranked) = again(&task, case.build, options, &stacks) else { return Vec::new() };
    progress(0.98);
    let before = judge_build(case.filter, case.build, case.tank);
    let score_as_it_is = scale.score(&as_it_is);
    // None that the stack as it is beats, and in the order of their score.
    let (unmet_now, bare_now) = (scale.unmet(&as_it_is).len(), scale.is_bare(&as_it_is));
    let better = |r: &Ranked| {
        !r.bare
            && (r.unmet.len() < unmet_now
                || bare_now
                || r.unmet.len() == unmet_now && r.score > score_as_it_is)
    };
    let mut ranked = handy(ranked.into_iter().filter(better).collect(), options.top);
    // What is paid goes by sheets and bags.
    for ranked in &mut ranked {
        let Some(build) = space.lay(&ranked.stack, WORKING_NAME) else { continue };
        let spent = shopping::spent(case.filter, &shopping::of(case.filter, case.build, &build, tank));
        let overspent = |limit: &Limit| matches!(limit.bound, Bound::ToSpend(most) if spent.is_some_and(|sum| sum > most));
        ranked.unmet.extend(Limit::all(tank).into_iter().filter(overspent));
    }
    ranked.order_by(|a, b| a.unmet.len().cmp(&b.unmet.len()).then(b.score.total_cmp(&a.score)));
    let out = ranked
        .iter()
        .enumerate()
        .filter_map(|(i, ranked)| {
            let build = space.lay(&ranked.stack, &free_name(case.filter, i + 1))?;
            let judgement = judge_build(case.filter, &build, case.tank);
            let (gains, gives_up) = changes(&before, &judgement, tank);
            let shopping = shopping::of(case.filter, case.build, &build, tank);
            Some(Proposal {
                part,
                judgement,
                score: ranked.score,
                value: ranked.value,
                score_as_it_is,
                mean_score: ranked.doubt.map(|(mean, _)| mean),
                passes: ranked.doubt.map(|(_, passes)| passes),
                dropped: dropped.clone(),
                unmet: ranked.unmet.clone(),
                gains,
                gives_up,
                shopping,
                build,
            })
        })
        .collect();
    progress(1.0);
    out
}

struct Ranked {
    stack: Stack,
    score: f64,
    value: f64,
    unmet: Vec<Limit>,
    bare: bool,
    buy: f64,
    /// Mean score and chance of meeting every must.
    doubt: Option<(f64, f64)>,
}

/// The stacks by musts met, then by mean score less what their layers cost. None when it was stopped.
fn again(task: &Task<'_>, present: &Build, options: &Options, stacks: &[Stack]) -> Option<Vec<Ranked>> {
    let draws = Draws::new(options.samples, options.seed);
    let one = |stack: &Stack| {
        let build = task.space.lay(stack, WORKING_NAME)?;
        let case = Case::new(task.filter, &build, Some(task.tank));
        let told: Figures<f64> = figures(&case, &Nominal, Effort::FULL);
        let doubt = if options.samples == 0 {
            None
        } else {
            Some(task.scale.under_doubt(&simulate(&case, &draws, task.stop)?, options.samples, &told))
        };
        Some(Ranked {
            score: task.scale.score(&told),
            value: task.scale.value(&told, layers(&build)),
            unmet: task.scale.unmet(&told),
            bare: task.scale.is_bare(&told),
            buy: shopping::to_buy(task.filter, present, &build, task.tank),
            doubt,
            stack: stack.clone(),
        })
    };
    let mut ranked: Vec<Ranked> = map(task.threads, stacks, one).into_iter().collect::<Option<_>>()?;
    // Stable: equals stay in the order of their nominal values.
    ranked.order_by(|a, b| {
        let worse = (a.unmet.len(), a.bare).cmp(&(b.unmet.len(), b.bare));
        worse.then(b.worth().total_cmp(&a.worth()))
    });
    Some(ranked)
}

impl Ranked {
    /// The same media along the water to the same score: it differs in the trays alone.
    fn is_as(&self, other: &Self) -> bool {
        let media = |of: &Self| of.stack.iter().map(|slot| (slot.medium, slot.mm)).collect::<Vec<_>>();
        (self.score - other.score).abs() < 5e-4 && media(self) == media(other)
    }
    /// Mean score less what its layers cost.
    fn worth(&self) -> f64 {
        self.doubt.map_or(self.value, |(mean, _)| mean - score::LAYER * self.stack.len() as f64)
    }
}

const EQUAL: f64 = 0.01;

/// The first `top` of what is ranked; before each stands its equal of which less than half has to be bought.
fn handy(mut ranked: Vec<Ranked>, top: usize) -> Vec<Ranked> {
    let mut out: Vec<Ranked> = Vec::new();
    while out.len() < top && !ranked.is_empty() {
        let lead = ranked.first().map_or((0, false, 0.0, 0.0), |r| (r.unmet.len(), r.bare, r.worth(), r.buy));
        let equals = ranked
            .iter()
            .enumerate()
            .take_while(|(_, r)| (r.unmet.len(), r.bare) == (lead.0, lead.1) && r.worth() >= lead.2 - EQUAL)
            .filter(|(at, r)| *at == 0 || r.buy < lead.3 * 0.5);
        let at = equals.min_by(|a, b| a.1.buy.total_cmp(&b.1.buy)).map_or(0, |(at, _)| at);
        let next = ranked.remove(at);
        if !out.iter().any(|other| other.is_as(&next)) {
            out.push(next);
        }
    }
    out
}

/// `proposed 1`, or the next that no build of the file has.
fn free_name(filter: &Filter, number: usize) -> String {
    let taken = |name: &str| filter.builds.iter().any(|b| b.name == name);
    let plain = format!("proposed {number}");
    if !taken(&plain) {
        return plain;
    }
    (2..1000).map(|again| format!("{plain} ({again})")).find(|name| !taken(name)).unwrap_or(plain)
}

fn changes(before: &Assessment, after: &Assessment, tank: &Tank) -> (Vec<Change>, Vec<Change>) {
    let (mut gains, mut gives_up) = (Vec::new(), Vec::new());
    for measure in Measure::ALL {
        let change = Change { measure, from: before.outcome(measure), to: after.outcome(measure) };
        let side = match (change.from.number(), change.to.number()) {
            (None, None) => continue,
            (None, Some(_)) => Some(Side::Second),
            (Some(_), None) => Some(Side::First),
            (Some(a), Some(b)) if (a - b).abs() <= WORTH_TELLING * a.abs().max(b.abs()) => continue,
            (Some(a), Some(b)) => better_value(a, b, measure.row().better, Some(tank.aims.turnover)),
        };
        match side {
            Some(Side::Second) => gains.push(change),
            Some(Side::First) => gives_up.push(change),
            None => {}
        }
    }
    (gains, gives_up)
}
