//! The file, exactly as it is written: one structure for each form of the data language.
//!
//! Every field may be missing here, so that all that is missing can be told at once; `check` knows what
//! must be there. Units as marker types: a field of kind [`Length`] is a length as written, perhaps
//! wrapped in how it is known.

use serde::Deserialize;

use super::spanned::{At, Form, List, Pair};
use crate::units::{AreaPerVolume, BulkDensity, Flow, Length, Mass, Plain, Power, Time, Volume};

/// Structures with named fields.
macro_rules! structures {
    ($($name:ident $what:literal $like:literal { $($field:ident: $type:ty),+ $(,)? })+) => { $(
        #[doc = concat!("As written: `", $like, "`.")]
        #[derive(Deserialize)]
        #[serde(deny_unknown_fields)]
        pub struct $name { $(
            #[doc = concat!("`", stringify!($field), "`")]
            pub $field: Option<At<$type>>,
        )+ }
        impl Form for $name {
            const WHAT: &'static str = $what;
            const LIKE: &'static str = $like;
        }
    )+ };
}

/// Choices by name, each with named fields.
macro_rules! choices {
    ($($name:ident $what:literal $like:literal {
        $($variant:ident $(($($inner:ty),+))? $({ $($field:ident: $type:ty),* $(,)? })?),+ $(,)?
    })+) => { $(
        #[doc = concat!("As written: `", $like, "`.")]
        #[derive(Deserialize)]
        #[serde(deny_unknown_fields, rename_all = "snake_case")]
        pub enum $name { $(
            #[doc = concat!("`", stringify!($variant), "`")]
            $variant $(($(At<$inner>),+))? $({ $(
                #[doc = concat!("`", stringify!($field), "`")]
                $field: Option<At<$type>>
            ),* })?,
        )+ }
        impl Form for $name {
            const WHAT: &'static str = $what;
            const LIKE: &'static str = $like;
        }
    )+ };
}

structures! {
    Filter "a filter" "Filter(format: 1, name: \"…\", …)" {
        format: Plain, name: String, notes: String, label: Label, pump: Pump, way: Way, hose: Hose,
        suction: List<Part>, delivery: List<Part>, body: Body, trays: List<Tray>, uv: Uv,
        handling: Handling, unit: Unit, media: List<Medium>, builds: List<Build>,
    }
    Label "a label" "Label(flow: l_h(1100), tank: l(300))" { flow: Flow, tank: Volume }
    Pump "a pump" "Pump(curve: ends(flow: l_h(1100), head: m(1.7)), power: w(18))" {
        taken: Taken, curve: Curve, power: Power, hz: Plain,
    }
    Hose "a hose" "Hose(bore: mm(16), wall: smooth)" { bore: Length, wall: Wall }
    Body "a body" "Body(outside: (width: mm(235), depth: mm(200), height: mm(410)), …)" {
        outside: Outside, dry_mass: Mass, floor: Floor, down_tube: DownTube, head_space: Volume,
    }
    Outside "a box" "(width: mm(235), depth: mm(200), height: mm(410))" {
        width: Length, depth: Length, height: Length,
    }
    Floor "a floor" "Floor(shape: dee(width: mm(190), depth: mm(165)), height: mm(25))" {
        shape: Shape, height: Length,
    }
    DownTube "a down-tube" "(bore: mm(22), length: mm(300))" { bore: Length, length: Length, joint: Length }
    Tray "a tray" "Tray(shape: round(diameter: mm(180)), height: mm(80), …)" {
        shape: Shape, height: Length, grid: Plain, seal: Seal,
    }
    Uv "a UV chamber" "Uv(lamp: w(7), sleeve: mm(24), shell: mm(44))" {
        lamp: Power, hours: Time, sleeve: Length, shell: Length, length: Length, price: Plain,
    }
    Handling "handling" "Handling(priming: electric, release: block, clasps: 4)" {
        priming: Priming, release: Release, clasps: Plain,
    }
    Unit "a unit" "Unit(asking: 45.0, age: year(6), …)" {
        asking: Plain, spares: Spares, age: Time, impeller: Plain, bucket: Bucket, lamp: Lamp,
        to_fix: List<Pair<String, Plain>>, includes: List<String>,
    }
    Bucket "a bucket test" "Bucket(volume: l(10), time: s(62), suction: m(1.0), delivery: m(1.0))" {
        volume: Volume, time: Time, suction: Length, delivery: Length, bends: Plain,
    }
    Build "a build" "Build(name: \"…\", floor: [], trays: [[Layer(…)], []])" {
        name: String, floor: List<Layer>, trays: List<List<Layer>>,
    }
    Layer "a layer" "Layer(media: \"foam-20\", depth: mm(40))" {
        media: String, depth: Length, volume: Volume, mass: Mass, fill: Fill, slack: Length, hole: Length,
        squeezed: Plain, dimples: Dimples,
    }
    Medium "a medium" "Medium(id: \"…\", name: \"…\", role: medium, bed: foam(ppi: 20, void: 0.97), …)" {
        id: String, name: String, role: Role, bed: Bed, dry: BulkDensity, surface: AreaPerVolume, inner: Plain,
        capture: Plain, life: Time, price: Plain, freshwater_only: bool, floats: bool, source: String, kind: Kind,
    }
    Fitting "a fitting" "Fitting(id: \"…\", name: \"…\", is: tap(bore: mm(12.5)), source: \"…\", kind: practice)" {
        id: String, name: String, is: Part, source: String, kind: Kind,
    }
}

choices! {
    Taken "where a pump's figures were taken" "at_ports" { AtPorts, AtImpeller }
    Curve "a pump curve" "ends(flow: l_h(1100), head: m(1.7))" {
        Ends { flow: Flow, head: Length }, Points(List<Pair<Flow, Length>>)
    }
    Way "the way of the water" "rising" { Rising, Falling }
    Wall "the wall of a hose" "smooth" { Smooth, Ribbed { pitch: Length } }
    Part "a fitting" "tap(bore: mm(12.5))" {
        Strainer { diameter: Length, length: Length, open: Plain },
        Connector { bore: Length, length: Length },
        Tap { bore: Length, length: Length },
        Elbow(Plain),
        Outlet(Outlet),
        Fitting(String),
    }
    Outlet "an outlet" "jet(bore: mm(13))" {
        Open,
        Jet { bore: Length },
        SprayBar { bore: Length, holes: Plain, hole: Length, pitch: Length },
    }
    Shape "an outline" "rect(width: mm(180), depth: mm(160))" {
        Rect { width: Length, depth: Length, corner: Length, less: List<Shape> },
        Round { diameter: Length, less: List<Shape> },
        Oval { width: Length, depth: Length, less: List<Shape> },
        Dee { width: Length, depth: Length, less: List<Shape> },
        Sector { radius: Length, angle: Plain, less: List<Shape> },
        Outline { points: List<Pair<Plain, Plain>>, less: List<Shape> },
        MeasuredFill { volume: Volume, perimeter: Length, less: List<Shape> },
    }
    Seal "a seal" "lip(gap: mm(0.05))" { Lip { gap: Length }, Worn { gap: Length }, Missing { gap: Length } }
    Priming "a way of priming" "electric" { Electric, Push, ByHand }
    Release "a release of the hoses" "block" { Block, Unions, None }
    Spares "how spares are to be had" "scarce" { Plenty, Scarce, None }
    Lamp "the state of a lamp" "working" { Working, BurntOut, Absent }
    Fill "a fill" "rest" { Rest }
    Dimples "the dimpled side" "down" { Up, Down, Both }
    Role "a role" "biological" { Settlement, Coarse, Medium, Fine, Polishing, Biological, Chemical }
    Bed "a bed" "foam(ppi: 20, void: 0.97)" {
        Foam { ppi: Plain, void: Plain },
        Fibre { diameter: Length, solidity: Plain },
        Pieces { size: Length, void: Plain, sphericity: Plain },
        Rings { outer: Length, inner: Length, length: Length, void: Plain },
    }
    Kind "who stands behind it" "published" { Published, Practice, Ours }
}

impl Form for String {
    const WHAT: &'static str = "a text in quotes";
    const LIKE: &'static str = "\"…\"";
}

impl Form for bool {
    const WHAT: &'static str = "`true` or `false`";
    const LIKE: &'static str = "true";
}
