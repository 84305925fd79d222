//! Every constant and assumption, media and fittings, the cautions, and what the model leaves out, as a page.

use super::figures::{self, Units};
use super::page::List;
use super::{Column, Page, Table};
use crate::assumptions::{A, Assumption, Kind, TABLE};
use crate::library::Library;
use crate::model::Medium;
use crate::model::hoses::{Fitting, NamedFitting, Outlet, Part};
use crate::model::medium::Bed;
use crate::uncertainty::{Printed, Provenance, Spread, Uncertain};
use crate::units::{Length, Quantity};

pub fn page() -> Page {
    let mut page = Page::default();
    page.paragraph(
        "Every constant and assumption behind the figures. A spread is two standard deviations to either side; \"checked\" says whether the source was read or written down from memory.",
    );
    page.blocks.extend(behind_the_figures().blocks);
    page.listed("Cautions", List::Lines, CAUTIONS.map(str::to_owned).to_vec());
    page.listed(LEFT_OUT_HEAD, List::Lines, LEFT_OUT.map(str::to_owned).to_vec());
    page
}

/// Constants and assumptions, words of doubt, media and fittings.
pub fn behind_the_figures() -> Page {
    let mut page = Page::default();
    for (kind, title) in [
        (Kind::Published, "Published"),
        (Kind::Practice, "Common practice, no source"),
        (Kind::Ours, "Our own choice"),
    ] {
        page.heading(title);
        page.table(constants(TABLE.iter().filter(|row| row.kind == kind)));
    }
    let library = Library::shipped();
    let media = library.media().map(|m| medium(m, Units::Metric)).collect();
    let fittings = library.fittings().map(|f| fitting(f, Units::Metric)).collect();
    for (title, head, value, of) in [
        (WORDS_HEAD, "written", "spread", words()),
        ("Media that ship", "medium", "role and bed", media),
        ("Fittings that ship", "fitting", "what water sees", fittings),
    ] {
        page.heading(title);
        page.table(entries(of, head, value));
    }
    page
}

fn entries(of: Vec<Entry>, head: &str, value: &str) -> Table {
    let mut columns = vec![Column::words(head)];
    columns.extend(["what", value, "kind", "source"].map(Column::prose));
    Table::new(
        columns,
        of.into_iter().map(|e| vec![e.key, e.what, e.value, e.kind.word().to_owned(), e.source]),
    )
}

fn constants<'a>(rows: impl Iterator<Item = &'a Assumption>) -> Table {
    let columns = vec![
        Column::prose("constant"),
        Column::figures("value", ""),
        Column::words("unit"),
        Column::prose("spread"),
        Column::words("checked"),
        Column::prose("source"),
    ];
    let row = |row: &Assumption| {
        let (checked, source) = (row.checked.words().to_owned(), row.source.to_owned());
        vec![row.what.to_owned(), plain(row.value), row.unit.to_owned(), spread(row.spread), checked, source]
    };
    Table::new(columns, rows.map(row))
}

pub fn spread(spread: Spread) -> String {
    match spread {
        Spread::Exact => "none".to_owned(),
        Spread::Normal { sd } => format!("{} % either way", plain(sd * 200.0)),
        Spread::Factor { factor } => format!("×/÷ {}", plain(factor)),
        // As far up as down about 1: a factor.
        Spread::TriangularLog { low, high } if (low * high - 1.0).abs() < 1e-12 => {
            format!("×/÷ {}", plain(high))
        }
        Spread::Uniform { low, high } => format!("anywhere from {} to {}", plain(low), plain(high)),
        // Gaps alone are drawn so: their unit is a metre.
        Spread::CutNormal { sd } => format!("sd {} mm, cut off at 0", plain(sd * 1e3)),
        Spread::TriangularLog { low, high } | Spread::Triangular { low, high } => {
            format!("{} to {}, this most likely", plain(low), plain(high))
        }
    }
}

/// The spread of a file's figure in words, where it is relative; bounds of a range are in SI and left out.
pub fn spread_relative<Q: Quantity>(figure: &Uncertain<Q>) -> Option<String> {
    match figure.spread {
        Spread::Normal { .. } | Spread::Factor { .. } | Spread::CutNormal { .. } => {
            Some(spread(figure.spread))
        }
        Spread::Exact | Spread::Uniform { .. } | Spread::TriangularLog { .. } | Spread::Triangular { .. } => {
            None
        }
    }
}

/// A number as it stands in a table or file, without the tail of binary rounding.
pub fn plain(x: f64) -> String {
    let x = super::six_digits(x).unwrap_or(x);
    if x != 0.0 && x.abs() < 1e-3 { format!("{x:e}") } else { x.to_string() }
}

/// What everyone who opens a filter should know, the most dangerous first.
pub const CAUTIONS: [&str; 9] = [
    "Unplug the filter, and everything else in the water, before you open it or put a hand in.",
    "Give every cable a drip loop, and run the tank from a socket with a residual current device. Repairs to mains parts are for a qualified electrician; local electrical rules come first.",
    "Never look at a lit UV-C lamp: it burns eyes and skin. Unplug it before the chamber is opened.",
    "A UV lamp holds mercury. Air the room if one breaks, do not vacuum, and hand it in as hazardous waste.",
    "A full canister is heavy: see its full weight before you lift it, and carry it level.",
    "A leak empties a tank onto a floor: close the taps first, check the seals, and watch it for an hour after every opening.",
    "Do not clean or replace all biological media at once: the livestock depends on what lives in it.",
    "Every figure is an estimate, and no licence to overstock. Test the water.",
    "The maker's instructions come before anything said here.",
];

pub const LEFT_OUT_HEAD: &str = "What the model leaves out";
/// What the model leaves out, so that nobody reads a figure for more than it is.
pub const LEFT_OUT: [&str; 12] = [
    "Cabinet height does not load the pump: both hose ends are under the same water, so the static head is zero. Only an outlet held above the surface costs head.",
    "Water spreads evenly over each layer; channels inside a bed, and media that settle or collapse with age, are not told.",
    "How dirt makes media resist was measured elsewhere, on other dirt: times between openings are known to a factor of two, until your own log says more.",
    "Dirt in the impeller's well and on the impeller: the pump is as the file says. Clean it before you believe a flow.",
    "Air in the vessel, priming, noise and vibration.",
    "Leaks to the outside, and whether the unit is electrically safe.",
    "Bacteria are taken as settled in: a new or freshly cleaned filter carries far less for its first weeks.",
    "Gravel, glass and wood nitrify too: they count only where a figure says that it is with the tank. Plants count for nitrate alone.",
    "What chemical media bind: only their place, volume, mass and price are.",
    "Sea water is computed as fresh water, and says so.",
    "Medicines, pH swings, the toxicity of what is left, and the needs of any one animal.",
    "The rule of thumb of tank size by kilograms of porous media is common practice, no source; the physics here confirms such media as nitrifiers, not that they remove all nitrate.",
];

#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Its short name: the key of a constant, the id of a medium.
    pub key: String,
    pub what: String,
    pub value: String,
    /// How doubtful it is; empty where that is told with the value or the source.
    pub spread: String,
    /// The same in few letters; empty where there is no doubt.
    pub short: String,
    pub kind: Kind,
    /// How far that was checked; empty where nobody says.
    pub checked: &'static str,
    pub source: String,
}

impl Entry {
    fn of(key: &str, what: &str, kind: Kind, source: &str) -> Self {
        let [key, what, source] = [key, what, source].map(str::to_owned);
        let (value, spread, short) = Default::default();
        Self { key, what, value, spread, short, kind, checked: "", source }
    }
}

pub fn constant(which: A) -> Entry {
    let row = which.entry();
    Entry {
        value: format!("{} {}", plain(row.value), row.unit).trim_end().to_owned(),
        spread: spread(row.spread),
        short: short(row.spread),
        checked: row.checked.words(),
        ..Entry::of(row.key, row.what, row.kind, row.source)
    }
}

fn short(of: Spread) -> String {
    match of {
        Spread::Exact => String::new(),
        Spread::Uniform { low, high }
        | Spread::TriangularLog { low, high }
        | Spread::Triangular { low, high } => {
            format!("{} to {}", plain(low), plain(high))
        }
        Spread::Normal { .. } | Spread::Factor { .. } | Spread::CutNormal { .. } => spread(of),
    }
}

pub const WORDS_HEAD: &str = "How sure a figure in a file is";

/// How doubtful a figure in a file is by the word it stands in.
pub fn words() -> Vec<Entry> {
    const OURS: &str = "ours: what a bucket, a box or an eye is good for";
    const PUMPS: &str = "after the tolerances of ISO 9906:2012 for small pumps, numbers second-hand";
    let usual = |known| spread(Printed::Usual.spread(known, true, 1.0));
    let stated = |of: Printed| spread(of.spread(Provenance::Stated, false, 1.0));
    [
        (
            "measured",
            "a figure in measured(…): read off a bucket, a ruler, a meter",
            usual(Provenance::Measured),
            OURS,
        ),
        (
            "stated",
            "a figure without a word, or in stated(…): printed on the box",
            usual(Provenance::Stated),
            OURS,
        ),
        ("stated flow", "a pump's flow, printed", stated(Printed::PumpFlow), PUMPS),
        ("stated head", "a pump's head, printed", stated(Printed::PumpHead), PUMPS),
        (
            "guessed",
            "a figure in guessed(…): eyeballed, remembered, from a photo",
            usual(Provenance::Guessed),
            OURS,
        ),
        (
            "between",
            "a figure in between(…, …)",
            "anywhere between the two".into(),
            "ours: nothing is known but the ends",
        ),
    ]
    .map(|(key, what, value, source)| {
        let checked = "our own";
        Entry { value, checked, ..Entry::of(key, what, Kind::Ours, source) }
    })
    .to_vec()
}

pub fn medium(medium: &Medium, units: Units) -> Entry {
    let value = format!("{}: {}", medium.role.called(), bed(&medium.bed, units));
    Entry { value, ..Entry::of(&medium.id, &medium.name, medium.kind, &medium.source) }
}

/// A fitting that files may call by its id.
pub fn fitting(fitting: &NamedFitting, units: Units) -> Entry {
    let value = part(&fitting.part, units);
    Entry { value, ..Entry::of(&fitting.id, &fitting.name, fitting.kind, &fitting.source) }
}

/// A length to the tenth of a millimetre and less where it is given so: half a millimetre of bore counts.
fn length(of: &Uncertain<Length>, units: Units) -> String {
    match units {
        Units::Metric | Units::Uk => format!("{} mm", plain(of.si() * 1e3)),
        Units::Us => figures::length(of.si() * 1e3, units),
    }
}

/// `foam 20 PPI, void 0.97`.
pub fn bed(bed: &Bed, units: Units) -> String {
    let mm = |figure: &Uncertain<Length>| length(figure, units);
    match bed {
        Bed::Foam { ppi, void } => format!("foam {} PPI, void {}", plain(ppi.si()), plain(void.si())),
        Bed::Fibre { diameter, solidity } => {
            format!("fibre {} µm, solid {}", plain(diameter.si() * 1e6), plain(solidity.si()))
        }
        Bed::Pieces { size, void, sphericity } => {
            format!("pieces {}, void {}, sphericity {}", mm(size), plain(void.si()), plain(sphericity.si()))
        }
        Bed::Rings { outer, inner, length, void } => format!(
            "rings {} outside, {} bore, {} long, void {}",
            mm(outer),
            mm(inner),
            mm(length),
            plain(void.si())
        ),
    }
}

/// `tap, bore 12.5 mm, 30 mm long`.
fn part(part: &Part, units: Units) -> String {
    let mm = |figure: &Uncertain<Length>| length(figure, units);
    match part {
        Part::Fitting(Fitting::Strainer { diameter, length, open }) => {
            format!("strainer {} by {}, open {}", mm(diameter), mm(length), plain(open.si()))
        }
        Part::Fitting(Fitting::Connector { bore, length }) => {
            format!("connector, bore {}, {} long", mm(bore), mm(length))
        }
        Part::Fitting(Fitting::Tap { bore, length }) => {
            format!("tap, bore {}, {} long", mm(bore), mm(length))
        }
        Part::Fitting(Fitting::Elbow { count }) => format!("moulded elbows: {}", plain(count.si())),
        Part::Outlet(Outlet::Open) => "open hose end".to_owned(),
        Part::Outlet(Outlet::Jet { bore }) => format!("jet, bore {}", mm(bore)),
        Part::Outlet(Outlet::SprayBar { bore, holes, hole, pitch }) => {
            format!("spray bar, bore {}, {holes} holes of {}, {} apart", mm(bore), mm(hole), mm(pitch))
        }
    }
}
