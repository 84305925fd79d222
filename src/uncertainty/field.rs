//! A field that a figure is written in: what it may plausibly be, how doubtful it is when nobody says, and how it
//! is measured at home. The rows stand in `model::ranges`.

use super::spread::{Provenance, Spread};
use crate::ways;

/// How doubtful a kind of figure is, two standard deviations unless said.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Printed {
    /// ±5 % printed.
    Usual,
    /// ±10 % printed: the flow of a pump.
    PumpFlow,
    /// ±8 % printed: the head of a pump.
    PumpHead,
    /// 2 mm and 2 % printed, 1 mm and 1 % measured.
    Length,
    /// 0.5 mm and 2 % printed, 0.5 mm and 1 % measured: what water runs through.
    Bore,
    /// Gap beside a pad, or of a missing seal: a width that no box prints, cut off at 0.
    EdgeGap,
    /// Gap of a lip or a joint, likewise.
    LipGap,
    /// A factor of 1.5 either way when plain: a medium's surface.
    Surface,
    /// A factor of 1.3 either way when plain: a capture coefficient.
    Capture,
    /// None unless a word says so: money and counts.
    Exact,
}

/// Standard deviation of a measured, printed and guessed figure, relative.
const RELATIVE: [f64; 3] = [0.015, 0.025, 0.2];
/// The same of gaps beside pads and of lips, m: the larger counts.
const EDGE_GAP: [f64; 3] = [0.2e-3, 0.3e-3, 0.6e-3];
const LIP_GAP: [f64; 3] = [0.02e-3, 0.05e-3, 0.15e-3];

impl Printed {
    /// The spread of a figure of that SI value; `said` when a word stood round a printed one.
    pub fn spread(self, known: Provenance, said: bool, si: f64) -> Spread {
        let of = match known {
            Provenance::Measured => 0,
            Provenance::Guessed => 2,
            Provenance::Stated | Provenance::Between | Provenance::Assumed => 1,
        };
        let pick = |of_each: [f64; 3]| of_each.get(of).copied().unwrap_or(0.0);
        let relative = pick(RELATIVE);
        let gap = |least: [f64; 3]| Spread::CutNormal { sd: pick(least).max(relative * si) };
        match self {
            Self::EdgeGap => gap(EDGE_GAP),
            Self::LipGap => gap(LIP_GAP),
            _ if si == 0.0 => Spread::Exact,
            Self::Length if of == 0 => Spread::Normal { sd: f64::midpoint(0.001 / si, 0.01) },
            Self::Length if of == 1 => Spread::Normal { sd: f64::midpoint(0.002 / si, 0.02) },
            Self::Bore if of == 0 => Spread::Normal { sd: f64::midpoint(0.0005 / si, 0.01) },
            Self::Bore if of == 1 => Spread::Normal { sd: f64::midpoint(0.0005 / si, 0.02) },
            Self::PumpFlow if of == 1 => Spread::Normal { sd: 0.05 },
            Self::PumpHead if of == 1 => Spread::Normal { sd: 0.04 },
            Self::Surface if of == 1 && !said => Spread::Factor { factor: 1.5 },
            Self::Capture if of == 1 && !said => Spread::Factor { factor: 1.3 },
            Self::Exact if of == 1 && !said => Spread::Exact,
            _ => Spread::Normal { sd: relative },
        }
    }
}

#[derive(Clone, Copy, Debug)]
pub struct Field {
    /// For messages.
    pub name: &'static str,
    /// The unit of its bounds; empty for a bare number.
    pub unit: &'static str,
    /// Least plausible value.
    pub low: f64,
    /// Greatest plausible value.
    pub high: f64,
    /// Doubt when plain.
    pub printed: Printed,
    /// How it is measured at home; `None` where no tool there can.
    pub measured_by: Option<&'static str>,
}

pub const NONE: Field =
    Field { name: "", unit: "", low: 0.0, high: 0.0, printed: Printed::Exact, measured_by: None };

/// Food that nobody wrote down.
pub const WEIGHED_FEED: Field = Field { measured_by: Some(ways::FOOD), ..NONE };

/// What is said of a figure that no tool at home can tell.
pub const NOT_AT_HOME: &str = "cannot be measured at home: an assumption of the model";
