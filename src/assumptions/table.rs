//! The rows of the table: name, key, value, unit, spread; kind, how far checked; what it is; its source.

use super::row::Kind::{Ours, Practice, Published};
use super::row::{Assumption, Checked};
use crate::uncertainty::spread::Spread::{Exact, Factor, Normal, Triangular, TriangularLog, Uniform};

macro_rules! table {
    ($($name:ident $key:literal = $value:literal $unit:literal, $spread:expr; $kind:ident $checked:ident
        $what:literal; $source:literal;)+) => {
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[repr(usize)]
        pub enum A {
            $(#[doc = $what] $name,)+
        }

        impl A {
            /// Every assumption, in the table's order.
            pub const ALL: [Self; [$($key),+].len()] = [$(Self::$name),+];

            /// Its nominal value.
            pub const fn value(self) -> f64 {
                match self {
                    $(Self::$name => $value,)+
                }
            }
        }

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
        "entrance to the intake hose, in velocity heads";
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
        "shape of a pump curve known only by its ends; each pump has its own";
        "no paper found for this class of pump; 1 is a straight line, 2 the usual one-point fit";
    GrainFactor "model/grains" = 1.0 "", TriangularLog { low: 0.67, high: 1.5 }; Published Read
        "times the resistance of pieces, rings and spheres";
        "Ergun, Chem. Eng. Prog. 48 (1952) 89";
    FoamA "model/foam" = 220.0 "", TriangularLog { low: 110.0, high: 440.0 }; Ours Read
        "viscous coefficient of foam";
        "form after Dietrich et al. 2009, 2012, from memory; the coefficient ours, between two printed losses in air of 20 and 100 PPI polyurethane (Design News, 25 November 1964)";
    FoamB "model/foam-inertia" = 0.6 "", TriangularLog { low: 0.2, high: 1.5 }; Ours Read
        "inertial coefficient of foam, drawn with the viscous one";
        "ours: no foam study shows more; form after Dietrich et al. 2009, 2012, from memory; the coefficient ours, between two printed losses in air of 20 and 100 PPI polyurethane (Design News, 25 November 1964)";
    FibreFactor "model/fibre" = 1.0 "", TriangularLog { low: 0.5, high: 2.0 }; Published Read
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
    SolidsPerFeed "model/solids" = 0.25 "g/g", TriangularLog { low: 0.15, high: 0.4 }; Published Memory
        "loose dry solids per gram of food";
        "Timmons & Ebeling, Recirculating Aquaculture, from memory";
    GrowthPerFeed "model/growth" = 0.05 "g/g", TriangularLog { low: 0.02, high: 0.1 }; Published Memory
        "dry solids that grow in the filter per gram of food";
        "Timmons & Ebeling, Recirculating Aquaculture, from memory";
    SettlingRate "model/settling" = 1.0 "1/h", TriangularLog { low: 0.3, high: 4.0 }; Ours Own
        "how fast loose dirt settles on the bed of the tank";
        "ours: 0.05 to 0.5 mm/s through 0.4 m of water";
    CaptureFactor "model/capture" = 1.0 "", TriangularLog { low: 0.5, high: 2.0 }; Practice Read
        "times every capture coefficient";
        "common practice, and one set of foam columns (Cornell University, foam filtration team)";
    CaptureExponent "model/capture-speed" = 0.4 "", Uniform { low: 0.0, high: 0.8 }; Ours Read
        "how capture falls with the speed of the water, a power";
        "ours: removal in foam columns falls with flow; settling alone would give 1";
    SettledShare "model/settled" = 0.1 "share", TriangularLog { low: 0.05, high: 0.25 }; Practice Read
        "share of the dirt that an empty settling space takes in one pass";
        "practice-grade guess, no source";
    DirtDecay "model/dirt-decay" = 0.015 "1/day", TriangularLog { low: 0.005, high: 0.04 }; Published Memory
        "decay of caught dirt in place";
        "from memory, no single paper";
    SludgeDensity "model/sludge" = 0.02 "g/ml", TriangularLog { low: 0.01, high: 0.04 }; Published Read
        "dry solids in a millilitre of wet mulm";
        "settled sludge takes 80 to 150 ml/g, settled fish sludge has 2 to 5 % solids, the latter from memory";
    StrandGrowth "model/strand-growth" = 1.0 "", TriangularLog { low: 0.4, high: 4.0 }; Ours Own
        "times the rise of resistance of loaded foam and fibre over an even coat of its strands";
        "ours: an even coat in the law of Davies 1953; loading foam columns rose linearly (Cornell University), fibre beds little (Water Sci. Technol. 55(1-2), 77)";
    GrainGrowth "model/grain-growth" = 5.0 "", TriangularLog { low: 1.5, high: 15.0 }; Published Memory
        "rise of resistance of loaded grains per share of wet deposit";
        "O'Melia & Ali 1978 as simplified by Mays & Hunt, Environ. Sci. Technol. 39 (2005) 577, from memory";
    GapShut "model/gap-shut" = 0.475 "share", Uniform { low: 0.0, high: 0.95 }; Ours Own
        "share of an edge gap that mulm can close";
        "ours: from hardly any to almost shut";
    GapYield "model/gap-yield" = 1.0 "Pa", TriangularLog { low: 0.1, high: 10.0 }; Published Read
        "wall shear at which mulm in an edge gap gives way";
        "adhesion of a biofilm, 0.1 Pa at its face to 10 Pa at its base: Water Sci. Technol. 29(10-11) (1994) 281";
    GapWide "model/gap-wide" = 0.0015 "m", TriangularLog { low: 0.0007, high: 0.003 }; Ours Own
        "width of an edge gap at which mulm closes half as much";
        "ours: two pore pitches of foam of 20 to 45 PPI";
    GapDeposit "model/gap-deposit" = 0.02 "share", TriangularLog { low: 0.01, high: 0.05 }; Ours Own
        "deposit in the pad beside at which its edge gap is two thirds as shut as it gets";
        "ours";
    Slime "model/slime" = 1.0 "", TriangularLog { low: 0.2, high: 4.0 }; Published Read
        "friction that ripe slime adds to a smooth hose, over clean";
        "+10 to +400 % over biofilms of 3 to 10 weeks: Biofouling 36(6) (2020) 736; WSEAS Trans. Fluid Mech. 3(3) (2008) 201";
    SlimeRibbed "model/slime-ribbed" = 0.3 "", TriangularLog { low: 0.05, high: 1.0 }; Ours Own
        "the same in a ribbed hose, drawn with it";
        "ours: slime fills the ribs that rule already";
    SlimeDays "model/slime-days" = 35.0 "days", TriangularLog { low: 21.0, high: 56.0 }; Ours Own
        "how long slime takes to ripen";
        "ours";
    SlimeDepth "model/slime-depth" = 0.0002 "m", TriangularLog { low: 5e-5, high: 0.0005 }; Published Memory
        "thickness of ripe slime";
        "from memory";
    BlindDepth "model/blinding" = 0.005 "m", Exact; Ours Own
        "depth of a fine face that blinds when it stands first";
        "ours: the first 3 to 5 mm";
    DimpledShare "model/dimpled" = 0.65 "share", Exact; Ours Own
        "share of a pad's depth left under an egg-crate face";
        "ours";
    OpenAtFall "model/open-at-fall" = 0.7 "share", Exact; Ours Own
        "clearing, or flow, over clean at which to open";
        "ours: 30 % down";
    OpenAtVoids "model/open-at-voids" = 0.4 "share", Exact; Ours Own
        "share of a layer's voids full at which to open";
        "ours";
    Horizon "model/horizon" = 182.0 "day", Exact; Ours Own
        "longest time looked at: then open it by the calendar";
        "ours: 26 weeks";
    RiskyBypass "model/risky-bypass" = 0.25 "share", Exact; Ours Own
        "bypass above which a build counts as leaking";
        "ours";
    MostPasses "model/most-passes" = 0.5 "share", Exact; Ours Own
        "clean bypass above which the opening interval says little: most water passes from the first day";
        "ours: half of the water";
    LiftForTwo "model/lift-for-two" = 20.0 "kg", Exact; Practice Read
        "full weight from which a filter is lifted by two";
        "common practice, no source";
    TanPerProtein "model/tan" = 0.092 "g N/g", Exact; Published Read
        "ammonia nitrogen per gram of protein fed";
        "Timmons & Ebeling, Recirculating Aquaculture: 0.16 x 0.80 x 0.80 x 0.90";
    NitratePerProtein "model/nitrate-load" = 0.115 "g N/g", TriangularLog { low: 0.092, high: 0.145 }; Ours Own
        "nitrogen that ends as nitrate per gram of protein fed";
        "ours: what settles in the filter mineralises there";
    NitrifyingRate "model/nitrifying-rate" = 0.8 "g N/m2/day", TriangularLog { low: 0.35, high: 1.6 }; Published Memory
        "greatest nitrifying rate of a surface at 20 °C";
        "Timmons & Ebeling; Malone & Pfeiffer 2006, from memory; at 0.25 mg/l and 27 °C the rate of Zhu & Chen 1999";
    NitrifyingHalf "model/nitrifying-half" = 1.5 "mg/l", Exact; Published Memory
        "ammonia nitrogen at half that rate; the rate carries its uncertainty";
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
    FoulingFactor "model/fouling" = 0.6 "", Uniform { low: 0.3, high: 0.9 }; Published Read
        "times the nitrifying surface of layers that catch dirt";
        "60 to 70 % lost at three parts of oxygen demand to one of nitrogen, Aquacult. Eng. 2005; Zhu & Chen 2001, from memory";
    AimTan "model/aim-tan" = 0.25 "mg/l", Exact; Practice Read
        "ammonia nitrogen at which ammonia capacity is told, at most";
        "common practice: what a kit can still tell from nothing";
    GuideAmmonia "model/guide-ammonia" = 0.02 "mg/l", Exact; Practice Read
        "un-ionised ammonia nitrogen that livestock bears";
        "guide figure, common practice";
    NoTankPh "model/no-tank-ph" = 7.4 "", Exact; Practice Read
        "pH where none is told";
        "common practice";
    OwnSurface "model/own-surface" = 1.5 "m2 per m3^(2/3)", TriangularLog { low: 0.3, high: 5.0 }; Ours Own
        "nitrifying surface of the tank itself, over its volume to the power 2/3";
        "ours: a third of the wetted glass; the one nitrogen balance of aquaria leaves 14 to 19 % outside the filter (Bagchi 2014, PLoS ONE 9:e113515)";
    OxygenIn "model/oxygen-in" = 0.85 "share", Uniform { low: 0.7, high: 0.95 }; Ours Read
        "oxygen of the tank over saturation";
        "ours; one logged tank swung from 16 % at night to 130 %";
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
    LightFeed "model/feed-light" = 0.25 "g/100 l/day", Exact; Practice Read
        "food for a lightly stocked tank";
        "common practice, no source";
    NormalFeed "model/feed-normal" = 0.55 "g/100 l/day", Exact; Practice Read
        "food for a normally stocked tank";
        "common practice: 1.5 % of 37 g of fish a day, no source";
    HeavyFeed "model/feed-heavy" = 1.2 "g/100 l/day", Exact; Practice Read
        "food for a heavily stocked tank";
        "common practice, no source";
    StockFactor "model/stock" = 1.0 "", TriangularLog { low: 0.5, high: 2.0 }; Practice Read
        "times the food that a word for stocking stands for";
        "common practice, no source";
    HeavyFrom "model/heavy-from" = 0.81 "g/100 l/day", Exact; Ours Own
        "food from which a tank counts as heavily stocked";
        "ours: halfway between normal and heavy on a ratio scale";
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
    UvEfficiency "model/uv-efficiency" = 1.0 "", TriangularLog { low: 0.8, high: 1.2 }; Published Memory
        "times the UV-C over lamp watts: 22 % at 5 W to 28 % at 11 W";
        "catalogues of small compact mercury lamps, from memory";
    UvSleeve "model/uv-sleeve" = 0.9 "share", Uniform { low: 0.85, high: 0.92 }; Published Memory
        "UV-C that a clean sleeve passes";
        "from memory";
    UvTransmittance "model/uv-transmittance" = 90.0 "%/cm", TriangularLog { low: 85.0, high: 95.0 }; Practice Read
        "UV-C that a centimetre of tank water passes";
        "common practice, no source; tannin-stained water 60 to 80";
    UvWear "model/uv-wear" = 0.2 "share", TriangularLog { low: 0.1, high: 0.35 }; Published Read
        "output a lamp loses over its rated hours";
        "10 to 15 % claimed for good lamps (a lamp seller); small ones lose more, from memory";
    UvLife "model/uv-life" = 9000.0 "h", Exact; Published Memory
        "rated hours of a lamp";
        "8000 to 9000, from memory";
    UvFloor "model/uv-floor" = 0.5 "share", Exact; Ours Own
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
    LeftFlow "left-out/flow" = 0.9 "of printed", TriangularLog { low: 0.8, high: 1.0 }; Practice Own
        "greatest flow at the ports";
        "common practice, no source: what a box prints is the best case, without hoses and media";
    LeftHead "left-out/head" = 1.6 "m", TriangularLog { low: 1.143, high: 2.24 }; Practice Own
        "head at no flow of a pump of 1000 l/h; others by the 0.35th power of the flow";
        "common practice, no source";
    LeftPower "left-out/power" = 0.017 "W per l/h", TriangularLog { low: 0.01, high: 0.028 }; Ours Own
        "power of a pump";
        "ours: small motors of 10 to 20 %";
    LeftHose "left-out/hose" = 1.0 "of that size", TriangularLog { low: 0.893, high: 1.12 }; Practice Own
        "hose bore: 9, 12, 16, 19 mm up to 400, 750, 1400, 2500 l/h, else 25 mm";
        "common practice, no source: trade sizes";
    LeftFittings "left-out/fittings" = 0.78 "of the hose", TriangularLog { low: 0.6, high: 0.95 }; Ours Own
        "bore of a tap and a connector, with two elbows, and a strainer on the intake";
        "ours: every hose has them";
    LeftJet "left-out/jet" = 0.8 "of the hose", TriangularLog { low: 0.65, high: 1.0 }; Ours Own
        "bore of the jet at the end of the return";
        "ours";
    LeftTraySides "left-out/tray-sides" = 0.78 "of outside", TriangularLog { low: 0.72, high: 0.84 }; Ours Own
        "width and depth of trays that are only counted";
        "ours: walls, lid and pump take the rest";
    LeftTrayFill "left-out/tray-fill" = 0.88 "of these", TriangularLog { low: 0.78, high: 0.95 }; Ours Own
        "area of trays that are only counted";
        "ours: rounded corners, and what stands in a tray";
    LeftTrayHeights "left-out/tray-heights" = 0.56 "of outside", TriangularLog { low: 0.48, high: 0.64 }; Ours Own
        "height of all trays that are only counted, together; they are alike";
        "ours: lid, pump and floor take the rest";
    LeftGrid "left-out/grid" = 0.45 "", TriangularLog { low: 0.25, high: 0.65 }; Ours Own
        "open share of a tray's grid";
        "ours";
    LeftSeal "left-out/seal" = 1.0 "times", TriangularLog { low: 0.25, high: 3.0 }; Ours Own
        "gap of a lip, 0.08 mm and 0.04 mm more for each year past two, 0.5 mm at most";
        "ours: rubber sets with the years; nothing told of this very unit counts as new";
    LeftFloor "left-out/floor" = 20.0 "mm", TriangularLog { low: 5.0, high: 30.0 }; Practice Own
        "height of the settling space, of the lowest tray's outline";
        "common practice, no source";
    LeftTube "left-out/tube" = 1.4 "of the hose", TriangularLog { low: 1.15, high: 1.7 }; Ours Own
        "bore of the down pipe, as long as all trays and 30 mm";
        "ours";
    LeftTubeJoint "left-out/tube-joint" = 0.1 "mm", Triangular { low: 0.0, high: 0.4 }; Ours Own
        "joint between trays, of a down pipe that is left out";
        "ours";
    LeftJoint "left-out/joint" = 0.0 "mm", Triangular { low: 0.0, high: 0.2 }; Ours Own
        "joint between trays, of a down pipe that is told";
        "ours: one piece if nothing is said";
    LeftSlack "left-out/slack" = 0.7 "mm", Triangular { low: 0.0, high: 3.0 }; Ours Own
        "edge gap of foam or fibre";
        "ours: pads are cut with scissors";
    LeftHeadSpace "left-out/head-space" = 0.08 "of outside", TriangularLog { low: 0.05, high: 0.15 }; Ours Own
        "water above the top tray";
        "ours";
    LeftMass "left-out/mass" = 0.2 "kg/l", TriangularLog { low: 0.14, high: 0.28 }; Ours Own
        "mass of the vessel, empty and dry, by its outside box";
        "ours";
    LeftWear "left-out/wear" = 0.012 "a year", TriangularLog { low: 0.004, high: 0.03 }; Ours Own
        "share of new speed that an impeller loses, where the age is told, down to 0.6 of it";
        "ours";
}
