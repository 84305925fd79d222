//! Media: what water, dirt and bacteria see of them.

use crate::assumptions::{A, Kind};
use crate::uncertainty::uncertain::Uncertain;
use crate::units::{AreaPerVolume, BulkDensity, Length, Plain, Time};

/// A filter medium.
#[derive(Clone, Debug, PartialEq)]
pub struct Medium {
    /// Short name in files.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// What it is for.
    pub role: Role,
    /// What water sees.
    pub bed: Bed,
    /// Dry mass per volume of bed.
    pub dry: Uncertain<BulkDensity>,
    /// Surface accessible to a biofilm per volume of bed; none for chemical media.
    pub surface: Option<Uncertain<AreaPerVolume>>,
    /// Open pore share of the grain itself, 0 to below 1.
    pub inner: Uncertain<Plain>,
    /// Capture coefficient, 1/m.
    pub capture: Uncertain<Plain>,
    /// How long it lasts in use.
    pub life: Option<Uncertain<Time>>,
    /// Price per litre of bed.
    pub price: Option<Uncertain<Plain>>,
    /// Harmful or useless in salt water.
    pub freshwater_only: bool,
    /// May float.
    pub floats: bool,
    /// Where its figures come from.
    pub source: String,
    /// Who stands behind them.
    pub kind: Kind,
}

impl Medium {
    /// Grains with enough open pores to count as porous.
    pub fn is_porous(&self) -> bool {
        self.inner.si() >= A::PorousFrom.entry().value
    }
    /// Foam or fibre: cut to size, squeezable, may leave slack.
    pub fn is_pad(&self) -> bool {
        matches!(self.bed, Bed::Foam { .. } | Bed::Fibre { .. })
    }
}

/// What a medium is for, in the order of a good stack (polishing last).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    /// Lets dirt settle.
    Settlement,
    /// Coarse mechanical.
    Coarse,
    /// Medium mechanical.
    Medium,
    /// Fine mechanical.
    Fine,
    /// Houses bacteria.
    Biological,
    /// Binds or releases substances.
    Chemical,
    /// Finest mechanical.
    Polishing,
}

impl Role {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::Settlement,
        Self::Coarse,
        Self::Medium,
        Self::Fine,
        Self::Biological,
        Self::Chemical,
        Self::Polishing,
    ];
    /// The word in files and on screen.
    pub fn word(self) -> &'static str {
        match self {
            Self::Settlement => "settlement",
            Self::Coarse => "coarse",
            Self::Medium => "medium",
            Self::Fine => "fine",
            Self::Polishing => "polishing",
            Self::Biological => "biological",
            Self::Chemical => "chemical",
        }
    }
    /// The letter in drawings.
    pub fn letter(self) -> char {
        match self {
            Self::Settlement => 'S',
            Self::Coarse => 'C',
            Self::Medium => 'M',
            Self::Fine => 'F',
            Self::Polishing => 'P',
            Self::Biological => 'B',
            Self::Chemical => 'K',
        }
    }
    /// Fineness of a mechanical role: coarse 1 to polishing 4; none for the others.
    pub fn fineness(self) -> Option<u8> {
        match self {
            Self::Coarse => Some(1),
            Self::Medium => Some(2),
            Self::Fine => Some(3),
            Self::Polishing => Some(4),
            Self::Settlement | Self::Biological | Self::Chemical => None,
        }
    }
}

/// What water sees of a medium.
#[derive(Clone, Debug, PartialEq)]
pub enum Bed {
    /// Open-cell foam.
    Foam {
        /// Pores per inch, above 0.
        ppi: Uncertain<Plain>,
        /// Void share, above 0 to below 1.
        void: Uncertain<Plain>,
    },
    /// Floss and mats.
    Fibre {
        /// Fibre diameter, above 0.
        diameter: Uncertain<Length>,
        /// Solid share, above 0 to below 1.
        solidity: Uncertain<Plain>,
    },
    /// Grains and lumps.
    Pieces {
        /// Diameter of the sphere of equal volume, above 0.
        size: Uncertain<Length>,
        /// Void share between pieces, above 0 to below 1.
        void: Uncertain<Plain>,
        /// Sphericity, above 0 to 1.
        sphericity: Uncertain<Plain>,
    },
    /// Hollow rings.
    Rings {
        /// Outside diameter.
        outer: Uncertain<Length>,
        /// Bore, below the outside diameter.
        inner: Uncertain<Length>,
        /// Length.
        length: Uncertain<Length>,
        /// Void share, bores counted.
        void: Uncertain<Plain>,
    },
}
