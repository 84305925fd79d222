//! What the model gives for the readings of one build in a draw: followed from opening to opening as it was kept.

use super::kept::{ROUND, What, close};
use crate::assess::Case;
use crate::assess::biology::{Living, living, nitrifies};
use crate::assess::figures::{WaterWay, full_weight, water_way};
use crate::assumptions::A;
use crate::clogging::{Course, Dirt, Moment, age, on};
use crate::cost;
use crate::hydraulics::network::Tolerance;
use crate::hydraulics::vessel::Vessel;
use crate::model::log::Lay;
use crate::simd::Real;
use crate::uncertainty::{Draw, Key, Source, Spot, Spread, field};

pub use super::kept::{Item, Period, Watched};

/// Standard deviations of what readings have in common, as logarithms or relative (all ours).
const BUCKET_LEAST: f64 = 0.02;
const METER: f64 = 0.02;
const SCALE: f64 = 0.01;
const MODEL_LOSS: f64 = 0.15;
/// The keeper's limit: share of the flow when last opened at which the filter is opened, and its sd.
const LIMIT: (f64, f64) = (0.70, 0.12);
/// Share of the muck that reaches the bucket, and the factor either way.
const MUCK_SHARE: (f64, f64) = (0.8, 1.5);
/// Factors of the kits for nitrate and ammonia.
const NITRATE_KIT: f64 = 1.35;
const AMMONIA_KIT: f64 = 1.5;
/// Longest that slime of unknown age has grown, days.
const OLDEST_SLIME: f64 = 182.0;
/// Errors allowed to a step, times those of a judgement: readings lie further off.
const STEP: f64 = 4.0;

impl Watched<'_> {
    fn key(&self, part: &'static str) -> Key {
        Key::new(
            Source::Filter(self.case.filter.id.as_str().into()),
            Spot::from("log").part(part),
            &field::NONE,
        )
    }

    fn factor<L: Real>(&self, part: &'static str, sd: f64, draw: &dyn Draw<L>) -> L {
        draw.spread(1.0, Spread::Factor { factor: libm::exp(2.0 * sd) }, &self.key(part))
    }

    /// Error of a bucket of that size: each is an instrument of its own.
    fn bucket<L: Real>(&self, size: f64, known: f64, draw: &dyn Draw<L>) -> L {
        let at = Spot::from("log").part("bucket").item((size * 1e6).round() as usize);
        let key = Key::new(Source::Filter(self.case.filter.id.as_str().into()), at, &field::NONE);
        draw.spread(1.0, Spread::Factor { factor: libm::exp(2.0 * known.max(BUCKET_LEAST)) }, &key)
    }

    fn course<L: Real>(&self, period: &Period, until: f64, draw: &dyn Draw<L>) -> Course<L> {
        let unknown = if period.unknown {
            draw.spread(
                OLDEST_SLIME / 2.0,
                Spread::Uniform { low: 0.0, high: OLDEST_SLIME },
                &self.key("slime_before"),
            )
        } else {
            L::zero()
        };
        Course { until, slimed: unknown + period.slimed, brushed: period.brushed.clone() }
    }

    /// Follows a period in a draw; none where dirt cannot be told.
    fn follow<L: Real>(
        &self,
        way: &mut WaterWay<L>,
        period: &Period,
        until: f64,
        draw: &dyn Draw<L>,
    ) -> Option<Followed<L>> {
        let (feed, volume) = (self.case.feed(draw).ok()?, self.case.volume(draw).ok()?);
        let course = self.course(period, until, draw);
        let vessel = &mut way.vessel;
        vessel.clean_again();
        vessel.network.restore_flows(&way.flows);
        let dirt = Dirt {
            feed,
            volume,
            stage: None,
            carry_over: way.carry_over,
            step: STEP,
            course: Some(&course),
            drift: None,
        };
        let aged = age(&self.case.plan, self.case.filter, self.case.build, vessel, dirt, draw)?;
        let clean = aged.history.first().map_or(L::zero(), |moment| moment.flow);
        Some(Followed {
            steps: aged.steps,
            caught: aged.caught,
            settled: aged.settled,
            solved: aged.solved,
            clean,
            course,
        })
    }

    /// All figures that the readings are compared with, one after the other; no number where the model gives none.
    pub fn figures<L: Real>(&self, draw: &dyn Draw<L>) -> Vec<L> {
        let mut way: WaterWay<L> = water_way(&self.case, draw);
        let none = L::splat(f64::NAN);
        // Weights and the tank's water are looked at where a reading asks for them, while the vessel is clean.
        let any = |of: fn(&What) -> bool| self.items.iter().any(|item| of(&item.what));
        let weight = any(|what| matches!(what, What::Weighed))
            .then(|| full_weight(&self.case, &way.vessel, draw).ok())
            .flatten();
        let living = any(|what| matches!(what, What::Nitrate { .. } | What::Ammonia { .. }))
            .then(|| {
                let nitrifies = way.flow.map(|_| nitrifies(&self.case, &way.vessel, way.carry_over, draw));
                living(&self.case, way.flow, nitrifies, draw).ok()
            })
            .flatten();
        let followed: Vec<Option<Followed<L>>> = self
            .periods
            .iter()
            .map(|period| {
                if period.until > 0.0 || self.asks(period) {
                    self.follow(&mut way, period, period.until, draw)
                } else {
                    None
                }
            })
            .collect();
        let (fault, drift) = self.faults.drawn(draw);
        let mut out = Vec::new();
        for item in &self.items {
            let period = followed.get(item.period).and_then(Option::as_ref);
            let share = |into: f64| {
                period
                    .and_then(|p| p.flow(into))
                    .zip(period)
                    .map_or(none, |(flow, p)| flow / p.clean * (drift * into).exp())
            };
            match &item.what {
                What::Bucket { size, known, end } => {
                    let flow = period.and_then(|p| p.flow(item.into)).unwrap_or(none);
                    let raised = end.map_or(L::one(), |end| self.raised(&mut way, end, draw));
                    let read =
                        flow * raised * (fault + drift * item.into).exp() * self.bucket(*size, *known, draw);
                    out.push(read.ln());
                }
                What::BucketOut { size, known } => {
                    let period = self.periods.get(item.period);
                    let grown =
                        period.map_or(L::zero(), |p| self.course(p, 0.0, draw).slime(L::splat(item.into)));
                    let flow = self.bare_flow(grown, draw);
                    out.push((flow * fault.exp() * self.bucket(*size, *known, draw)).ln());
                }
                What::Fell => {
                    let limit = self.limit(draw);
                    out.extend([share(close(ROUND, item.into)), share(item.into + ROUND), limit]);
                }
                What::Fine => out.extend([share(item.into), self.limit(draw)]),
                What::Places => {
                    let masses = period.map_or_else(Vec::new, |p| self.masses(p));
                    out.extend((0..self.places.len()).map(|at| masses.get(at).copied().unwrap_or(none)));
                }
                What::Muck => {
                    let bulk = L::one() / (draw.constant(A::SludgeDensity) * 1e6);
                    let share = draw.spread(
                        MUCK_SHARE.0,
                        Spread::Factor { factor: MUCK_SHARE.1 },
                        &self.key("muck_share"),
                    );
                    // The period was followed a little past a day on which the flow fell.
                    let until = self.periods.get(item.period).map_or(1.0, |p| p.until);
                    let then = item.into / until.max(1e-9);
                    let wet = period
                        .map_or(none, |p| p.caught.iter().fold(L::zero(), |sum, m| sum + *m) * bulk * then);
                    out.push((wet * share).ln());
                }
                What::Weighed => {
                    out.push((weight.unwrap_or(none) * self.factor("scale", SCALE, draw)).ln());
                }
                What::Meter => {
                    let mains = way.vessel.laws.outside.as_ref().map_or_else(L::one, |outside| outside.mains);
                    let watts = cost::watts(self.case.filter, mains, draw).unwrap_or(none);
                    out.push((watts * self.factor("meter", METER, draw)).ln());
                }
                What::Loss => {
                    let head =
                        period.and_then(|p| Self::vessel_loss(&mut way.vessel, p, item.into)).unwrap_or(none);
                    out.push((head * self.factor("model_loss", MODEL_LOSS, draw)).ln());
                }
                What::Nitrate { since } => {
                    let kit =
                        draw.spread(1.0, Spread::Factor { factor: NITRATE_KIT }, &self.key("nitrate_kit"));
                    out.push(
                        (living.as_ref().and_then(|l| self.nitrate(l, *since, draw)).unwrap_or(none) * kit)
                            .max(L::splat(1e-6))
                            .ln(),
                    );
                }
                What::Ammonia { per_n } => {
                    let kit =
                        draw.spread(1.0, Spread::Factor { factor: AMMONIA_KIT }, &self.key("ammonia_kit"));
                    out.push(
                        (living.as_ref().and_then(|l| self.ammonia(l, draw)).unwrap_or(none) * *per_n * kit)
                            .max(L::splat(1e-6))
                            .ln(),
                    );
                }
            }
        }
        // A draw that was not solved tells nothing.
        let solved = followed.iter().flatten().fold(way.solved, |all, p| L::and(all, p.solved));
        out.iter().map(|x| L::select(solved, *x, none)).collect()
    }

    /// Readings of the first day need the period too.
    fn asks(&self, period: &Period) -> bool {
        self.items.iter().any(|item| {
            self.periods.get(item.period).is_some_and(|p| std::ptr::eq(p, period))
                && matches!(
                    item.what,
                    What::Bucket { .. } | What::Fell | What::Fine | What::Places | What::Muck | What::Loss
                )
        })
    }

    fn limit<L: Real>(&self, draw: &dyn Draw<L>) -> L {
        draw.spread(LIMIT.0, Spread::Normal { sd: LIMIT.1 / LIMIT.0 }, &self.key("limit"))
    }

    /// Flow with the hose end held so high over flow as it stands, clean.
    fn raised<L: Real>(&self, way: &mut WaterWay<L>, end: f64, draw: &dyn Draw<L>) -> L {
        let vessel = &mut way.vessel;
        vessel.clean_again();
        vessel.network.restore_flows(&way.flows);
        let Some(outside) = &mut vessel.laws.outside else { return L::one() };
        let before = outside.hoses.rise;
        outside.hoses.rise = vessel.water.density * draw.constant(A::Gravity) * end;
        vessel.network.fit_again(|_| true);
        vessel.solve(&self.case.plan, Tolerance::FOLLOWING);
        let raised = vessel.flow(&self.case.plan);
        if let Some(outside) = &mut vessel.laws.outside {
            outside.hoses.rise = before;
        }
        vessel.network.fit_again(|_| true);
        let flow = way.flow.unwrap_or(raised);
        // What the pump cannot lift does not flow.
        (raised / flow).max(L::splat(1e-6))
    }

    /// Flow of the vessel without layers, its hoses slimed for so many days, m3/s.
    fn bare_flow<L: Real>(&self, slimed: L, draw: &dyn Draw<L>) -> L {
        let case = Case::new(self.case.filter, &self.bare, self.case.tank);
        let mut vessel: Vessel<L> = Vessel::new(&case.plan, case.filter, case.build, case.tank, draw);
        vessel.slime(slimed);
        let solved = vessel.solve(&case.plan, Tolerance::FOLLOWING).solved;
        L::select(solved, vessel.flow(&case.plan), L::splat(f64::NAN))
    }

    /// Dirt in each place, g dry.
    fn masses<L: Real>(&self, p: &Followed<L>) -> Vec<L> {
        let all = p.caught.iter().fold(L::zero(), |sum, m| sum + *m);
        let settled = all * p.settled / (L::one() - p.settled).max(L::splat(1e-6));
        let of = |places: &[usize]| {
            places.iter().filter_map(|n| p.caught.get(*n)).fold(L::zero(), |sum, m| sum + *m)
        };
        self.places
            .iter()
            .map(|(lay, at)| of(at) + if *lay == Lay::Floor { settled } else { L::zero() })
            .collect()
    }

    /// Head lost between the ports on that day, m: what the pump gives less what lies outside.
    fn vessel_loss<L: Real>(vessel: &mut Vessel<L>, p: &Followed<L>, into: f64) -> Option<L> {
        let flow = p.flow(into)?;
        let outside = vessel.laws.outside.as_mut()?;
        outside.hoses.grow(p.course.slime(L::splat(into)));
        let head = -outside.at(flow).loss / outside.weight();
        outside.hoses.grow(L::zero());
        Some(head)
    }

    /// mg/l NO3 so many days after a water change.
    fn nitrate<L: Real>(&self, of: &Living<L>, since: Option<f64>, draw: &dyn Draw<L>) -> Option<L> {
        let balance = of.nitrate.as_ref().ok()?;
        let every = draw.of(&self.case.tank?.water_change.as_ref()?.every) / crate::units::DAY;
        let Some(since) = since else { return Some(balance.cycle.peak) };
        let part = (L::splat(since) / every).min(L::one());
        Some(balance.cycle.trough + (balance.cycle.peak - balance.cycle.trough) * part)
    }

    /// mg/l N at which the bacteria take what is made: Monod's form from where the capacity is told.
    fn ammonia<L: Real>(&self, of: &Living<L>, draw: &dyn Draw<L>) -> Option<L> {
        let capacity = of.with_tank.ok()?;
        let half = draw.constant(A::NitrifyingHalf);
        let at = crate::biology::nitrifying::told_at(self.case.celsius(draw), self.case.ph(draw), draw);
        let used = (at / (half + at) / capacity).clamp(0.0, 0.98);
        Some(half * used / (L::one() - used))
    }

    /// Flow on days since packing, m3/s, with what the model is known to be out by: for pictures.
    pub fn flows<L: Real>(&self, days: &[f64], draw: &dyn Draw<L>) -> Vec<L> {
        let none = L::splat(f64::NAN);
        let mut way: WaterWay<L> = water_way(&self.case, draw);
        let (fault, drift) = self.faults.drawn(draw);
        let mut out = vec![none; days.len()];
        for (i, period) in self.periods.iter().enumerate() {
            let end = self.periods.get(i + 1).map_or(f64::INFINITY, |next| next.start);
            let inside = |day: f64| day >= period.start && day < end;
            let until = days.iter().copied().filter(|day| inside(*day)).fold(0.0, f64::max) - period.start;
            if until < 0.0 {
                continue;
            }
            let Some(followed) = self.follow(&mut way, period, until, draw) else { continue };
            for (out, day) in out.iter_mut().zip(days).filter(|(_, day)| inside(**day)) {
                let into = day - period.start;
                let flow = followed.flow(into).unwrap_or(none) * (fault + drift * into).exp();
                *out = L::select(followed.solved, flow, none);
            }
        }
        out
    }

    /// Days from the last cleaning of the media to when it should be opened again, slime as it then was.
    pub fn opens<L: Real>(&self, draw: &dyn Draw<L>) -> Option<L> {
        let period = self.periods.last()?;
        let mut way: WaterWay<L> = water_way(&self.case, draw);
        let followed = self.follow(&mut way, period, A::Horizon.value(), draw)?;
        let (_, drift) = self.faults.drawn(draw);
        let (fall, full) = (draw.constant(A::OpenAtFall), draw.constant(A::OpenAtVoids));
        let mut found = L::splat(A::Horizon.value());
        let mut open = L::mask(false);
        let Moment { flow, efficiency, .. } = followed.steps.first()?.from;
        for step in &followed.steps {
            // Straight from end to end: a step bends by less than a day.
            let left = |m: &Moment<L>| {
                let fallen = (drift * m.day).exp();
                let cleared = m.cleared() / (flow * efficiency) * fallen - fall;
                cleared.min(m.flow / flow * fallen - fall).min((full - m.fullest) / full)
            };
            let (from, to) = (left(&step.from), left(&step.to));
            let here = L::and(to.le(L::zero()), L::not(open));
            let part = (from / (from - to).max(L::splat(1e-12))).clamp(0.0, 1.0);
            found = L::select(here, step.from.day + (step.to.day - step.from.day) * part, found);
            open = L::or(open, here);
        }
        Some(L::select(followed.solved, found, L::splat(f64::NAN)))
    }

    pub fn place(&self, at: usize) -> Option<Lay> {
        self.places.get(at).map(|(lay, _)| *lay)
    }
}

struct Followed<L: Real> {
    steps: Vec<crate::clogging::Step<L>>,
    caught: Vec<L>,
    settled: L,
    solved: L::Mask,
    clean: L,
    course: Course<L>,
}

impl<L: Real> Followed<L> {
    fn flow(&self, into: f64) -> Option<L> {
        on(&self.steps, into).map(|moment| moment.flow)
    }
}
