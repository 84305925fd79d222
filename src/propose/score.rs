//! What a stack is worth to a tank: one number to search by, on nominal figures or over draws of the doubt.

use crate::assess::Simulated;
use crate::assess::figures::Figures;
use crate::assumptions::A;
use crate::compare::utility::{Criterion, Ends};
use crate::compare::{Bound, Limit, criteria};
use crate::measures::{Better, Measure};
use crate::model::{Filter, Tank};

/// What each layer to handle costs, of a score of 1. Our own choice.
pub const LAYER: f64 = 0.02;
/// What a must that is not met costs: more than any score can make up for, so that musts come first.
const UNMET: f64 = 10.0;

#[derive(Clone, Debug)]
pub struct Scale {
    criteria: Vec<(Criterion, Ends)>,
    limits: Vec<Limit>,
    total: f64,
    /// Unless foam alone is asked for.
    needs: Option<Needs>,
}

/// What a stack has to hold for bacteria to live on.
#[derive(Clone, Copy, Debug)]
struct Needs {
    /// Biological media of the build as it is, litres.
    held: f64,
    /// All trays hold, litres.
    space: f64,
}

/// Ammonia capacity at which there is enough of it, and the share of the trays where that cannot be told.
const ENOUGH: f64 = 2.0;
const THIRD: f64 = 1.0 / 3.0;

impl Needs {
    /// What a stack misses, 0 to 1: nothing where it holds biological media, as much as lies in the filter now or what
    /// brings the capacity to twice the need.
    fn missed(self, figures: &Figures<f64>) -> f64 {
        let litres = nominal(figures, Measure::BioMedia);
        if litres <= 0.0 || litres.is_nan() {
            return 1.0;
        }
        let capacity = nominal(figures, Measure::AmmoniaCapacity);
        let enough = if capacity.is_nan() { litres / (self.space * THIRD) } else { capacity / ENOUGH };
        let near = enough.max(litres / self.held.max(1e-9));
        if near >= 1.0 - 1e-6 { 0.0 } else { 1.0 - near.max(0.0) }
    }
}

/// Is the figure only known once the dirt has been followed over the weeks?
fn needs_ageing(measure: Measure) -> bool {
    matches!(
        measure,
        Measure::OpeningInterval | Measure::FilteredFlowDirty | Measure::BypassDirty | Measure::BypassChance
    )
}

impl Scale {
    /// The tank's weighted measures on straight lines between its ends. A measure whose ends are "the worst and
    /// the best of those compared" has them from this vessel: media from none to all it can hold, filtered flow at
    /// service as filtered flow. Measures no packing can move much (power, capacity, oxygen, fits) are left out.
    pub fn new(filter: &Filter, tank: &Tank, capacity: Option<f64>) -> Self {
        let box_litres =
            filter.body.outside.as_ref().map(|o| o.width.si() * o.depth.si() * o.height.si() * 1e3);
        let ends = |measure| match measure {
            Measure::FilteredFlowDirty => Ends::of(Measure::FilteredFlow, tank),
            Measure::Media | Measure::BioMedia => Some(Ends::new(0.0, capacity?, Better::More)),
            Measure::MediaShare => Some(Ends::new(0.0, capacity? / box_litres?, Better::More)),
            _ => None,
        };
        let criteria: Vec<(Criterion, Ends)> = criteria(tank)
            .into_iter()
            .filter_map(|criterion| Some((criterion, criterion.ends.or_else(|| ends(criterion.measure))?)))
            .collect();
        let total = criteria.iter().map(|(criterion, _)| criterion.weight).sum();
        // The budget is held against what the shopping comes to.
        let spends = |limit: &Limit| matches!(limit.bound, Bound::ToSpend(_));
        let limits = Limit::all(tank).into_iter().filter(|limit| !spends(limit)).collect();
        Self { criteria, limits, total, needs: None }
    }

    /// Asks for biological media: as much as lies in the build as it is, or as much as ammonia needs.
    pub fn living(mut self, as_it_is: &Figures<f64>, capacity: Option<f64>) -> Self {
        let held = nominal(as_it_is, Measure::BioMedia);
        self.needs = Some(Needs {
            held: if held.is_nan() { 0.0 } else { held },
            space: capacity.unwrap_or(f64::INFINITY),
        });
        self
    }

    pub fn is_bare(&self, figures: &Figures<f64>) -> bool {
        self.needs.is_some_and(|needs| needs.missed(figures) > 0.0)
    }

    /// The score of nominal figures, 0 to 1: the weighted mean of the worths.
    pub fn score(&self, figures: &Figures<f64>) -> f64 {
        self.mean(|measure| nominal(figures, measure))
    }

    /// What the search makes as great as it can: the score less 0.02 a layer, and far below any score for each
    /// must that is not met, the less the nearer it is to being met.
    pub fn value(&self, figures: &Figures<f64>, layers: usize) -> f64 {
        let missed: f64 =
            self.limits.iter().map(|limit| missed(limit, nominal(figures, limit.measure))).sum();
        self.score(figures) - LAYER * layers as f64 - missed - self.bare(figures)
    }

    /// What too little biological media cost.
    fn bare(&self, figures: &Figures<f64>) -> f64 {
        let missed = self.needs.map_or(0.0, |needs| needs.missed(figures));
        if missed > 0.0 { UNMET + missed } else { 0.0 }
    }

    /// No less than [`Self::value`] would be: from figures whose timeline was not followed.
    pub fn at_most(&self, figures: &Figures<f64>, layers: usize) -> f64 {
        // Bypass can only grow worse than it is clean; what else the weeks bring counts as perfect.
        let risk = figures.get(Measure::Bypass).map_or(f64::NAN, stand_in);
        let score = self.sum(|criterion, ends| match criterion.measure {
            Measure::BypassChance if !risk.is_nan() => ends.worth(risk),
            measure if needs_ageing(measure) => 1.0,
            measure => ends.worth(nominal(figures, measure)),
        });
        let limits = self.limits.iter().filter(|limit| !needs_ageing(limit.measure));
        let missed: f64 = limits.map(|limit| missed(limit, nominal(figures, limit.measure))).sum();
        score - LAYER * layers as f64 - missed - self.bare(figures)
    }

    /// The same yardstick without these musts.
    pub fn without(&self, dropped: &[Limit]) -> Self {
        let mut less = self.clone();
        less.limits.retain(|limit| !dropped.contains(limit));
        less
    }

    /// Musts that no packing changes anything about, and that this vessel does not meet.
    pub fn hopeless(&self, figures: &Figures<f64>) -> Vec<Limit> {
        let fixed = |limit: &Limit| {
            matches!(limit.measure, Measure::FitsCabinet | Measure::Power | Measure::TraySpace)
        };
        self.unmet(figures).into_iter().filter(fixed).collect()
    }

    /// Musts that nominal figures do not meet, or cannot be told to.
    pub fn unmet(&self, figures: &Figures<f64>) -> Vec<Limit> {
        let fails = |limit: &&Limit| limit.passes(nominal(figures, limit.measure)) != Some(true);
        self.limits.iter().filter(fails).copied().collect()
    }

    /// The mean score over draws, and the share of draws that meet every must. `fallback` are the nominal
    /// figures, for what does not hang on the draws.
    pub fn under_doubt(&self, many: &Simulated, samples: usize, fallback: &Figures<f64>) -> (f64, f64) {
        let column = |measure: Measure| many.sample(measure).map(|sample| sample.values.as_slice());
        let at = |measure: Measure, i: usize| match measure {
            Measure::BypassChance => many.bypass_chance.unwrap_or(f64::NAN),
            Measure::OrderFaults | Measure::FitsCabinet => nominal(fallback, measure),
            _ => column(measure).and_then(|c| c.get(i).copied()).unwrap_or(f64::NAN),
        };
        let (mut sum, mut pass) = (0.0, 0usize);
        for i in 0..samples {
            sum += self.mean(|measure| at(measure, i));
            pass += usize::from(self.limits.iter().all(|l| l.passes(at(l.measure, i)) == Some(true)));
        }
        let n = samples.max(1) as f64;
        (sum / n, pass as f64 / n)
    }

    fn mean(&self, value: impl Fn(Measure) -> f64) -> f64 {
        self.sum(|criterion, ends| ends.worth(value(criterion.measure)))
    }

    fn sum(&self, worth: impl Fn(&Criterion, &Ends) -> f64) -> f64 {
        let sum: f64 = self.criteria.iter().map(|(c, ends)| c.weight * worth(c, ends)).sum();
        if self.total > 0.0 { sum / self.total } else { 0.0 }
    }
}

/// A nominal figure, NaN where it cannot be told. One draw has no risk: how near the worst bypass comes to the
/// risky one stands for it, an even chance at that bypass.
fn nominal(figures: &Figures<f64>, measure: Measure) -> f64 {
    if measure == Measure::BypassChance {
        return figures
            .get(Measure::BypassDirty)
            .map_or(f64::NAN, |worst| if figures.solved { stand_in(worst) } else { f64::NAN });
    }
    if measure.needs_flow() && !figures.solved {
        return f64::NAN;
    }
    figures.get(measure).unwrap_or(f64::NAN)
}

fn stand_in(bypass: f64) -> f64 {
    (bypass / (2.0 * A::RiskyBypass.value())).clamp(0.0, 1.0)
}

/// What a must costs: nothing when met, else 10 and up to 1 more by how far off it is.
fn missed(limit: &Limit, x: f64) -> f64 {
    match limit.passes(x) {
        Some(true) => 0.0,
        None => UNMET + 1.0,
        Some(false) => {
            let (by, of) = match limit.bound {
                Bound::Yes => (1.0, 1.0),
                Bound::AtLeast(bound) => (bound - x, bound),
                Bound::AtMost(bound) | Bound::ToSpend(bound) => (x - bound, bound),
            };
            UNMET + by / (by + of.abs()).max(f64::MIN_POSITIVE)
        }
    }
}
