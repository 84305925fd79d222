//! What a bucket test says of an impeller, as a page with the lines to paste into the profile.

use super::figures::{self, Units};
use super::{Page, sources};

#[derive(Clone, Debug, PartialEq)]
pub struct Worn {
    pub filter: String,
    pub litres: f64,
    pub seconds: f64,
    /// Intake and return hose used, m, and bends in each.
    pub hoses: (f64, f64, f64),
    pub share: f64,
    /// 5th and 95th percentile of it.
    pub band: Option<(f64, f64)>,
    pub samples: usize,
    /// At an end of what a test may say: the figures do not belong together.
    pub beyond: bool,
}

/// The least and the most that a profile takes for an impeller's share.
const TAKEN: (f64, f64) = (0.05, 1.0);

pub fn page(worn: &Worn, units: Units) -> Page {
    let mut page = Page::default();
    let ran = worn.litres / worn.seconds * 3600.0;
    page.heading(format!("{}: bucket test", worn.filter));
    let said = match worn.band {
        Some((low, high)) => {
            format!("{} ({}–{})", figures::share(worn.share), figures::share(low), figures::share(high))
        }
        None => figures::share(worn.share),
    };
    page.paragraph(format!(
        "{} in {} s is {}. Against this pump's curve, hoses, fittings and outlet the impeller gives {said} of a new one's flow.",
        figures::volume(worn.litres, units),
        sources::plain(worn.seconds),
        figures::flow(ran, units),
    ));
    let (intake, return_side, bends) = worn.hoses;
    page.list(vec![
        format!(
            "taken for the test: {} m of intake hose, {} m of return hose, {} bends in each; if it was made with other hoses, say so with --intake, --return and --bends",
            sources::plain(intake), sources::plain(return_side), sources::plain(bends)
        ),
        "it holds for a vessel without media, its seals in place, and both hose ends level: dirt would read as wear".to_owned(),
        match worn.samples {
            0 => "no cases were simulated (0 samples)".to_owned(),
            n => format!("in brackets: 5th to 95th percentile of {n} simulated cases; most of the uncertainty is that of the printed curve"),
        },
    ]);
    if worn.beyond {
        page.paragraph("The figures do not belong together: no share of this pump gives such a flow. Check litres, seconds, hoses and the printed curve.");
        return page;
    }
    if worn.share > 1.0 {
        page.paragraph("It runs better than printed: the printed figures are cautious, or the test is off. The bucket line keeps the share above 1; an `impeller` line cannot.");
    }
    page.paragraph(
        "Into the `unit` block goes one of these lines, not both; the first keeps the test itself:",
    );
    let plain = |x: f64| if x.fract() == 0.0 { format!("{x:.1}") } else { format!("{x}") };
    let mut lines = vec![format!(
        "bucket: Bucket(volume: measured(l({})), time: measured(s({})), intake: measured(m({})), return: measured(m({})), bends: {}),",
        plain(worn.litres),
        plain(worn.seconds),
        plain(intake),
        plain(return_side),
        plain(bends)
    )];
    if let Some((low, high)) = worn.band {
        let within = |x: f64| x.clamp(TAKEN.0, TAKEN.1);
        lines.push(format!("impeller: between({:.3}, {:.3}),", within(low), within(high)));
    }
    page.list(lines);
    page.paragraph(
        "Unplug before you open the vessel or move a hose; keep plug and socket away from the bucket.",
    );
    page
}
