//! Flow over the days of a log: as the model has it, and as readings correct it.

use super::course::Watched;
use super::learnt::{Learnt, watched};
use crate::assess::log::{From, Sort};
use crate::model::{Build, Filter, Tank};
use crate::simd::{F64x8, Real};
use crate::uncertainty::{Band, Batch, Draws, Sample};

/// Points along the days.
const POINTS: u32 = 48;
/// Days shown past the last reading.
const PAST: f64 = 14.0;

/// A bucket: day since packing, flow and its own error, m3/s, and whether it was held out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    pub day: f64,
    pub flow: f64,
    pub error: f64,
    pub held: bool,
}

/// Days since packing; flows in m3/s.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    pub days: Vec<f64>,
    pub model: Vec<Band>,
    /// Empty where the log is not used.
    pub corrected: Vec<Band>,
    pub points: Vec<Point>,
    pub openings: Vec<f64>,
    /// Where the last day shown is not past it.
    pub today: Option<f64>,
}

/// Of one build asked about; none where its flow cannot be followed.
pub fn picture(
    (filter, build): (&Filter, &Build),
    tank: Option<&Tank>,
    draws: &Draws,
    learnt: &Learnt,
    at: usize,
    today: f64,
) -> Option<Picture> {
    let watched = watched(filter, build, tank);
    let told = learnt.of(at);
    let held = |from: From, sort: Sort| {
        told.is_some_and(|told| told.readings.iter().any(|r| r.from == from && r.sort == sort && r.held))
    };
    let points: Vec<Point> = watched
        .items
        .iter()
        .filter(|item| item.sort == Sort::Bucket)
        .filter_map(|item| match item.reading {
            super::reading::Reading::Number { seen, sd } => {
                let flow = libm::exp(seen);
                Some(Point { day: item.day, flow, error: flow * sd, held: held(item.from, item.sort) })
            }
            _ => None,
        })
        .collect();
    let last =
        watched.items.iter().map(|item| item.day).chain(watched.openings.iter().copied()).fold(0.0, f64::max);
    let end = last + PAST;
    // The eve of each opening too, so that the fall to it is seen.
    let mut days: Vec<f64> = (0..=POINTS).map(|i| end * f64::from(i) / f64::from(POINTS)).collect();
    days.extend(watched.periods.iter().skip(1).flat_map(|period| [period.start - 1e-3, period.start]));
    days.retain(|day| *day >= 0.0);
    days.sort_unstable_by(f64::total_cmp);
    let model = bands(&watched, &days, draws)?;
    let corrected = learnt.draws(at).filter(|_| learnt.is_corrected(at));
    let corrected = corrected.and_then(|draws| bands(&watched, &days, draws)).unwrap_or_default();
    let today = (today >= 0.0 && today <= end).then_some(today);
    Some(Picture { days, model, corrected, points, openings: watched.openings, today })
}

fn bands(watched: &Watched<'_>, days: &[f64], draws: &Draws) -> Option<Vec<Band>> {
    let mut samples = vec![Sample::default(); days.len()];
    for first in draws.firsts() {
        let flows: Vec<F64x8> = watched.flows(days, &Batch::new(draws, first));
        for (sample, flow) in samples.iter_mut().zip(flows) {
            sample.push(flow, flow.finite(), draws.samples());
        }
    }
    samples.iter().map(Sample::band).collect()
}
