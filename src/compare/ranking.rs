//! How the builds stand for a tank: worth, rank, musts, and what to measure first.
//!
//! A build that fails a must at nominal values and in at least [`SURE`] of the draws is ruled out: it keeps its
//! reasons and loses its rank. A must it fails less surely is told with its chance. The builds that are left are
//! ranked among themselves, so their chances of the first place add to one.

use std::borrow::Cow;
use std::sync::{Arc, LazyLock};

use super::better::{Odds, SURE, odds};
use super::rank::{Ranked, Ranking, rank};
use super::requirements::{Passed, passed};
use super::utility::{Criterion, Ends, UNKNOWN, Worth, dominated};
use super::value_of_information::{self};
use super::{Gain, Limit, MeasureFirst, criteria};
use crate::assess::figures::{Figures, figures};
use crate::assess::{Assessment, Case, Effort, Simulated};
use crate::assumptions::A;
use crate::measures::{Better, Measure, Missing, Outcome};
use crate::model::Tank;
use crate::simd::{F64x8, Real};
use crate::uncertainty::field::{self};
use crate::uncertainty::pinned::PinnedDraw;
use crate::uncertainty::{Draws, Field, Key, Sample, Source, Spot};

/// Figures named in "measure this first".
pub const FIRST: usize = 5;

/// Mean scores nearer than this are about equal.
const ABOUT_EQUAL: f64 = 0.01;
/// Means of so many standard errors apart come by chance in three of a thousand pairs of copies.
const STANDARD_ERRORS: f64 = 3.0;
/// Least gain worth naming, points of score: a tenth of a point of a hundred.
const WORTH_NAMING: f64 = 0.001;
/// Figures tried at most, those of the greatest gain.
const TRIED: usize = 40;
/// Of two builds that differ by a normal amount the figure that decides all of it gains 0.12 times the width from
/// its 5th to its 95th percentile, and less in any other case; half of that is left to what bends.
const MOVES: f64 = 4.0;
/// Chance of the first place from which a build counts as in question.
const CONTENDS: f64 = 0.01;
/// Builds looked at for it, the best placed ones: what is known of those far behind changes no choice, and the
/// work grows with builds times figures.
pub const CONTENDERS: usize = 64;

#[derive(Clone, Debug, PartialEq)]
pub struct Met {
    pub limit: Limit,
    /// The figure at nominal values.
    pub figure: Outcome,
    /// Does it pass at nominal values? None when it cannot be told.
    pub passes: Option<bool>,
}

#[derive(Clone, Debug, PartialEq)]
pub struct Stands {
    /// The musts, in the tank's order.
    pub musts: Vec<Met>,
    /// Chances of passing them; none without draws.
    pub chances: Option<Passed>,
    /// Nominal value of each criterion as it is scored; NaN where it cannot be told.
    pub values: Vec<f64>,
    /// Most water passes it from the first day, so its service is worth nothing.
    pub most_passes: bool,
    /// A build that is no worse in anything weighted and better in something.
    pub dominated_by: Option<usize>,
    /// Draws that could not be solved.
    pub failed: usize,
    /// Its readings contradict its figures: it gets no place.
    pub contradicts: bool,
    /// A must fails at nominal values, and surely under the doubt.
    pub ruled_out: bool,
    place: Option<usize>,
}

#[derive(Clone, Debug)]
pub struct Standing {
    /// Weighted measures, in the tank's order.
    pub criteria: Vec<Criterion>,
    /// One a build, in the order given.
    pub builds: Vec<Stands>,
    /// Draws behind the chances; 0 without doubt.
    pub samples: usize,
    /// Every build is ruled out, so all are ranked after all.
    pub none_passes: bool,
    ranked: Vec<usize>,
    worth: Worth,
    ranking: Ranking,
    /// What each ranked build hangs on.
    keys: Vec<Vec<Key>>,
    /// The line from worth nothing to worth all of each criterion.
    ends: Vec<Option<Ends>>,
    seed: u64,
}

/// Measures whose draws a tank's ranking looks at: criteria, musts, and what an interval is worth by.
pub fn ranked_by(tank: &Tank) -> Vec<Measure> {
    let mut all = vec![Measure::BypassDirty, Measure::ClearingDirty];
    all.extend(criteria(tank).iter().map(|criterion| criterion.measure));
    all.extend(Limit::all(tank).iter().map(|limit| limit.measure));
    all.extend(tank.budget.is_some().then_some(Measure::RepairCost));
    all
}

/// An interval as it is scored: what catches nothing never fills, and a leak must not earn a longer interval.
/// `clearing` when dirty, per hour; `bypass` when dirty, 0 where there is nothing to pass by.
fn earned(ends: Option<&Ends>, days: f64, clearing: f64, bypass: f64) -> f64 {
    let bypass = if bypass.is_nan() { 0.0 } else { bypass };
    ends.map_or(days, |ends| ends.less(days, clearing.min(1.0) * (1.0 - bypass)))
}

/// Did so much of the water pass by, before it is opened?
fn leaks(bypass: f64) -> f64 {
    if bypass.is_nan() { f64::NAN } else { f64::from(u8::from(bypass > A::RiskyBypass.value())) }
}

/// Cases of a measure as they are scored; one NaN where it cannot be told by the nature of the build. Where its file
/// is silent it may be worth anything from nothing to all, evenly; one [`UNKNOWN`] where even the ends are not known.
fn column<'a>(
    criterion: &Criterion,
    ends: Option<&Ends>,
    build: &Assessment,
    many: &'a Simulated,
    draws: &Draws,
) -> Cow<'a, [f64]> {
    let drawn = |measure| many.sample(measure).map(|s| s.values.as_slice());
    let bypass = drawn(Measure::BypassDirty);
    let measure = criterion.measure;
    if measure == Measure::BypassChance {
        return bypass.map_or(Cow::Owned(vec![f64::NAN]), |all| all.iter().map(|b| leaks(*b)).collect());
    }
    let Some(values) = drawn(measure) else {
        return match (unknown(build, measure), ends) {
            (Some(key), Some(ends)) => {
                let any = draws.uniforms(&key);
                any.iter().map(|share| ends.less(ends.good, *share)).collect()
            }
            _ => Cow::Owned(vec![untold(build, measure)]),
        };
    };
    let at = |column: Option<&[f64]>, i: usize| column.and_then(|c| c.get(i)).copied();
    if measure == Measure::OpeningInterval {
        let clearing = drawn(Measure::ClearingDirty);
        let scored = |(i, days): (usize, &f64)| {
            let (clearing, bypass) = (at(clearing, i).unwrap_or(1.0), at(bypass, i).unwrap_or(0.0));
            earned(ends, *days, clearing, bypass)
        };
        return values.iter().enumerate().map(scored).collect();
    }
    Cow::Borrowed(values)
}

fn nominal(criterion: &Criterion, build: &Assessment) -> f64 {
    let told = |measure| build.outcome(measure).number();
    let bypass = told(Measure::BypassDirty).unwrap_or(f64::NAN);
    match (criterion.measure, told(criterion.measure)) {
        // One run alone has the event, not its chance.
        (Measure::BypassChance, _) => leaks(bypass),
        (Measure::OpeningInterval, Some(days)) => {
            let clearing = told(Measure::ClearingDirty).unwrap_or(1.0);
            earned(criterion.ends.as_ref(), days, clearing, bypass)
        }
        (measure, value) => value.unwrap_or_else(|| untold(build, measure)),
    }
}

/// What a silent file hides of a build; the same for all builds of the file.
fn unknown(build: &Assessment, measure: Measure) -> Option<Key> {
    let ask = build.outcome(measure).asked_of()?;
    let field = UNKNOWN_FIELDS.iter().find(|field| field.measured_by == Some(ask))?;
    Some(Key::new(Source::Filter(build.id.as_str().into()), Spot::from(measure.row().head), field))
}

/// The field of a figure that a file is silent about.
pub const UNKNOWN_FIGURE: &str = "not told";
/// One for each way to come by such a figure.
static UNKNOWN_FIELDS: LazyLock<[Field; 4]> = LazyLock::new(|| {
    [Missing::NoUnit, Missing::NoPrice, Missing::NoPowerPrice, Missing::NoPower].map(|why| Field {
        name: UNKNOWN_FIGURE,
        measured_by: why.asked_of(),
        ..field::NONE
    })
});

fn untold(build: &Assessment, measure: Measure) -> f64 {
    if build.outcome(measure).asked_of().is_some() { UNKNOWN } else { f64::NAN }
}

/// Fails at nominal values and in so many draws that the doubt does not excuse it.
fn surely_fails(met: &Met, chances: Option<&Passed>, i: usize) -> bool {
    let chance = chances.and_then(|c| c.each.get(i)).map(super::requirements::Passing::fails);
    met.passes == Some(false) && chance.is_none_or(|fails| fails >= SURE)
}

impl Stands {
    pub fn ruled_out_by(&self) -> impl Iterator<Item = &Met> {
        let fails = |(i, met): (usize, &'_ Met)| surely_fails(met, self.chances.as_ref(), i);
        self.musts.iter().enumerate().filter(move |both| fails(*both)).map(|(_, met)| met)
    }
}

impl Standing {
    /// How builds stand: their judgements at this tank and their draws (none of them, or all). `seed` starts the
    /// draws of taste and the shuffles.
    pub fn new(builds: &[&Assessment], tank: &Tank, seed: u64) -> Self {
        Self::within(builds, tank, &Limit::all(tank), seed)
    }

    /// The same with these limits in place of the tank's own.
    pub fn within(builds: &[&Assessment], tank: &Tank, limits: &[Limit], seed: u64) -> Self {
        let criteria = criteria(tank);
        let all_drawn = !builds.is_empty() && builds.iter().all(|b| b.simulated.is_some());
        let values: Vec<Vec<f64>> =
            builds.iter().map(|build| criteria.iter().map(|c| nominal(c, build)).collect()).collect();
        // The ends of "best of those compared" are set by all builds, the ruled-out ones too.
        let those = |c: usize| values.iter().filter_map(move |build| build.get(c).copied());
        let ends: Vec<Option<Ends>> = criteria
            .iter()
            .enumerate()
            .map(|(c, own)| own.ends.or_else(|| Ends::of_those(those(c), own.measure.row().better)))
            .collect();
        let cases = builds.iter().filter_map(|b| Some(b.simulated.as_ref()?.count)).max().unwrap_or(0);
        let draws = Draws::new(cases, seed);
        let columns: Vec<Vec<Cow<'_, [f64]>>> = if all_drawn {
            let drawn = builds.iter().filter_map(|build| Some((build, build.simulated.as_deref()?)));
            let each = || criteria.iter().zip(&ends);
            drawn
                .map(|(build, many)| {
                    each().map(|(c, ends)| column(c, ends.as_ref(), build, many, &draws)).collect()
                })
                .collect()
        } else {
            Vec::new()
        };
        let columns: Vec<Vec<&[f64]>> =
            columns.iter().map(|build| build.iter().map(AsRef::as_ref).collect()).collect();
        let mut stands: Vec<Stands> = builds
            .iter()
            .zip(values.iter().cloned())
            .map(|(build, values)| {
                let musts: Vec<Met> = limits
                    .iter()
                    .map(|limit| {
                        let figure = limit.figure(build);
                        let passes = figure.number().and_then(|x| limit.passes(x));
                        Met { limit: *limit, figure, passes }
                    })
                    .collect();
                let chances = build.simulated.as_deref().and_then(|many| {
                    let columns: Vec<Cow<'_, [f64]>> = limits
                        .iter()
                        .map(|limit| {
                            let one = || vec![limit.figure(build).number().unwrap_or(f64::NAN)];
                            limit.column(many).unwrap_or_else(|| Cow::Owned(one()))
                        })
                        .collect();
                    let columns: Vec<&[f64]> = columns.iter().map(AsRef::as_ref).collect();
                    passed(limits, &columns)
                });
                Stands {
                    contradicts: build.contradicts(),
                    ruled_out: build.contradicts()
                        || musts.iter().enumerate().any(|(i, met)| surely_fails(met, chances.as_ref(), i)),
                    musts,
                    chances,
                    values,
                    most_passes: build.most_passes(),
                    dominated_by: None,
                    failed: build.simulated.as_ref().map_or(0, |many| many.failed),
                    place: None,
                }
            })
            .collect();
        let none_passes = stands.iter().all(|s| s.ruled_out);
        // Where nothing meets what is asked all are ranked after all, but what contradicts itself has no place then either.
        let has_place = |s: &Stands| !s.ruled_out || none_passes && !s.contradicts;
        let ranked: Vec<usize> =
            (0..stands.len()).filter(|b| stands.get(*b).is_some_and(has_place)).collect();
        let kept = |all: &[Vec<f64>]| -> Vec<Vec<f64>> {
            ranked.iter().filter_map(|b| all.get(*b).cloned()).collect()
        };
        for (place, (b, by)) in ranked.iter().zip(dominated(&criteria, &kept(&values))).enumerate() {
            if let Some(stand) = stands.get_mut(*b) {
                stand.place = Some(place);
                stand.dominated_by = by.and_then(|by| ranked.get(by).copied());
            }
        }
        let mut worth = Worth::new(&criteria, &values, &columns);
        worth.failed = ranked
            .iter()
            .filter_map(|b| builds.get(*b)?.simulated.as_deref())
            .map(|many| many.unsolved.clone())
            .collect();
        worth.nominal = kept(&worth.nominal);
        worth.draws = ranked.iter().filter_map(|b| worth.draws.get_mut(*b).map(std::mem::take)).collect();
        let weights: Vec<f64> = criteria.iter().map(|c| c.weight).collect();
        let ranking = rank(&worth, &weights, seed);
        let hangs_on = |build: &&Assessment| -> Vec<Key> {
            let own = build.simulated.iter().flat_map(|many| many.keys.iter().cloned());
            let silent = criteria.iter().filter_map(|c| unknown(build, c.measure));
            let mut keys: Vec<Key> = own.chain(silent).collect();
            keys.sort();
            keys
        };
        let keys = ranked.iter().filter_map(|b| builds.get(*b)).map(hangs_on).collect();
        // Not those of the columns: where nothing weighed can be told each column is one figure for all cases.
        let samples = if all_drawn { cases.max(worth.samples) } else { 0 };
        Self { criteria, builds: stands, samples, none_passes, ranked, worth, ranking, keys, ends, seed }
    }

    /// Ranks again under other weights, one a criterion, without working any worth out again.
    pub fn reweigh(&mut self, weights: &[f64]) {
        for (criterion, weight) in self.criteria.iter_mut().zip(weights) {
            criterion.weight = *weight;
        }
        self.ranking = rank(&self.worth, weights, self.seed);
    }

    /// Rank and chances of a build; none when it is ruled out.
    pub fn rank(&self, build: usize) -> Option<&Ranked> {
        self.ranking.builds.get(self.builds.get(build)?.place?)
    }

    /// Builds in the order to show: ranked ones by chance of the first place, then those ruled out as given.
    pub fn order(&self) -> Vec<usize> {
        let ranked = self.ranking.order.iter().filter_map(|place| self.ranked.get(*place).copied());
        let out = (0..self.builds.len()).filter(|b| self.builds.get(*b).is_some_and(|s| s.place.is_none()));
        ranked.chain(out).collect()
    }

    /// The build most often first under any weights at all, and how often.
    pub fn any_weights(&self) -> Option<(usize, f64)> {
        let first = |b: usize| self.rank(b).map(|r| (b, r.first_any_weights));
        // The order stands for equals: the first of them wins.
        self.order().into_iter().filter_map(first).reduce(|a, b| if b.1 > a.1 { b } else { a })
    }

    /// Chance that one build scores higher than another over the same draws; none unless both are ranked. Without
    /// draws the nominal scores are compared. Of two that are about equal neither is called better.
    pub fn better(&self, first: usize, second: usize) -> Option<Odds> {
        let (a, b) = (self.rank(first)?, self.rank(second)?);
        let told = odds(&a.scores, &b.scores, Better::More, None)?;
        let better = told.better.filter(|_| !self.about_equal(first, second));
        Some(Odds { better, ..told })
    }

    /// Are the mean scores of two builds less than a point of 100 apart, or less than so few cases can tell apart? Then
    /// they are about equal, whatever the chances say.
    pub fn about_equal(&self, first: usize, second: usize) -> bool {
        let (Some(a), Some(b)) = (self.rank(first), self.rank(second)) else { return false };
        let apart = Sample::new(a.scores.iter().zip(&b.scores).map(|(a, b)| a - b).collect());
        let by_chance = apart.sd().unwrap_or(0.0) / (apart.len().max(1) as f64).sqrt();
        (a.mean - b.mean).abs() < ABOUT_EQUAL.max(STANDARD_ERRORS * by_chance)
    }

    /// How much of the lead of one build over another comes from each weighted measure, in points of score (0 to
    /// 1): the mean over the draws, the nominal one without. They add to the difference of the mean scores. None
    /// unless both are ranked.
    pub fn lead(&self, first: usize, second: usize) -> Option<Vec<(Measure, f64)>> {
        let place = |b: usize| self.builds.get(b)?.place;
        let (first, second) = (place(first)?, place(second)?);
        let mean = |place: usize, c: usize| {
            if self.worth.samples == 0 {
                return self.worth.nominal.get(place)?.get(c).copied();
            }
            let column = self.worth.draws.get(place)?.get(c)?;
            Some(column.iter().sum::<f64>() / column.len().max(1) as f64)
        };
        let all: f64 = self.criteria.iter().map(|c| c.weight.max(0.0)).sum();
        let share = |(c, criterion): (usize, &Criterion)| {
            let apart = mean(first, c)? - mean(second, c)?;
            Some((criterion.measure, if all > 0.0 { criterion.weight.max(0.0) * apart / all } else { 0.0 }))
        };
        self.criteria.iter().enumerate().map(share).collect()
    }

    /// What to measure first. `draws` are those that the builds were judged in, `cases` the builds; nothing without
    /// draws.
    ///
    /// With so many figures one may seem to matter by chance. So each is tried: moved alone from its 5th to its
    /// 95th percentile it has to move the score of a build in question by four times what it is said to gain.
    pub fn measure_first(&self, draws: &Draws, cases: &[Case<'_>]) -> MeasureFirst {
        if self.samples == 0 {
            return MeasureFirst { top: Vec::new(), not_at_home: Vec::new() };
        }
        let mut contenders: Vec<usize> = self.ranking.order.iter().copied().take(CONTENDERS).collect();
        contenders.sort_unstable();
        let mut keys: Vec<&Key> = contenders.iter().filter_map(|b| self.keys.get(*b)).flatten().collect();
        keys.sort();
        keys.dedup();
        let columns: Vec<(Key, Arc<[f64]>)> =
            keys.into_iter().map(|key| (key.clone(), draws.uniforms(key))).collect();
        let hangs = |key: &Key| contenders.iter().map(|b| self.hangs_on(*b, key)).collect();
        let of = |b: &usize| self.ranking.builds.get(*b).map(|r| r.scores.as_slice());
        let scores: Vec<&[f64]> = contenders.iter().filter_map(of).collect();
        let gains = value_of_information::gains(&scores, &columns, hangs, self.seed);
        let real: Vec<Gain> = gains
            .into_iter()
            .filter(|gain| gain.clear && gain.gain >= WORTH_NAMING)
            .take(TRIED)
            .filter(|gain| {
                // What a file is silent about moves the score from end to end.
                gain.key.field().name == UNKNOWN_FIGURE
                    || self.moves(&gain.key, draws, cases) >= MOVES * gain.gain
            })
            .collect();
        value_of_information::measure_first(real, FIRST)
    }

    fn hangs_on(&self, place: usize, key: &Key) -> bool {
        // A case's figures stand in the order of their names.
        self.keys.get(place).is_some_and(|own| own.binary_search(key).is_ok())
    }

    /// The most that a figure, moved alone, moves the score of a build that may come first: the mean over eight
    /// draws of the others.
    fn moves(&self, key: &Key, draws: &Draws, cases: &[Case<'_>]) -> f64 {
        let contends = |place: usize| {
            let told = self.ranking.builds.get(place).map_or(0.0, Ranked::first);
            self.hangs_on(place, key)
                && (told >= CONTENDS || self.ranking.order.iter().take(2).any(|p| *p == place))
        };
        let places = (0..self.ranked.len()).filter(|place| contends(*place));
        let moved = places.filter_map(|place| cases.get(*self.ranked.get(place)?)).map(|case| {
            let [low, high] =
                [0.05, 0.95].map(|share| self.scores_at(case, &PinnedDraw::new(draws, 0, key, share)));
            let apart = low.iter().zip(&high).map(|(low, high)| (high - low).abs());
            apart.sum::<f64>() / low.len().max(1) as f64
        });
        moved.fold(0.0, f64::max)
    }

    fn scores_at(&self, case: &Case<'_>, draw: &PinnedDraw<'_>) -> Vec<f64> {
        let told: Figures<F64x8> = figures(case, draw, Effort::CASE);
        let drawn =
            |measure: Measure| told.get(measure).ok().map(|x| (0..F64x8::WIDTH).map(move |i| x.draw(i)));
        let all_of = |measure| drawn(measure).map(Iterator::collect::<Vec<f64>>);
        let (bypass, clearing) = (all_of(Measure::BypassDirty), all_of(Measure::ClearingDirty));
        let mut scores = vec![0.0; F64x8::WIDTH];
        let all: f64 = self.criteria.iter().map(|c| c.weight.max(0.0)).sum();
        for (criterion, ends) in self.criteria.iter().zip(&self.ends) {
            let by_chance = criterion.measure == Measure::BypassChance;
            let measure = if by_chance { Measure::BypassDirty } else { criterion.measure };
            let (Some(ends), Some(values)) = (ends, drawn(measure)) else { continue };
            for ((score, value), i) in scores.iter_mut().zip(values).zip(0_usize..) {
                let at = |column: &Option<Vec<f64>>| column.as_ref().and_then(|c| c.get(i)).copied();
                let value = match measure {
                    Measure::OpeningInterval => {
                        let clearing = at(&clearing).unwrap_or(1.0);
                        earned(Some(ends), value, clearing, at(&bypass).unwrap_or(0.0))
                    }
                    _ if by_chance => leaks(value),
                    _ => value,
                };
                *score += criterion.weight.max(0.0) * ends.worth(value) / all;
            }
        }
        scores
    }
}
