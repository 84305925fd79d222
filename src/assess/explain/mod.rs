//! How a measure of one build came about: equations with this build's quantities, inputs, constants.
//!
//! Every step is worked out again from the figures it shows, by the laws the judgement uses; tests hold its end
//! against the measure's own value.

mod clearing;
mod cost;
mod dirt;
mod inputs;
mod lamp;
mod life;
mod room;
mod water;

use super::{Case, Trace};
use crate::assess::Effort;
use crate::assess::figures::{Figures, figures};
use crate::hydraulics::network::Tolerance;
use crate::hydraulics::vessel::Vessel;
use crate::measures::{Measure, Outcome};
use crate::model::{Build, Filter, Tank};
use crate::uncertainty::Nominal;

/// Explains a measure of build number `build`; one that is not there is explained as an empty one.
pub fn explain(filter: &Filter, build: usize, tank: Option<&Tank>, measure: Measure) -> Trace {
    let nothing = Build::empty(filter.trays.len());
    explain_build(filter, filter.builds.get(build).unwrap_or(&nothing), tank, measure)
}

/// Explains a measure of any build, also one that is not in the filter's file.
pub fn explain_build(filter: &Filter, build: &Build, tank: Option<&Tank>, measure: Measure) -> Trace {
    let case = Case::new(filter, build, tank);
    let mut seen = Seen::new(case);
    let mut out =
        Trace { currency: tank.map_or_else(String::new, |t| t.currency.clone()), ..Trace::default() };
    let told = seen.told.outcome(measure);
    // One case alone has no risk; it can be told as far as the bypass late can.
    let hangs_on = if measure == Measure::BypassChance { Measure::BypassDirty } else { measure };
    if let Outcome::Missing(why) = seen.told.outcome(hangs_on) {
        out.untold = Some((measure, why));
    }
    subject(&mut seen, measure, &mut out);
    if matches!(told, Outcome::Missing(_)) {
        out.answer = None;
    }
    out
}

/// The chain of one measure. Where something is missing it goes as far as it can.
fn subject(seen: &mut Seen<'_>, measure: Measure, out: &mut Trace) {
    match measure {
        Measure::Clearing => clearing::clearing(seen, out),
        Measure::ClearingDirty => clearing::clearing_dirty(seen, out),
        Measure::Caught => clearing::caught(seen, out),
        Measure::FlowDirty => clearing::flow_dirty(seen, out),
        Measure::SuitsUpTo => clearing::suits_up_to(seen, out),
        Measure::AmmoniaCapacityTank => life::ammonia_capacity_tank(seen, out),
        Measure::NitrateOff => life::nitrate_off(seen, out),
        Measure::AskingPrice => cost::asking_price(seen, out),
        Measure::Flow => water::flow(seen, out),
        Measure::FilteredFlow => water::filtered_flow(seen, out),
        Measure::Turnover => water::turnover(seen, out),
        Measure::Bypass => water::bypass(seen, out),
        Measure::FilteredFlowDirty => dirt::filtered_flow_dirty(seen, out),
        Measure::BypassDirty => dirt::bypass_dirty(seen, out),
        Measure::BypassChance => dirt::bypass_chance(seen, out),
        Measure::OpeningInterval => dirt::opening_interval(seen, out),
        Measure::AmmoniaCapacity => life::ammonia_capacity(seen, out),
        Measure::OxygenOut => life::oxygen_out(seen, out),
        Measure::Nitrate => life::nitrate(seen, out),
        Measure::RuleOfThumbTank => life::rule_of_thumb_tank(seen, out),
        Measure::UvDose => lamp::uv_dose(seen, out),
        Measure::TraySpace => room::tray_space(seen, out),
        Measure::Media => room::media(seen, out),
        Measure::BioMedia => room::bio_media(seen, out),
        Measure::MediaShare => room::media_share(seen, out),
        Measure::OrderFaults => room::order_faults(seen, out),
        Measure::FullWeight => room::full_weight(seen, out),
        Measure::FitsCabinet => room::fits_cabinet(seen, out),
        Measure::Power => cost::power(seen, out),
        Measure::RepairCost => cost::repair_cost(seen, out),
        Measure::FirstYearCost => cost::first_year_cost(seen, out),
    }
}

/// A case with everything worked out of it at nominal values.
pub struct Seen<'a> {
    pub case: Case<'a>,
    pub told: Figures<f64>,
    pub clean: Vessel<f64>,
}

impl<'a> Seen<'a> {
    pub fn new(case: Case<'a>) -> Self {
        let told: Figures<f64> = figures(&case, &Nominal, Effort::FULL);
        let mut clean = told.way.vessel.clone();
        if told.way.flow.is_ok() {
            // The timeline leaves the vessel dirty.
            clean.clean_again();
            clean.network.restore_flows(&told.way.flows);
            clean.solve(&case.plan, Tolerance::FULL);
        }
        Self { case, told, clean }
    }
}
