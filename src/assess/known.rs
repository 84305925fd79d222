//! How much of a build is known: its inputs, counted by how each is.

use crate::model::fields::Field;
use crate::model::filter::{Build, Filter};
use crate::uncertainty::key::{Key, Source};
use crate::uncertainty::uncertain::{Provenance, Spread};

/// Inputs of a filter and one of its builds; several figures of one key are one. What the program takes without
/// doubt where nobody says is no input, nor is what libraries hold or only the box prints.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Known {
    pub measured: usize,
    pub printed: usize,
    /// `between` too.
    pub guessed: usize,
    pub assumed: usize,
}

impl Known {
    pub fn of(filter: &Filter, build: &Build) -> Self {
        let (mut all, mut seen) = (Self::default(), Vec::with_capacity(64));
        let mut take = |key: &Key, known: Provenance, spread: Spread| {
            let untold = (known, spread) == (Provenance::Assumed, Spread::Exact);
            if untold || *key.source() == Source::Library || seen.contains(&key.hash()) {
                return;
            }
            seen.push(key.hash());
            *match known {
                Provenance::Measured => &mut all.measured,
                Provenance::Stated => &mut all.printed,
                Provenance::Guessed | Provenance::Between => &mut all.guessed,
                Provenance::Assumed => &mut all.assumed,
            } += 1;
        };
        filter.pump.each(&mut take);
        filter.hose.each(&mut take);
        filter.intake.each(&mut take);
        filter.return_side.each(&mut take);
        filter.outlet.each(&mut take);
        filter.body.each(&mut take);
        filter.trays.each(&mut take);
        filter.uv.each(&mut take);
        filter.unit.each(&mut take);
        build.each(&mut take);
        all
    }
    /// Share of the inputs that are measured or printed.
    pub fn sure(self) -> f64 {
        let Self { measured, printed, guessed, assumed } = self;
        (measured + printed) as f64 / (measured + printed + guessed + assumed).max(1) as f64
    }
    /// `0 9 2 6`: measured, printed, guessed, assumed.
    pub fn counts(self) -> String {
        let Self { measured, printed, guessed, assumed } = self;
        format!("{measured} {printed} {guessed} {assumed}")
    }
    /// `9 printed, 2 guessed, 6 assumed`: without what there is none of.
    pub fn words(self) -> String {
        let Self { measured, printed, guessed, assumed } = self;
        let of = [(measured, "measured"), (printed, "printed"), (guessed, "guessed"), (assumed, "assumed")];
        let told = of.iter().filter(|(n, _)| *n > 0).map(|(n, how)| format!("{n} {how}"));
        told.collect::<Vec<_>>().join(", ")
    }
}
