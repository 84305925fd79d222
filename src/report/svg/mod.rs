//! Pictures of a build as SVG: the vessel cut open, the curves, the weeks until it should be opened, and where
//! the pump's head goes. Written by hand, so the same build gives the same bytes everywhere.

pub mod canvas;
pub mod plot;
pub mod plots;
pub mod section;
pub mod text_metrics;

use super::figures::Units;
use crate::assess::Assessment;
use crate::measures::{Measure, Outcome};
use canvas::{Canvas, TITLE, TextAnchor};
pub use canvas::{Embedding, style};

/// Room left free at a picture's edges, px.
const MARGIN: f64 = 20.0;
/// Of a picture with axes, or of a bar.
const WIDTH: f64 = 640.0;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Picture {
    Section,
    Curve,
    Timeline,
    Budget,
    /// Only where there is one; it needs more than a row.
    Log,
}

impl Picture {
    pub const ALL: [Self; 4] = [Self::Section, Self::Curve, Self::Timeline, Self::Budget];

    pub fn word(self) -> &'static str {
        match self {
            Self::Section => "section",
            Self::Curve => "curve",
            Self::Timeline => "timeline",
            Self::Budget => "budget",
            Self::Log => "log",
        }
    }
}

/// What two of them show.
pub const SECTION: &str = "The vessel cut open";
pub const BUDGET: &str = "Where the pump's head goes";

/// The line at the top: whose picture it is, or in a page that says so already, what it shows.
fn heading(what: Picture, row: &Assessment, embedding: Embedding<'_>) -> String {
    let shows = match what {
        Picture::Section => SECTION,
        Picture::Curve => "Pump and system",
        Picture::Timeline => "From one opening to the next",
        Picture::Budget => BUDGET,
        Picture::Log => "The model against the log",
    };
    match embedding {
        Embedding::Alone => row.title(),
        Embedding::Within(_) => shows.to_owned(),
    }
}

/// Writes a picture's heading along its top, in so much room.
fn title(c: &mut Canvas, what: Picture, row: &Assessment, embedding: Embedding<'_>, room: f64) {
    c.text(TITLE, (MARGIN, 36.0), TextAnchor::Left, &TITLE.fit(&heading(what, row, embedding), room));
}

pub fn why_not(row: &Assessment, measure: Measure) -> &'static str {
    match row.outcome(measure) {
        Outcome::Missing(why) => why.words(),
        _ => "it was not worked out",
    }
}

pub fn draw(
    what: Picture,
    row: &Assessment,
    units: Units,
    embedding: Embedding<'_>,
) -> Result<String, &'static str> {
    match what {
        Picture::Section => Ok(section::draw(row, units, embedding)),
        Picture::Curve => plots::curve(row, units, embedding),
        Picture::Timeline => plots::timeline(row, units, embedding),
        Picture::Budget => plots::budget(row, units, embedding),
        Picture::Log => Err("it has no log"),
    }
}
