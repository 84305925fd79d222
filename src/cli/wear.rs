//! `cansift wear`: the impeller's share from a bucket test, with its doubt.

use super::args::Wear;
use super::pick::pick_filter;
use super::{Context, Failure, Status};
use crate::hydraulics::outside::{LEAST_WEAR, MOST_WEAR};
use crate::hydraulics::plan::Plan;
use crate::hydraulics::vessel::Vessel;
use crate::model::filter::Bucket;
use crate::model::pump::Curve;
use crate::model::{Build, Filter, Impeller, Tank, Unit, ranges as r};
use crate::report::wear::{self, Worn};
use crate::simd::{F64x8, Real};
use crate::uncertainty::{Batch, Draw, Draws, Key, Nominal, Provenance, Sample, Source, Spot, Uncertain};
use crate::units::{Length, Plain, Quantity, Time, Volume};

/// Hoses of a test when nobody says which: as where no tank is given, m and bends.
const USUAL: (f64, f64) = (1.5, 2.0);

pub(super) fn run(context: &mut Context<'_, '_>, args: &Wear) -> Result<Status, Failure> {
    let case = pick_filter(context, &args.a)?;
    let tank = context.tank(&args.run)?;
    let tank = tank.as_ref().map(|t| &*t.tank);
    // What is assumed of it tells nothing of an impeller.
    let told = case.filter.pump.curve.as_ref().is_some_and(|curve| match curve {
        Curve::Ends { flow, .. } => flow.known != Provenance::Assumed,
        Curve::Points { .. } => true,
    });
    if !told {
        return Err(Failure::Nothing(format!(
            "`{}` gives no pump curve, so there is no new impeller's flow to compare with",
            case.path.display()
        )));
    }
    let bucket = bucket(args, tank, &case.filter.id);
    let mut filter = Filter::clone(&case.filter);
    filter.unit.get_or_insert_with(Unit::untold).impeller = Impeller::Bucket(bucket.clone());
    let build = Build::empty(filter.trays.len());
    let plan = Plan::new(&filter, &build);
    let Some(share) = worn::<f64>(&plan, &filter, &build, tank, &Nominal) else {
        return Err(Failure::Nothing("the pump's curve cannot be used".to_owned()));
    };
    let draws = Draws::new(args.run.samples() as usize, args.run.seed());
    let mut sample = Sample::default();
    for first in draws.firsts() {
        if let Some(eight) = worn::<F64x8>(&plan, &filter, &build, tank, &Batch::new(&draws, first)) {
            sample.push(eight, F64x8::mask(true), draws.samples());
        }
    }
    let worn = Worn {
        filter: filter.name.clone(),
        litres: args.bucket,
        seconds: args.seconds,
        hoses: (bucket.intake.si(), bucket.return_side.si(), bucket.bends.si()),
        share,
        band: sample.band().map(|band| (band.low, band.high)),
        samples: draws.samples(),
        beyond: share <= LEAST_WEAR * 1.001 || share >= MOST_WEAR * 0.999,
    };
    context.text(&wear::page(&worn, context.units))?;
    Ok(Status::Fine)
}

/// The share of a new impeller's flow in a draw.
fn worn<L: Real>(
    plan: &Plan,
    filter: &Filter,
    build: &Build,
    tank: Option<&Tank>,
    draw: &dyn Draw<L>,
) -> Option<L> {
    Vessel::new(plan, filter, build, tank, draw).laws.outside.map(|outside| outside.impeller_ratio)
}

/// The test as it was made; what is not said of the hoses is the tank's.
fn bucket(args: &Wear, tank: Option<&Tank>, id: &str) -> Bucket {
    let run = tank.map(|t| &t.hoses);
    let key = |part, field| Key::new(Source::Filter(id.into()), Spot::from("unit/bucket").part(part), field);
    Bucket {
        volume: measured(Volume::of(args.bucket * 1e-3), key("volume", &r::BUCKET_VOLUME)),
        time: measured(Time::of(args.seconds), key("time", &r::BUCKET_TIME)),
        intake: measured(
            Length::of(args.intake.or(run.map(|r| r.intake.si())).unwrap_or(USUAL.0)),
            key("intake", &r::RUN),
        ),
        return_side: measured(
            Length::of(args.return_side.or(run.map(|r| r.return_side.si())).unwrap_or(USUAL.0)),
            key("return", &r::RUN),
        ),
        bends: measured(
            Plain::of(args.bends.or(run.map(|r| r.bends.si())).unwrap_or(USUAL.1)),
            key("bends", &r::BENDS),
        ),
    }
}

fn measured<Q: Quantity>(value: Q, key: Key) -> Uncertain<Q> {
    let spread = key.field().printed.spread(Provenance::Measured, true, value.si());
    Uncertain { value, known: Provenance::Measured, spread, key }
}
