//! The rows of the table: name, key, value, unit, spread; kind, how far checked; what it is; its source.

use super::Kind::{Ours, Practice, Published};
use super::{Assumption, Checked};
use crate::uncertainty::uncertain::Spread::{Exact, Factor, Normal, TriangularLog, Uniform};

macro_rules! table {
    ($($name:ident $key:literal = $value:literal $unit:literal, $spread:expr; $kind:ident $checked:ident
        $what:literal; $source:literal;)+) => {
        /// Which assumption.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[repr(usize)]
        pub enum A {
            $(#[doc = $what] $name,)+
        }

        impl A {
            /// Every assumption, in the table's order.
            pub const ALL: [Self; [$($key),+].len()] = [$(Self::$name),+];
        }

        /// The table, one row an assumption.
        pub static TABLE: [Assumption; [$($key),+].len()] = [$(Assumption {
            key: $key,
            value: $value,
            unit: $unit,
            spread: $spread,
            kind: $kind,
            checked: Checked::$checked,
            what: $what,
            source: $source,
        }),+];
    };
}

table! {
    Gravity "model/gravity" = 9.80665 "m/s2", Exact; Published Read
        "standard gravity";
        "ISO 80000-3; CGPM 1901";
    Roughness "model/roughness" = 1.5e-06 "m", Factor { factor: 2.0 }; Published Memory
        "wall roughness of a smooth plastic hose";
        "handbook figure for smooth plastic, from memory";
    RibbedFactor "model/ribbed" = 1.0 "", Normal { sd: 0.2 }; Published Read
        "times the loss of a ribbed bore";
        "Hawthorne & von Helms, Product Engineering, 10 June 1963, 98-100; ±40 % for shallow ribs (ours)";
    BendFactor "model/bend" = 1.0 "", Normal { sd: 0.15 }; Published Read
        "times the loss of a bend";
        "Rennels & Hudson, Pipe Flow, 2012, with 800/Re after Hooper 1981 and Darby 2001; ±30 % between handbooks";
    HoseBendRadius "model/hose-bend-radius" = 3.0 "bores", Exact; Ours Own
        "radius of a bend of the hose, in bores";
        "ours: a hose that is bent by hand without kinking";
    ElbowRadius "model/elbow-radius" = 1.0 "bores", Exact; Ours Own
        "radius of a moulded elbow, in bores";
        "ours: a short moulded elbow";
    Entrance "model/entrance" = 0.5 "", Exact; Published Memory
        "entrance to the suction hose, in velocity heads";
        "classic sharp-edged entrance, handbook figure from memory";
    FittingLength "model/fitting-length" = 0.03 "m", Exact; Ours Own
        "length of the narrow part of a tap or connector when none is given";
        "ours";
    HoleDischarge "model/hole-discharge" = 0.61 "", Uniform { low: 0.6, high: 0.65 }; Published Memory
        "discharge coefficient of a spray bar's holes";
        "thin sharp orifice, handbook figure from memory";
    MomentumRecovery "model/momentum-recovery" = 0.9 "", Uniform { low: 0.5, high: 1.0 }; Published Memory
        "share of momentum recovered along a spray bar";
        "Acrivos, Babcock & Pigford 1959, from memory";
    JetFactor "model/jet" = 1.05 "", Exact; Ours Own
        "loss of a nozzle, in velocity heads of its own bore";
        "1 for the lost jet, 0.05 for the nozzle (ours)";
    StrainerFactor "model/strainer" = 2.7 "", Exact; Published Memory
        "loss of a strainer, in velocity heads in its open area";
        "thin sharp orifice, 1/Cd^2 with Cd 0.61, from memory";
    PumpExponent "model/pump-exponent" = 1.5 "", Uniform { low: 1.0, high: 2.0 }; Ours Memory
        "shape of a pump curve known only by its ends";
        "no paper found for this class of pump; 1 is a straight line, 2 the usual one-point fit";
    GrainFactor "model/grains" = 1.0 "", Factor { factor: 1.5 }; Published Read
        "times the resistance of pieces, rings and spheres";
        "Ergun, Chem. Eng. Prog. 48 (1952) 89";
    FoamFactor "model/foam" = 1.0 "", Factor { factor: 2.0 }; Published Memory
        "times the resistance of foam";
        "Dietrich et al. 2009, 2012; Buciuman & Kraushaar-Czarnetzki 2003, from memory";
    FibreFactor "model/fibre" = 1.0 "", Factor { factor: 2.0 }; Published Read
        "times the resistance of floss and mats";
        "Davies, Proc. IMechE B1 (1953) 185";
    GridHole "model/grid-hole" = 0.004 "m", Exact; Ours Own
        "hole diameter of a tray's grid";
        "ours: a usual moulded grid";
    GridPlate "model/grid-plate" = 0.002 "m", Exact; Ours Own
        "thickness of a tray's grid";
        "ours: a usual moulded grid";
    SealLength "model/seal-length" = 0.005 "m", Exact; Ours Own
        "length of a seal's gap along the water, also of a joint";
        "ours: a usual lip";
    MissingSealLength "model/missing-seal-length" = 0.002 "m", Exact; Ours Own
        "length of the gap where the seal is missing";
        "ours: the bare edge of a tray";
    CarryOver "model/carry-over" = 0.5 "share", Uniform { low: 0.0, high: 1.0 }; Ours Own
        "share of the water at the rim of a pad that stays at the rim of the next one it touches";
        "ours: nobody measured it";
    SolidsPerFeed "model/solids" = 0.2 "g/g", Factor { factor: 1.6 }; Published Memory
        "dry solids that reach the filter per gram of food";
        "Timmons & Ebeling, Recirculating Aquaculture: 0.25 g TSS x 0.6 that reaches the filter + 0.05 growth, from memory";
    CaptureFactor "model/capture" = 1.0 "", Factor { factor: 1.7 }; Practice Read
        "times every capture coefficient";
        "practice-grade guesses throughout, no source";
    SettledShare "model/settled" = 0.1 "share", TriangularLog { low: 0.05, high: 0.25 }; Practice Read
        "share of the dirt that an empty settlement space takes in one pass";
        "practice-grade guess, no source";
    DirtDecay "model/dirt-decay" = 0.015 "1/day", TriangularLog { low: 0.005, high: 0.04 }; Published Memory
        "decay of caught dirt in place";
        "from memory, no single paper";
    SludgeDensity "model/sludge" = 0.03 "g/ml", TriangularLog { low: 0.02, high: 0.045 }; Published Memory
        "dry solids in a millilitre of wet sludge";
        "2 to 4.5 % solids, from memory";
    BlindDepth "model/blinding" = 0.005 "m", Exact; Ours Own
        "depth of a fine face that blinds when it stands first";
        "ours: the first 3 to 5 mm";
    DimpledShare "model/dimpled" = 0.65 "share", Exact; Ours Own
        "share of a pad's depth left under an egg-crate face";
        "ours";
    OpenAtFlow "model/open-at-flow" = 0.75 "share", Exact; Ours Own
        "filtered flow over clean filtered flow at which to open";
        "ours";
    OpenAtVoids "model/open-at-voids" = 0.4 "share", Exact; Ours Own
        "share of a layer's voids full at which to open";
        "ours: head loss is then some 4.6 times clean";
    TanPerProtein "model/tan" = 0.092 "g N/g", Exact; Published Read
        "ammonia nitrogen per gram of protein fed";
        "Timmons & Ebeling, Recirculating Aquaculture: 0.16 x 0.80 x 0.80 x 0.90";
    NitratePerProtein "model/nitrate-load" = 0.115 "g N/g", TriangularLog { low: 0.092, high: 0.145 }; Ours Own
        "nitrogen that ends as nitrate per gram of protein fed";
        "ours: what settles in the filter mineralises there";
    NitrifyingRate "model/nitrifying-rate" = 0.8 "g N/m2/day", TriangularLog { low: 0.3, high: 1.6 }; Published Memory
        "greatest nitrifying rate of a surface at 20 °C";
        "Timmons & Ebeling; Malone & Pfeiffer 2006, from memory";
    NitrifyingHalf "model/nitrifying-half" = 1.5 "mg/l", TriangularLog { low: 0.5, high: 3.0 }; Published Memory
        "ammonia nitrogen at half that rate";
        "from memory; archaea may go far lower";
    NitrifyingTheta "model/nitrifying-theta" = 1.043 "per °C", Exact; Published Read
        "growth of the rate with each degree";
        "Zhu & Chen, Aquacult. Eng. 26 (2002) 221";
    OxygenHalf "model/oxygen-half" = 0.5 "mg/l", TriangularLog { low: 0.2, high: 1.0 }; Published Memory
        "oxygen at half the nitrifying rate";
        "from memory";
    ShellFactor "model/shell" = 1.6 "", TriangularLog { low: 1.0, high: 3.0 }; Ours Own
        "times the accessible surface of open-pored grains";
        "ours: pores wider than 50 µm only";
    FoulingFactor "model/fouling" = 0.6 "", TriangularLog { low: 0.3, high: 0.9 }; Published Memory
        "times the nitrifying surface of layers that catch dirt";
        "Zhu & Chen 2001: films under organic load lose 30 to 70 %, from memory";
    AimTan "model/aim-tan" = 0.1 "mg/l", Exact; Ours Own
        "ammonia nitrogen at which the margin is told";
        "ours: below a test kit's resolution";
    OxygenIn "model/oxygen-in" = 0.93 "share", Exact; Ours Own
        "oxygen of the tank over saturation";
        "ours: a stirred tank with livestock";
    OxygenPerNitrogen "model/oxygen-per-nitrogen" = 4.57 "g/g", Exact; Published Read
        "oxygen to nitrify a gram of nitrogen";
        "stoichiometry, 64/14.007; wastewater textbooks";
    OxygenPerFeed "model/oxygen-per-feed" = 0.25 "g/g", TriangularLog { low: 0.1, high: 0.45 }; Published Memory
        "oxygen that organics take in the box per gram of food";
        "Timmons & Ebeling, from memory";
    GrainDiffusion "model/grain-diffusion" = 0.25 "share", TriangularLog { low: 0.1, high: 0.45 }; Published Memory
        "diffusion in a porous grain over that in water";
        "porosity over tortuosity, from memory";
    WaterDiffusion "model/water-diffusion" = 0.00019 "m2/day", Exact; Published Memory
        "diffusion of oxygen in water at 25 °C";
        "2.2e-9 m2/s, from memory";
    DiffusionTheta "model/diffusion-theta" = 1.026 "per °C", Exact; Published Memory
        "growth of diffusion with each degree";
        "from memory";
    FilmOxygen "model/film-oxygen" = 0.85 "share", TriangularLog { low: 0.5, high: 1.0 }; Ours Own
        "oxygen at a grain's face over that of the water";
        "ours: a coat of film and dirt";
    GrainShare "model/grain-share" = 0.75 "", Exact; Ours Own
        "weight of the porous surface in the share of respiration inside grains";
        "ours";
    GrainShareMost "model/grain-share-most" = 0.5 "share", Exact; Ours Own
        "greatest share of respiration inside grains";
        "ours";
    AnoxicRate "model/anoxic-rate" = 0.7 "share", TriangularLog { low: 0.4, high: 0.9 }; Published Memory
        "anoxic over aerobic respiration";
        "activated-sludge models 0.6 to 0.8, from memory";
    Patchiness "model/patchiness" = 0.8 "", TriangularLog { low: 0.3, high: 1.3 }; Ours Own
        "spread of respiration from grain to grain";
        "ours: a guess";
    LightFeed "model/feed-light" = 0.4 "g/100 l/day", Factor { factor: 2.0 }; Practice Read
        "food for a lightly stocked tank";
        "common practice, no source";
    NormalFeed "model/feed-normal" = 1.0 "g/100 l/day", Factor { factor: 2.0 }; Practice Read
        "food for a normally stocked tank";
        "common practice, no source";
    HeavyFeed "model/feed-heavy" = 2.2 "g/100 l/day", Factor { factor: 2.0 }; Practice Read
        "food for a heavily stocked tank";
        "common practice, no source";
    HeavyFrom "model/heavy-from" = 1.48 "g/100 l/day", Exact; Ours Own
        "food from which a tank counts as heavily stocked";
        "ours: the geometric middle of normal and heavy";
    FeedProtein "model/protein" = 0.42 "share", Exact; Practice Read
        "protein of a dry food when none is given";
        "common practice, no source";
    CycleNormal "model/cycle-normal" = 100.0 "l/kg", Exact; Practice Read
        "tank that a kilogram of porous media carries through the whole nitrogen cycle";
        "common practice, no source";
    CycleHeavy "model/cycle-heavy" = 50.0 "l/kg", Exact; Practice Read
        "the same, heavily stocked";
        "common practice, no source";
    PorousFrom "model/porous-from" = 0.3 "share", Exact; Ours Own
        "open pore share from which a grain counts as porous";
        "ours";
    UvMixing "model/uv-mixing" = 0.7 "share", TriangularLog { low: 0.4, high: 0.9 }; Ours Own
        "dose that arrives over ideal dose in a short chamber";
        "ours: short-circuiting";
    UvEfficiency "model/uv-efficiency" = 0.28 "share", TriangularLog { low: 0.2, high: 0.38 }; Published Memory
        "UV-C over lamp watts";
        "low-pressure mercury lamps, small ones less, from memory";
    UvSleeve "model/uv-sleeve" = 0.9 "share", Uniform { low: 0.85, high: 0.92 }; Published Memory
        "UV-C that a clean sleeve passes";
        "from memory";
    UvTransmittance "model/uv-transmittance" = 90.0 "%/cm", TriangularLog { low: 85.0, high: 95.0 }; Practice Read
        "UV-C that a centimetre of tank water passes";
        "common practice, no source; tannin-stained water 60 to 80";
    UvWear "model/uv-wear" = 0.4 "share", Exact; Published Memory
        "output a lamp loses over its rated hours";
        "0.6 to 0.7 left at the end, from memory";
    UvLife "model/uv-life" = 9000.0 "h", Exact; Published Memory
        "rated hours of a lamp";
        "8000 to 9000, from memory";
    UvFloor "model/uv-floor" = 0.6 "share", Exact; Ours Own
        "least output told of a working lamp";
        "ours";
    RunLength "model/run-length" = 1.5 "m", Exact; Ours Own
        "hose each way when no tank is given";
        "ours";
    RunBends "model/run-bends" = 2.0 "", Exact; Ours Own
        "bends each way when no tank is given";
        "ours";
    NoTankTemperature "model/no-tank-temperature" = 25.0 "°C", Exact; Ours Own
        "water when no tank is given";
        "ours";
    HoseClearance "model/hose-clearance" = 6.0 "bores", Exact; Ours Own
        "room for the hose bends above the ports, in bores";
        "ours: two bends of three bores";
}
