//! A case with everything that its explanations read.

use crate::assess::case::Case;
use crate::assess::figures::{Effort, Figures, figures};
use crate::hydraulics::network::Tolerance;
use crate::hydraulics::vessel::Vessel;
use crate::uncertainty::uncertain::Nominal;

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
