//! Whatever stands behind the figures, entry by entry: constants, words of doubt, media and fittings, each with
//! who stands behind it and where it comes from. The Sources screen and `cansift sources` show these.

use super::figures::{self, Units};
use super::sources::{plain, spread};
use crate::assumptions::{A, Kind};
use crate::model::hoses::{Fitting, Outlet};
use crate::model::hoses::{NamedFitting, Part};
use crate::model::medium::{Bed, Medium};
use crate::uncertainty::field::Printed;
use crate::uncertainty::uncertain::{Provenance, Spread, Uncertain};
use crate::units::Length;

/// One thing behind the figures.
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
    /// Where it comes from.
    pub source: String,
}

pub fn constant(which: A) -> Entry {
    let row = which.entry();
    Entry {
        key: row.key.to_owned(),
        what: row.what.to_owned(),
        value: format!("{} {}", plain(row.value), row.unit).trim_end().to_owned(),
        spread: spread(row.spread),
        short: short(row.spread),
        kind: row.kind,
        checked: row.checked.words(),
        source: row.source.to_owned(),
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

/// Stands above the words of doubt.
pub const WORDS_HEAD: &str = "How sure a figure in a file is";

/// How doubtful a figure in a file is by the word it stands in.
pub fn words() -> Vec<Entry> {
    let word = |key: &str, what: &str, of: Spread| Entry {
        key: key.to_owned(),
        what: what.to_owned(),
        value: spread(of),
        spread: String::new(),
        short: String::new(),
        kind: Kind::Ours,
        checked: "our own",
        source: "ours: what a bucket, a box or an eye is good for".to_owned(),
    };
    let usual = |known| Printed::Usual.spread(known, true, 1.0);
    let mut out = vec![
        word(
            "measured",
            "a figure in measured(…): read off a bucket, a ruler, a meter",
            usual(Provenance::Measured),
        ),
        word(
            "stated",
            "a figure without a word, or in stated(…): printed on the box",
            usual(Provenance::Stated),
        ),
        word(
            "stated flow",
            "a pump's flow, printed",
            Printed::PumpFlow.spread(Provenance::Stated, false, 1.0),
        ),
        word(
            "stated head",
            "a pump's head, printed",
            Printed::PumpHead.spread(Provenance::Stated, false, 1.0),
        ),
        word(
            "guessed",
            "a figure in guessed(…): eyeballed, remembered, from a photo",
            usual(Provenance::Guessed),
        ),
    ];
    for entry in out.iter_mut().filter(|e| e.key.starts_with("stated ")) {
        "after the tolerances of ISO 9906:2012 for small pumps, numbers second-hand"
            .clone_into(&mut entry.source);
    }
    out.push(Entry {
        value: "anywhere between the two".to_owned(),
        source: "ours: nothing is known but the ends".to_owned(),
        ..word("between", "a figure in between(…, …)", Spread::Exact)
    });
    out
}

pub fn medium(medium: &Medium, units: Units) -> Entry {
    Entry {
        key: medium.id.clone(),
        what: medium.name.clone(),
        value: format!("{}: {}", medium.role.called(), bed(&medium.bed, units)),
        spread: String::new(),
        short: String::new(),
        kind: medium.kind,
        checked: "",
        source: medium.source.clone(),
    }
}

/// A fitting that files may call by its id.
pub fn fitting(fitting: &NamedFitting, units: Units) -> Entry {
    Entry {
        key: fitting.id.clone(),
        what: fitting.name.clone(),
        value: part(&fitting.part, units),
        spread: String::new(),
        short: String::new(),
        kind: fitting.kind,
        checked: "",
        source: fitting.source.clone(),
    }
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
