//! The one table of constants and assumptions: key, value, unit, spread, source, kind.
//!
//! The Sources screen, `cansift sources`, `explain` and the docs all print from it. Laws whose
//! coefficients are part of a published formula (Kell, Churchill, Ergun ...) name it here too, as far as
//! a factor of doubt goes; their own digits stand beside the formula.

use std::sync::LazyLock;

use crate::doubt::figure::Spread;
use crate::doubt::key::Key;

/// Who stands behind a figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A published formula or figure.
    Published,
    /// Common practice, no source.
    Practice,
    /// The program's own choice.
    Ours,
}

impl Kind {
    /// One or two words for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Published => "published",
            Self::Practice => "common practice",
            Self::Ours => "ours",
        }
    }
}

/// How far the source was checked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Checked {
    /// Against a reference library or a readable source.
    Read,
    /// Written from memory of the named source.
    Memory,
    /// Nothing to check: our own.
    Own,
}

impl Checked {
    /// A few words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Read => "checked",
            Self::Memory => "from memory",
            Self::Own => "our own",
        }
    }
}

/// One constant or assumption.
#[derive(Clone, Debug)]
pub struct Assumption {
    /// Name of its doubt, and its place in lists.
    pub key: &'static str,
    /// Nominal value in `unit`.
    pub value: f64,
    /// Unit, empty for a plain ratio.
    pub unit: &'static str,
    /// How it spreads over the draws.
    pub spread: Spread,
    /// Who stands behind it.
    pub kind: Kind,
    /// How far that was checked.
    pub checked: Checked,
    /// What it is.
    pub what: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}

/// Which assumption.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[repr(usize)]
pub enum A {
    /// Standard gravity, m/s2.
    Gravity,
    /// Wall roughness of a smooth plastic hose, m.
    Roughness,
    /// Times the loss of a ribbed bore.
    RibbedFactor,
    /// Times the loss of a bend.
    BendFactor,
    /// Radius of a bend of the hose, in bores, bores.
    HoseBendRadius,
    /// Radius of a moulded elbow, in bores, bores.
    ElbowRadius,
    /// Entrance to the suction hose, in velocity heads.
    Entrance,
    /// Length of the narrow part of a tap or connector when none is given, m.
    FittingLength,
    /// Discharge coefficient of a spray bar's holes.
    HoleDischarge,
    /// Share of momentum recovered along a spray bar.
    MomentumRecovery,
    /// Loss of a nozzle, in velocity heads of its own bore.
    JetFactor,
    /// Loss of a strainer, in velocity heads in its open area.
    StrainerFactor,
    /// Shape of a pump curve known only by its ends.
    PumpExponent,
    /// Times the resistance of pieces, rings and spheres.
    GrainFactor,
    /// Times the resistance of foam.
    FoamFactor,
    /// Times the resistance of floss and mats.
    FibreFactor,
    /// Hole diameter of a tray's grid, m.
    GridHole,
    /// Thickness of a tray's grid, m.
    GridPlate,
    /// Length of a seal's gap along the water, also of a joint, m.
    SealLength,
    /// Length of the gap where the seal is missing, m.
    MissingSealLength,
    /// Share of the water at the rim of a pad that stays at the rim of the next one it touches, share.
    CarryOver,
    /// Dry solids that reach the filter per gram of food, g/g.
    SolidsPerFeed,
    /// Times every capture coefficient.
    CaptureFactor,
    /// Share of the dirt that an empty settlement space takes in one pass, share.
    SettledShare,
    /// Decay of caught dirt in place, 1/day.
    DirtDecay,
    /// Dry solids in a millilitre of wet sludge, g/ml.
    SludgeDensity,
    /// Depth of a fine face that blinds when it stands first, m.
    BlindDepth,
    /// Share of a pad's depth left under an egg-crate face, share.
    DimpledShare,
    /// Worked flow over clean worked flow at which to open, share.
    OpenAtFlow,
    /// Share of a layer's voids full at which to open, share.
    OpenAtVoids,
    /// Ammonia nitrogen per gram of protein fed, g N/g.
    TanPerProtein,
    /// Nitrogen that ends as nitrate per gram of protein fed, g N/g.
    NitratePerProtein,
    /// Greatest nitrifying rate of a surface at 20 °C, g N/m2/day.
    NitrifyingRate,
    /// Ammonia nitrogen at half that rate, mg/l.
    NitrifyingHalf,
    /// Growth of the rate with each degree, per °C.
    NitrifyingTheta,
    /// Oxygen at half the nitrifying rate, mg/l.
    OxygenHalf,
    /// Times the accessible surface of open-pored grains.
    ShellFactor,
    /// Times the nitrifying surface of layers that catch dirt.
    FoulingFactor,
    /// Ammonia nitrogen at which the margin is told, mg/l.
    AimTan,
    /// Oxygen of the tank over saturation, share.
    OxygenIn,
    /// Oxygen to nitrify a gram of nitrogen, g/g.
    OxygenPerNitrogen,
    /// Oxygen that organics take in the box per gram of food, g/g.
    OxygenPerFeed,
    /// Diffusion in a porous grain over that in water, share.
    GrainDiffusion,
    /// Diffusion of oxygen in water at 25 °C, m2/day.
    WaterDiffusion,
    /// Growth of diffusion with each degree, per °C.
    DiffusionTheta,
    /// Oxygen at a grain's face over that of the water, share.
    FilmOxygen,
    /// Weight of the porous surface in the share of respiration inside grains.
    GrainShare,
    /// Greatest share of respiration inside grains, share.
    GrainShareMost,
    /// Anoxic over aerobic respiration, share.
    AnoxicRate,
    /// Spread of respiration from grain to grain.
    Patchiness,
    /// Food for a lightly stocked tank, g/100 l/day.
    LightFeed,
    /// Food for a normally stocked tank, g/100 l/day.
    NormalFeed,
    /// Food for a heavily stocked tank, g/100 l/day.
    HeavyFeed,
    /// Food from which a tank counts as heavily stocked, g/100 l/day.
    HeavyFrom,
    /// Protein of a dry food when none is given, share.
    FeedProtein,
    /// Tank that a kilogram of porous media carries through the whole nitrogen cycle, l/kg.
    CycleNormal,
    /// The same, heavily stocked, l/kg.
    CycleHeavy,
    /// Open pore share from which a grain counts as porous, share.
    PorousFrom,
    /// Dose that arrives over ideal dose in a short chamber, share.
    UvMixing,
    /// UV-C over lamp watts, share.
    UvEfficiency,
    /// UV-C that a clean sleeve passes, share.
    UvSleeve,
    /// UV-C that a centimetre of tank water passes, %/cm.
    UvTransmittance,
    /// Output a lamp loses over its rated hours, share.
    UvWear,
    /// Rated hours of a lamp, h.
    UvLife,
    /// Least output told of a working lamp, share.
    UvFloor,
    /// Hose each way when no tank is given, m.
    RunLength,
    /// Bends each way when no tank is given.
    RunBends,
    /// Water when no tank is given, °C.
    NoTankTemperature,
    /// Room for the hose bends above the ports, in bores, bores.
    HoseClearance,
}

impl A {
    /// Every assumption, in the table's order.
    pub const ALL: [Self; 69] = [
        Self::Gravity,
        Self::Roughness,
        Self::RibbedFactor,
        Self::BendFactor,
        Self::HoseBendRadius,
        Self::ElbowRadius,
        Self::Entrance,
        Self::FittingLength,
        Self::HoleDischarge,
        Self::MomentumRecovery,
        Self::JetFactor,
        Self::StrainerFactor,
        Self::PumpExponent,
        Self::GrainFactor,
        Self::FoamFactor,
        Self::FibreFactor,
        Self::GridHole,
        Self::GridPlate,
        Self::SealLength,
        Self::MissingSealLength,
        Self::CarryOver,
        Self::SolidsPerFeed,
        Self::CaptureFactor,
        Self::SettledShare,
        Self::DirtDecay,
        Self::SludgeDensity,
        Self::BlindDepth,
        Self::DimpledShare,
        Self::OpenAtFlow,
        Self::OpenAtVoids,
        Self::TanPerProtein,
        Self::NitratePerProtein,
        Self::NitrifyingRate,
        Self::NitrifyingHalf,
        Self::NitrifyingTheta,
        Self::OxygenHalf,
        Self::ShellFactor,
        Self::FoulingFactor,
        Self::AimTan,
        Self::OxygenIn,
        Self::OxygenPerNitrogen,
        Self::OxygenPerFeed,
        Self::GrainDiffusion,
        Self::WaterDiffusion,
        Self::DiffusionTheta,
        Self::FilmOxygen,
        Self::GrainShare,
        Self::GrainShareMost,
        Self::AnoxicRate,
        Self::Patchiness,
        Self::LightFeed,
        Self::NormalFeed,
        Self::HeavyFeed,
        Self::HeavyFrom,
        Self::FeedProtein,
        Self::CycleNormal,
        Self::CycleHeavy,
        Self::PorousFrom,
        Self::UvMixing,
        Self::UvEfficiency,
        Self::UvSleeve,
        Self::UvTransmittance,
        Self::UvWear,
        Self::UvLife,
        Self::UvFloor,
        Self::RunLength,
        Self::RunBends,
        Self::NoTankTemperature,
        Self::HoseClearance,
    ];

    /// Its row of the table.
    pub fn entry(self) -> &'static Assumption {
        // One row a variant, in the variants' order: a test holds the two together.
        TABLE.get(self as usize).unwrap_or(&TABLE[0])
    }

    /// The key of its doubt.
    pub fn key(self) -> &'static Key {
        KEYS.get(self as usize).unwrap_or(&KEYS[0])
    }
}

static KEYS: LazyLock<Vec<Key>> = LazyLock::new(|| TABLE.iter().map(|row| Key::new(row.key)).collect());

/// The table, one row an assumption.
pub static TABLE: [Assumption; 69] = [
    Assumption {
        key: "model/gravity",
        value: 9.80665,
        unit: "m/s2",
        spread: Spread::Exact,
        kind: Kind::Published,
        checked: Checked::Read,
        what: "standard gravity",
        source: "ISO 80000-3; CGPM 1901",
    },
    Assumption {
        key: "model/roughness",
        value: 1.5e-06,
        unit: "m",
        spread: Spread::Factor { factor: 2.0 },
        kind: Kind::Published,
        checked: Checked::Memory,
        what: "wall roughness of a smooth plastic hose",
        source: "handbook figure for smooth plastic, from memory",
    },
    Assumption {
        key: "model/ribbed",
        value: 1.0,
        unit: "",
        spread: Spread::Normal { sd: 0.2 },
        kind: Kind::Published,
        checked: Checked::Read,
        what: "times the loss of a ribbed bore",
        source: "Hawthorne & von Helms, Product Engineering, 10 June 1963, 98-100; ±40 % for shallow ribs (ours)",
    },
    Assumption {
        key: "model/bend",
        value: 1.0,
        unit: "",
        spread: Spread::Normal { sd: 0.15 },
        kind: Kind::Published,
        checked: Checked::Read,
        what: "times the loss of a bend",
        source: "Rennels & Hudson, Pipe Flow, 2012, with 800/Re after Hooper 1981 and Darby 2001; ±30 % between handbooks",
    },
    Assumption {
        key: "model/hose-bend-radius",
        value: 3.0,
        unit: "bores",
        spread: Spread::Exact,
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "radius of a bend of the hose, in bores",
        source: "ours: a hose that is bent by hand without kinking",
    },
    Assumption {
        key: "model/elbow-radius",
        value: 1.0,
        unit: "bores",
        spread: Spread::Exact,
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "radius of a moulded elbow, in bores",
        source: "ours: a short moulded elbow",
    },
    Assumption {
        key: "model/entrance",
        value: 0.5,
        unit: "",
        spread: Spread::Exact,
        kind: Kind::Published,
        checked: Checked::Memory,
        what: "entrance to the suction hose, in velocity heads",
        source: "classic sharp-edged entrance, handbook figure from memory",
    },
    Assumption {
        key: "model/fitting-length",
        value: 0.03,
        unit: "m",
        spread: Spread::Exact,
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "length of the narrow part of a tap or connector when none is given",
        source: "ours",
    },
    Assumption {
        key: "model/hole-discharge",
        value: 0.61,
        unit: "",
        spread: Spread::Uniform { low: 0.6, high: 0.65 },
        kind: Kind::Published,
        checked: Checked::Memory,
        what: "discharge coefficient of a spray bar's holes",
        source: "thin sharp orifice, handbook figure from memory",
    },
    Assumption {
        key: "model/momentum-recovery",
        value: 0.9,
        unit: "",
        spread: Spread::Uniform { low: 0.5, high: 1.0 },
        kind: Kind::Published,
        checked: Checked::Memory,
        what: "share of momentum recovered along a spray bar",
        source: "Acrivos, Babcock & Pigford 1959, from memory",
    },
    Assumption {
        key: "model/jet",
        value: 1.05,
        unit: "",
        spread: Spread::Exact,
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "loss of a nozzle, in velocity heads of its own bore",
        source: "1 for the lost jet, 0.05 for the nozzle (ours)",
    },
    Assumption {
        key: "model/strainer",
        value: 2.7,
        unit: "",
        spread: Spread::Exact,
        kind: Kind::Published,
        checked: Checked::Memory,
        what: "loss of a strainer, in velocity heads in its open area",
        source: "thin sharp orifice, 1/Cd^2 with Cd 0.61, from memory",
    },
    Assumption {
        key: "model/pump-exponent",
        value: 1.5,
        unit: "",
        spread: Spread::Uniform { low: 1.0, high: 2.0 },
        kind: Kind::Ours,
        checked: Checked::Memory,
        what: "shape of a pump curve known only by its ends",
        source: "no paper found for this class of pump; 1 is a straight line, 2 the usual one-point fit",
    },
    Assumption {
        key: "model/grains",
        value: 1.0,
        unit: "",
        spread: Spread::Factor { factor: 1.5 },
        kind: Kind::Published,
        checked: Checked::Read,
        what: "times the resistance of pieces, rings and spheres",
        source: "Ergun, Chem. Eng. Prog. 48 (1952) 89",
    },
    Assumption {
        key: "model/foam",
        value: 1.0,
        unit: "",
        spread: Spread::Factor { factor: 2.0 },
        kind: Kind::Published,
        checked: Checked::Memory,
        what: "times the resistance of foam",
        source: "Dietrich et al. 2009, 2012; Buciuman & Kraushaar-Czarnetzki 2003, from memory",
    },
    Assumption {
        key: "model/fibre",
        value: 1.0,
        unit: "",
        spread: Spread::Factor { factor: 2.0 },
        kind: Kind::Published,
        checked: Checked::Read,
        what: "times the resistance of floss and mats",
        source: "Davies, Proc. IMechE B1 (1953) 185",
    },
    Assumption {
        key: "model/grid-hole",
        value: 0.004,
        unit: "m",
        spread: Spread::Exact,
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "hole diameter of a tray's grid",
        source: "ours: a usual moulded grid",
    },
    Assumption {
        key: "model/grid-plate",
        value: 0.002,
        unit: "m",
        spread: Spread::Exact,
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "thickness of a tray's grid",
        source: "ours: a usual moulded grid",
    },
    Assumption {
        key: "model/seal-length",
        value: 0.005,
        unit: "m",
        spread: Spread::Exact,
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "length of a seal's gap along the water, also of a joint",
        source: "ours: a usual lip",
    },
    Assumption {
        key: "model/missing-seal-length",
        value: 0.002,
        unit: "m",
        spread: Spread::Exact,
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "length of the gap where the seal is missing",
        source: "ours: the bare edge of a tray",
    },
    Assumption {
        key: "model/carry-over",
        value: 0.5,
        unit: "share",
        spread: Spread::Uniform { low: 0.0, high: 1.0 },
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "share of the water at the rim of a pad that stays at the rim of the next one it touches",
        source: "ours: nobody measured it",
    },
    Assumption {
        key: "model/solids",
        value: 0.2,
        unit: "g/g",
        spread: Spread::Factor { factor: 1.6 },
        kind: Kind::Published,
        checked: Checked::Memory,
        what: "dry solids that reach the filter per gram of food",
        source: "Timmons & Ebeling, Recirculating Aquaculture: 0.25 g TSS x 0.6 that reaches the filter + 0.05 growth, from memory",
    },
    Assumption {
        key: "model/capture",
        value: 1.0,
        unit: "",
        spread: Spread::Factor { factor: 1.7 },
        kind: Kind::Practice,
        checked: Checked::Read,
        what: "times every capture coefficient",
        source: "practice-grade guesses throughout, no source",
    },
    Assumption {
        key: "model/settled",
        value: 0.1,
        unit: "share",
        spread: Spread::TriangularLog { low: 0.05, high: 0.25 },
        kind: Kind::Practice,
        checked: Checked::Read,
        what: "share of the dirt that an empty settlement space takes in one pass",
        source: "practice-grade guess, no source",
    },
    Assumption {
        key: "model/dirt-decay",
        value: 0.015,
        unit: "1/day",
        spread: Spread::TriangularLog { low: 0.005, high: 0.04 },
        kind: Kind::Published,
        checked: Checked::Memory,
        what: "decay of caught dirt in place",
        source: "from memory, no single paper",
    },
    Assumption {
        key: "model/sludge",
        value: 0.03,
        unit: "g/ml",
        spread: Spread::TriangularLog { low: 0.02, high: 0.045 },
        kind: Kind::Published,
        checked: Checked::Memory,
        what: "dry solids in a millilitre of wet sludge",
        source: "2 to 4.5 % solids, from memory",
    },
    Assumption {
        key: "model/blinding",
        value: 0.005,
        unit: "m",
        spread: Spread::Exact,
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "depth of a fine face that blinds when it stands first",
        source: "ours: the first 3 to 5 mm",
    },
    Assumption {
        key: "model/dimpled",
        value: 0.65,
        unit: "share",
        spread: Spread::Exact,
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "share of a pad's depth left under an egg-crate face",
        source: "ours",
    },
    Assumption {
        key: "model/open-at-flow",
        value: 0.75,
        unit: "share",
        spread: Spread::Exact,
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "worked flow over clean worked flow at which to open",
        source: "ours",
    },
    Assumption {
        key: "model/open-at-voids",
        value: 0.4,
        unit: "share",
        spread: Spread::Exact,
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "share of a layer's voids full at which to open",
        source: "ours: head loss is then some 4.6 times clean",
    },
    Assumption {
        key: "model/tan",
        value: 0.092,
        unit: "g N/g",
        spread: Spread::Exact,
        kind: Kind::Published,
        checked: Checked::Read,
        what: "ammonia nitrogen per gram of protein fed",
        source: "Timmons & Ebeling, Recirculating Aquaculture: 0.16 x 0.80 x 0.80 x 0.90",
    },
    Assumption {
        key: "model/nitrate-load",
        value: 0.115,
        unit: "g N/g",
        spread: Spread::TriangularLog { low: 0.092, high: 0.145 },
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "nitrogen that ends as nitrate per gram of protein fed",
        source: "ours: what settles in the filter mineralises there",
    },
    Assumption {
        key: "model/nitrifying-rate",
        value: 0.8,
        unit: "g N/m2/day",
        spread: Spread::TriangularLog { low: 0.3, high: 1.6 },
        kind: Kind::Published,
        checked: Checked::Memory,
        what: "greatest nitrifying rate of a surface at 20 °C",
        source: "Timmons & Ebeling; Malone & Pfeiffer 2006, from memory",
    },
    Assumption {
        key: "model/nitrifying-half",
        value: 1.5,
        unit: "mg/l",
        spread: Spread::TriangularLog { low: 0.5, high: 3.0 },
        kind: Kind::Published,
        checked: Checked::Memory,
        what: "ammonia nitrogen at half that rate",
        source: "from memory; archaea may go far lower",
    },
    Assumption {
        key: "model/nitrifying-theta",
        value: 1.043,
        unit: "per °C",
        spread: Spread::Exact,
        kind: Kind::Published,
        checked: Checked::Read,
        what: "growth of the rate with each degree",
        source: "Zhu & Chen, Aquacult. Eng. 26 (2002) 221",
    },
    Assumption {
        key: "model/oxygen-half",
        value: 0.5,
        unit: "mg/l",
        spread: Spread::TriangularLog { low: 0.2, high: 1.0 },
        kind: Kind::Published,
        checked: Checked::Memory,
        what: "oxygen at half the nitrifying rate",
        source: "from memory",
    },
    Assumption {
        key: "model/shell",
        value: 1.6,
        unit: "",
        spread: Spread::TriangularLog { low: 1.0, high: 3.0 },
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "times the accessible surface of open-pored grains",
        source: "ours: pores wider than 50 µm only",
    },
    Assumption {
        key: "model/fouling",
        value: 0.6,
        unit: "",
        spread: Spread::TriangularLog { low: 0.3, high: 0.9 },
        kind: Kind::Published,
        checked: Checked::Memory,
        what: "times the nitrifying surface of layers that catch dirt",
        source: "Zhu & Chen 2001: films under organic load lose 30 to 70 %, from memory",
    },
    Assumption {
        key: "model/aim-tan",
        value: 0.1,
        unit: "mg/l",
        spread: Spread::Exact,
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "ammonia nitrogen at which the margin is told",
        source: "ours: below a test kit's resolution",
    },
    Assumption {
        key: "model/oxygen-in",
        value: 0.93,
        unit: "share",
        spread: Spread::Exact,
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "oxygen of the tank over saturation",
        source: "ours: a stirred tank with livestock",
    },
    Assumption {
        key: "model/oxygen-per-nitrogen",
        value: 4.57,
        unit: "g/g",
        spread: Spread::Exact,
        kind: Kind::Published,
        checked: Checked::Read,
        what: "oxygen to nitrify a gram of nitrogen",
        source: "stoichiometry, 64/14.007; wastewater textbooks",
    },
    Assumption {
        key: "model/oxygen-per-feed",
        value: 0.25,
        unit: "g/g",
        spread: Spread::TriangularLog { low: 0.1, high: 0.45 },
        kind: Kind::Published,
        checked: Checked::Memory,
        what: "oxygen that organics take in the box per gram of food",
        source: "Timmons & Ebeling, from memory",
    },
    Assumption {
        key: "model/grain-diffusion",
        value: 0.25,
        unit: "share",
        spread: Spread::TriangularLog { low: 0.1, high: 0.45 },
        kind: Kind::Published,
        checked: Checked::Memory,
        what: "diffusion in a porous grain over that in water",
        source: "porosity over tortuosity, from memory",
    },
    Assumption {
        key: "model/water-diffusion",
        value: 0.00019,
        unit: "m2/day",
        spread: Spread::Exact,
        kind: Kind::Published,
        checked: Checked::Memory,
        what: "diffusion of oxygen in water at 25 °C",
        source: "2.2e-9 m2/s, from memory",
    },
    Assumption {
        key: "model/diffusion-theta",
        value: 1.026,
        unit: "per °C",
        spread: Spread::Exact,
        kind: Kind::Published,
        checked: Checked::Memory,
        what: "growth of diffusion with each degree",
        source: "from memory",
    },
    Assumption {
        key: "model/film-oxygen",
        value: 0.85,
        unit: "share",
        spread: Spread::TriangularLog { low: 0.5, high: 1.0 },
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "oxygen at a grain's face over that of the water",
        source: "ours: a coat of film and dirt",
    },
    Assumption {
        key: "model/grain-share",
        value: 0.75,
        unit: "",
        spread: Spread::Exact,
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "weight of the porous surface in the share of respiration inside grains",
        source: "ours",
    },
    Assumption {
        key: "model/grain-share-most",
        value: 0.5,
        unit: "share",
        spread: Spread::Exact,
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "greatest share of respiration inside grains",
        source: "ours",
    },
    Assumption {
        key: "model/anoxic-rate",
        value: 0.7,
        unit: "share",
        spread: Spread::TriangularLog { low: 0.4, high: 0.9 },
        kind: Kind::Published,
        checked: Checked::Memory,
        what: "anoxic over aerobic respiration",
        source: "activated-sludge models 0.6 to 0.8, from memory",
    },
    Assumption {
        key: "model/patchiness",
        value: 0.8,
        unit: "",
        spread: Spread::TriangularLog { low: 0.3, high: 1.3 },
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "spread of respiration from grain to grain",
        source: "ours: a guess",
    },
    Assumption {
        key: "model/feed-light",
        value: 0.4,
        unit: "g/100 l/day",
        spread: Spread::Factor { factor: 2.0 },
        kind: Kind::Practice,
        checked: Checked::Read,
        what: "food for a lightly stocked tank",
        source: "common practice, no source",
    },
    Assumption {
        key: "model/feed-normal",
        value: 1.0,
        unit: "g/100 l/day",
        spread: Spread::Factor { factor: 2.0 },
        kind: Kind::Practice,
        checked: Checked::Read,
        what: "food for a normally stocked tank",
        source: "common practice, no source",
    },
    Assumption {
        key: "model/feed-heavy",
        value: 2.2,
        unit: "g/100 l/day",
        spread: Spread::Factor { factor: 2.0 },
        kind: Kind::Practice,
        checked: Checked::Read,
        what: "food for a heavily stocked tank",
        source: "common practice, no source",
    },
    Assumption {
        key: "model/heavy-from",
        value: 1.48,
        unit: "g/100 l/day",
        spread: Spread::Exact,
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "food from which a tank counts as heavily stocked",
        source: "ours: the geometric middle of normal and heavy",
    },
    Assumption {
        key: "model/protein",
        value: 0.42,
        unit: "share",
        spread: Spread::Exact,
        kind: Kind::Practice,
        checked: Checked::Read,
        what: "protein of a dry food when none is given",
        source: "common practice, no source",
    },
    Assumption {
        key: "model/cycle-normal",
        value: 100.0,
        unit: "l/kg",
        spread: Spread::Exact,
        kind: Kind::Practice,
        checked: Checked::Read,
        what: "tank that a kilogram of porous media carries through the whole nitrogen cycle",
        source: "common practice, no source",
    },
    Assumption {
        key: "model/cycle-heavy",
        value: 50.0,
        unit: "l/kg",
        spread: Spread::Exact,
        kind: Kind::Practice,
        checked: Checked::Read,
        what: "the same, heavily stocked",
        source: "common practice, no source",
    },
    Assumption {
        key: "model/porous-from",
        value: 0.3,
        unit: "share",
        spread: Spread::Exact,
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "open pore share from which a grain counts as porous",
        source: "ours",
    },
    Assumption {
        key: "model/uv-mixing",
        value: 0.7,
        unit: "share",
        spread: Spread::TriangularLog { low: 0.4, high: 0.9 },
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "dose that arrives over ideal dose in a short chamber",
        source: "ours: short-circuiting",
    },
    Assumption {
        key: "model/uv-efficiency",
        value: 0.28,
        unit: "share",
        spread: Spread::TriangularLog { low: 0.2, high: 0.38 },
        kind: Kind::Published,
        checked: Checked::Memory,
        what: "UV-C over lamp watts",
        source: "low-pressure mercury lamps, small ones less, from memory",
    },
    Assumption {
        key: "model/uv-sleeve",
        value: 0.9,
        unit: "share",
        spread: Spread::Uniform { low: 0.85, high: 0.92 },
        kind: Kind::Published,
        checked: Checked::Memory,
        what: "UV-C that a clean sleeve passes",
        source: "from memory",
    },
    Assumption {
        key: "model/uv-transmittance",
        value: 90.0,
        unit: "%/cm",
        spread: Spread::TriangularLog { low: 85.0, high: 95.0 },
        kind: Kind::Practice,
        checked: Checked::Read,
        what: "UV-C that a centimetre of tank water passes",
        source: "common practice, no source; tannin-stained water 60 to 80",
    },
    Assumption {
        key: "model/uv-wear",
        value: 0.4,
        unit: "share",
        spread: Spread::Exact,
        kind: Kind::Published,
        checked: Checked::Memory,
        what: "output a lamp loses over its rated hours",
        source: "0.6 to 0.7 left at the end, from memory",
    },
    Assumption {
        key: "model/uv-life",
        value: 9000.0,
        unit: "h",
        spread: Spread::Exact,
        kind: Kind::Published,
        checked: Checked::Memory,
        what: "rated hours of a lamp",
        source: "8000 to 9000, from memory",
    },
    Assumption {
        key: "model/uv-floor",
        value: 0.6,
        unit: "share",
        spread: Spread::Exact,
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "least output told of a working lamp",
        source: "ours",
    },
    Assumption {
        key: "model/run-length",
        value: 1.5,
        unit: "m",
        spread: Spread::Exact,
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "hose each way when no tank is given",
        source: "ours",
    },
    Assumption {
        key: "model/run-bends",
        value: 2.0,
        unit: "",
        spread: Spread::Exact,
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "bends each way when no tank is given",
        source: "ours",
    },
    Assumption {
        key: "model/no-tank-temperature",
        value: 25.0,
        unit: "°C",
        spread: Spread::Exact,
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "water when no tank is given",
        source: "ours",
    },
    Assumption {
        key: "model/hose-clearance",
        value: 6.0,
        unit: "bores",
        spread: Spread::Exact,
        kind: Kind::Ours,
        checked: Checked::Own,
        what: "room for the hose bends above the ports, in bores",
        source: "ours: two bends of three bores",
    },
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_and_variants_stand_in_the_same_order() {
        for (i, a) in A::ALL.into_iter().enumerate() {
            assert_eq!(a as usize, i);
            assert_eq!(a.key().name(), a.entry().key);
        }
        let mut keys: Vec<_> = TABLE.iter().map(|row| row.key).collect();
        keys.sort_unstable();
        keys.dedup();
        assert_eq!(keys.len(), TABLE.len(), "a key stands twice");
    }

    #[test]
    fn every_spread_holds_its_value() {
        for row in &TABLE {
            match row.spread {
                Spread::Uniform { low, high } | Spread::TriangularLog { low, high } => {
                    assert!(low <= row.value && row.value <= high && low < high, "{}", row.key);
                }
                Spread::Factor { factor } => assert!(factor > 1.0, "{}", row.key),
                Spread::Normal { sd } => assert!(sd > 0.0 && sd < 0.3, "{}", row.key),
                Spread::Exact => {}
            }
            assert!(!row.source.is_empty() && !row.what.is_empty());
        }
    }
}
