//! Results on their way out: pages for people, CSV and JSON for programs. Every string of a file passes
//! `escape` here.

// Texts of a few kilobytes: a plain push reads better than a `write!` whose result means nothing.
#![allow(clippy::format_push_string, clippy::format_collect)]

pub mod answer;
pub mod bbcode;
pub mod builds;
pub mod catalogue;
pub mod cautions;
pub mod cells;
pub mod csv;
pub mod differences;
pub mod escape;
pub mod explained;
pub mod fields;
pub mod figures;
pub mod helps;
pub mod html;
pub mod json;
pub mod markdown;
pub mod overview;
pub mod page;
pub mod ranking;
pub mod reasons;
pub mod restack;
pub mod sources;
pub mod spans;
pub mod standing_lines;
pub mod svg;
pub mod tank;
pub mod text;
pub mod wear;
pub mod wording;

use schemars::JsonSchema;
use serde::Serialize;

use crate::assess::Assessment;
use crate::measures::Measure;
use crate::profile::Problem;

/// What a set of builds came to, ready to be written in any format.
#[derive(Clone, Debug, Default)]
pub struct Sheet {
    /// One row a build, in the order to show.
    pub rows: Vec<Assessment>,
    pub broken: Vec<BadFile>,
    /// The tank's name.
    pub tank: Option<String>,
    /// Name of the money.
    pub currency: String,
    pub seed: u64,
}

/// A file that could not be used.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BadFile {
    pub file: String,
    pub problems: Vec<BadSpot>,
}

/// One problem, its place counted from 1.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BadSpot {
    #[schemars(range(min = 1))]
    pub line: usize,
    #[schemars(range(min = 1))]
    pub column: usize,
    pub message: String,
    /// What to do.
    pub help: Option<String>,
}

impl From<&Problem> for BadSpot {
    fn from(problem: &Problem) -> Self {
        let Problem { line, column, message, help, .. } = problem;
        Self { line: *line, column: *column, message: message.clone(), help: help.clone() }
    }
}

impl Sheet {
    /// Draws behind the doubt; 0 while none was worked out.
    pub fn samples(&self) -> usize {
        self.rows.iter().filter_map(|r| r.simulated.as_ref()).map(|s| s.count).max().unwrap_or(0)
    }
    /// Sorts by a measure, small to large or the other way. What cannot be told stands last either way;
    /// equal ones keep their order.
    pub fn sort(&mut self, by: Measure, down: bool) {
        self.rows.sort_by(|a, b| match (a.outcome(by).number(), b.outcome(by).number()) {
            (Some(x), Some(y)) if down => y.total_cmp(&x),
            (Some(x), Some(y)) => x.total_cmp(&y),
            (None, Some(_)) => std::cmp::Ordering::Greater,
            (Some(_), None) => std::cmp::Ordering::Less,
            (None, None) => std::cmp::Ordering::Equal,
        });
    }
}

/// Rounded to six significant digits, so that the same run gives the same bytes on every machine; none
/// unless it is finite.
pub fn six_digits(x: f64) -> Option<f64> {
    let rounded: f64 = format!("{x:.5e}").parse().ok()?;
    // Adding zero turns -0 into 0.
    rounded.is_finite().then_some(rounded + 0.0)
}

#[cfg(test)]
pub mod samples {
    //! Judgements made up for the tests of the writers.
    use super::*;
    use crate::assess::assessment::{Fault, HeadPart, Leak, Place, Rule, Section, Slab, Space};
    use crate::assess::monte_carlo::Simulated;
    use crate::measures::{Missing, Outcome};
    use crate::model::filter::Way;
    use crate::model::medium::Role;
    use crate::uncertainty::summary::Band;

    /// Simulated cases of which only these bands are known.
    pub fn simulated(bands: &[(Measure, f64, f64)]) -> Simulated {
        let mut out = Simulated::empty(512, Vec::new());
        for &(measure, low, high) in bands {
            out.set_band(measure, Some(Band { low, median: f64::midpoint(low, high), high }));
        }
        out
    }

    /// A row with a few figures set.
    pub fn row(filter: &str, build: &str, flow: Option<f64>) -> Assessment {
        let slab = Slab {
            id: "foam-20".to_owned(),
            name: "medium foam, 20 PPI".to_owned(),
            role: Role::Medium,
            height_mm: 40.0,
            slack_mm: 3.0,
            hole_mm: None,
            share: Some(0.5),
            litres: 1.0,
            kilograms: 0.03,
            pad: true,
        };
        let space = Space {
            height_mm: 80.0,
            outline: "dee",
            from_above: Vec::new(),
            box_mm: Some((185.0, 160.0)),
            fills_box: Some(0.9),
            layers: vec![slab],
            seal: None,
            excess_mm: 0.0,
        };
        let section = Section {
            way: Way::Rising,
            tube_mm: None,
            floor: None,
            trays: vec![space],
            head_mm: None,
            uv: false,
        };
        let mut judgement = Assessment::empty(section, Missing::NoTank);
        judgement.set(Measure::Flow, flow.map_or(Outcome::Missing(Missing::NoPumpCurve), Outcome::Value));
        judgement.set(Measure::Bypass, Outcome::Value(0.054_321_987));
        judgement.set(Measure::FitsCabinet, Outcome::Flag(true));
        judgement.set(Measure::BypassChance, Outcome::Missing(Missing::NoSamples));
        judgement.set(Measure::UvDose, Outcome::Missing(Missing::LampBurntOut));
        judgement.stages = vec![Role::Medium];
        judgement.faults = vec![Fault {
            rule: Rule::EmptyTray,
            at: "tray 2".to_owned(),
            says: "water mixes there".to_owned(),
            costs: crate::message::Message::default(),
        }];
        judgement.head_budget = vec![HeadPart { part: "hose".to_owned(), m: 0.31, share: 0.35 }];
        judgement.leaks = vec![Leak {
            at: "tray 1 seal".to_owned(),
            place: Place::Seal { tray: 0 },
            share: 0.09,
            share_at_service: None,
        }];
        judgement.file = format!("{filter}.ron");
        (judgement.filter, judgement.build) = (filter.to_owned(), build.to_owned());
        judgement
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_cannot_be_told_sorts_last_both_ways() {
        let mut sheet = Sheet::default();
        for (name, flow) in
            [("a", None), ("b", Some(2.0)), ("c", Some(f64::NAN)), ("d", Some(1.0)), ("e", Some(2.0))]
        {
            sheet.rows.push(samples::row(name, "x", flow));
        }
        let order = |s: &Sheet| s.rows.iter().map(|r| r.filter.clone()).collect::<String>();
        sheet.sort(Measure::Flow, false);
        assert_eq!(order(&sheet), "dbeac");
        sheet.sort(Measure::Flow, true);
        assert_eq!(order(&sheet), "bedac");
    }

    #[test]
    fn six_digits_and_no_more() {
        assert_eq!(six_digits(612.345_678_9), Some(612.346));
        assert_eq!(six_digits(1.234_567_8e-7), Some(1.234_57e-7));
        assert_eq!(six_digits(f64::NAN), None);
        assert_eq!(six_digits(f64::NEG_INFINITY), None);
        assert!(six_digits(-0.0).unwrap().is_sign_positive());
    }
}
