//! Why a measure of two builds differs: its difference shared out over the groups that do.

use super::Why;
use super::shapley::{Untold, why};
use super::swap::Pair;
use crate::assess::figures::{Figures, figures};
use crate::assess::{Case, Effort};
use crate::measures::{Measure, Missing};
use crate::model::{Build, Filter, Tank};
use crate::uncertainty::Centre;

#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoReasons {
    First(Missing),
    Second(Missing),
    /// Both have one, but not with these groups taken from the second.
    Between(String),
    /// The measure tells of many draws together, and reasons are nominal.
    NotNominal,
}

impl NoReasons {
    pub fn words(&self) -> String {
        match self {
            Self::First(why) => format!("the first cannot be told: {}", why.words()),
            Self::Second(why) => format!("the second cannot be told: {}", why.words()),
            Self::Between(groups) => {
                format!("the first with {groups} of the second cannot be told")
            }
            Self::NotNominal => "it counts simulated cases, and has no one figure to share out".to_owned(),
        }
    }
}

/// The value of one measure at the mean of what is believed, nominal without a log.
pub fn nominal(
    filter: &Filter,
    build: &Build,
    tank: Option<&Tank>,
    measure: Measure,
    centre: &Centre,
) -> Result<f64, Missing> {
    let case = Case::new(filter, build, tank);
    let told: Figures<f64> = figures(&case, centre, Effort::FULL);
    let value = told.get(measure)?;
    let solved = told.solved || !measure.needs_flow();
    if solved && value.is_finite() { Ok(value) } else { Err(Missing::NotSolved) }
}

/// Shares the difference in a measure out over what differs between two builds (Shapley shares of the nominal
/// model, all subsets run); they add to the difference.
pub fn reasons(
    a: (&Filter, &Build),
    b: (&Filter, &Build),
    tank: Option<&Tank>,
    measure: Measure,
    centre: &Centre,
) -> Result<Why, NoReasons> {
    if measure == Measure::BypassChance {
        return Err(NoReasons::NotNominal);
    }
    nominal(a.0, a.1, tank, measure, centre).map_err(NoReasons::First)?;
    nominal(b.0, b.1, tank, measure, centre).map_err(NoReasons::Second)?;
    let pair = Pair::new(a, b, tank);
    let groups = pair.groups();
    why(groups.clone(), |bits| {
        let (filter, build) = pair.hybrid(bits);
        nominal(&filter, &build, tank, measure, centre).unwrap_or(f64::NAN)
    })
    .map_err(|untold| {
        let Untold::NoFigure(bits) = untold else { return NoReasons::NotNominal };
        let labels: Vec<String> =
            groups.iter().filter(|g| g.bits & bits != 0).map(super::shapley::Group::label).collect();
        NoReasons::Between(labels.join(", "))
    })
}
