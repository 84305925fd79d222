//! Filters built by hand or by chance, for tests and benches.

use std::sync::Arc;

use cansift::assumptions::Kind;
use cansift::model::filter::{Body, Build, DownTube, Filter, Floor, Outside, Way};
use cansift::model::filter::{Hose, Wall};
use cansift::model::hoses::{Fitting, Outlet};
use cansift::model::medium::{Bed, Medium, Role};
use cansift::model::pump::{Curve, Pump, Taken};
use cansift::model::shape::{Outline, Shape};
use cansift::model::tank::{Feed, Food, Run, Tank, Water, WaterChange};
use cansift::model::tray::{Amount, Dimples, Layer, Seal, SealCondition, Tray};
use cansift::uncertainty::key::Key;
use cansift::uncertainty::uncertain::{Provenance, Spread, Uncertain};
use cansift::units::Quantity;

pub use crate::chance::Chance;

/// A figure of that SI value with the spread of a printed one.
pub fn fig<Q: Quantity>(si: f64, key: &str) -> Uncertain<Q> {
    let spread = if si == 0.0 { Spread::Exact } else { Spread::Normal { sd: 0.025 } };
    Uncertain { value: Q::new(si).unwrap(), known: Provenance::Stated, spread, key: Key::named(key) }
}

pub fn mm<Q: Quantity>(mm: f64, key: &str) -> Uncertain<Q> {
    fig(mm / 1000.0, key)
}

pub fn medium(
    id: &str,
    role: Role,
    bed: Bed,
    void: f64,
    capture: f64,
    surface: f64,
    inner: f64,
) -> Arc<Medium> {
    let k = |part: &str| format!("media/{id}/{part}");
    let _ = void;
    Arc::new(Medium {
        id: id.into(),
        name: id.into(),
        role,
        bed,
        dry: fig(if inner > 0.0 { 450.0 } else { 30.0 }, &k("dry")),
        surface: Some(fig(surface * 1000.0, &k("surface"))),
        inner: fig(inner, &k("inner")),
        capture: fig(capture, &k("capture")),
        life: None,
        price: None,
        surface_range: None,
        sold: None,
        freshwater_only: false,
        floats: false,
        source: "made up for a test".into(),
        kind: Kind::Ours,
    })
}

pub fn foam(ppi: f64, role: Role) -> Arc<Medium> {
    let id = format!("foam-{ppi}");
    let bed =
        Bed::Foam { ppi: fig(ppi, &format!("media/{id}/ppi")), void: fig(0.97, &format!("media/{id}/void")) };
    medium(&id, role, bed, 0.97, ppi * 0.5, ppi * 0.04, 0.0)
}

pub fn floss() -> Arc<Medium> {
    let bed = Bed::Fibre {
        diameter: fig(30e-6, "media/floss/diameter"),
        solidity: fig(0.02, "media/floss/solidity"),
    };
    medium("floss", Role::Polishing, bed, 0.98, 46.0, 2.0, 0.0)
}

pub fn lumps() -> Arc<Medium> {
    let bed = Bed::Pieces {
        size: fig(0.012, "media/lumps/size"),
        void: fig(0.44, "media/lumps/void"),
        sphericity: fig(0.65, "media/lumps/sphericity"),
    };
    medium("lumps", Role::Biological, bed, 0.44, 3.0, 0.4, 0.58)
}

pub fn layer(medium: &Arc<Medium>, depth_mm: f64, slack_mm: f64, hole_mm: f64, key: &str) -> Layer {
    let some = |x: f64, part: &str| (x > 0.0).then(|| mm(x, &format!("{key}/{part}")));
    Layer {
        medium: medium.clone(),
        amount: if depth_mm > 0.0 {
            Amount::Depth(mm(depth_mm, &format!("{key}/depth")))
        } else {
            Amount::Rest
        },
        slack: some(slack_mm, "slack"),
        hole: some(hole_mm, "hole"),
        squeezed: None,
        dimples: None,
    }
}

pub fn square(area: f64, key: &str) -> Shape {
    let side = area.sqrt();
    let outline = Outline::Rect {
        width: fig(side, &format!("{key}/width")),
        depth: fig(side, &format!("{key}/depth")),
        corner: None,
    };
    Shape { outline, less: Vec::new() }
}

pub fn tray(area: f64, height_mm: f64, gap_mm: f64, key: &str) -> Tray {
    Tray {
        shape: square(area, key),
        height: mm(height_mm, &format!("{key}/height")),
        grid: Some(fig(0.4, &format!("{key}/grid"))),
        seal: Some(Seal { condition: SealCondition::Lip, gap: mm(gap_mm, &format!("{key}/seal")) }),
    }
}

/// Three trays, eight layers, slack and a hole, tube with joints.
pub fn three_trays() -> Filter {
    let (c, m, f) = (foam(10.0, Role::Coarse), foam(20.0, Role::Medium), foam(45.0, Role::Fine));
    let (floss, lumps) = (floss(), lumps());
    let build = Build {
        name: "as made".into(),
        floor: vec![layer(
            &medium("rings", Role::Settlement, lumps.bed.clone(), 0.44, 3.0, 0.3, 0.1),
            20.0,
            0.0,
            0.0,
            "l0",
        )],
        trays: vec![
            vec![
                layer(&c, 25.0, 1.0, 0.0, "l1"),
                layer(&m, 25.0, 1.0, 0.0, "l2"),
                layer(&f, 25.0, 1.0, 0.0, "l3"),
            ],
            vec![layer(&lumps, 40.0, 0.0, 0.0, "l4"), layer(&lumps, 0.0, 0.0, 0.0, "l5")],
            vec![layer(&f, 40.0, 1.0, 25.0, "l6"), layer(&floss, 20.0, 0.0, 0.0, "l7")],
        ],
        kept: cansift::model::log::Kept::default(),
    };
    Filter {
        id: "hand-made".into(),
        found: None,
        text: cansift::model::filter::Text::default(),
        name: "Hand made".into(),
        notes: String::new(),
        variant: None,
        measured: None,
        licence: None,
        label: None,
        pump: Pump {
            taken: Taken::AtImpeller,
            curve: Some(Curve::Ends { flow: fig(1100.0 / 3.6e6, "pump/flow"), head: fig(1.7, "pump/head") }),
            power: Some(fig(18.0, "pump/power")),
            hz: None,
        },
        way: Way::Rising,
        hose: Hose { bore: mm(16.0, "hose/bore"), wall: Wall::Smooth },
        intake: vec![
            Fitting::Strainer { diameter: mm(25.0, "s/d"), length: mm(80.0, "s/l"), open: fig(0.35, "s/o") },
            Fitting::Connector { bore: mm(12.5, "c/b"), length: mm(30.0, "c/l") },
            Fitting::Tap { bore: mm(12.5, "t/b"), length: mm(30.0, "t/l") },
        ],
        return_side: vec![
            Fitting::Tap { bore: mm(12.5, "t2/b"), length: mm(30.0, "t2/l") },
            Fitting::Connector { bore: mm(12.5, "c2/b"), length: mm(30.0, "c2/l") },
        ],
        outlet: Outlet::Jet { bore: mm(13.0, "jet") },
        body: Body {
            outside: Some(Outside { width: mm(235.0, "w"), depth: mm(200.0, "d"), height: mm(410.0, "h") }),
            dry_mass: Some(fig(4.2, "dry")),
            floor: Some(Floor { shape: square(0.023, "floor"), height: mm(25.0, "floor/height") }),
            down_tube: Some(DownTube {
                bore: mm(22.0, "tube/bore"),
                length: mm(300.0, "tube/length"),
                joint: Some(mm(0.05, "tube/joint")),
            }),
            head_space: Some(fig(1.2e-3, "head")),
        },
        trays: vec![
            tray(0.023, 80.0, 0.05, "t1"),
            tray(0.023, 80.0, 0.4, "t2"),
            tray(0.023, 80.0, 1.5, "t3"),
        ],
        uv: None,
        handling: None,
        unit: None,
        builds: vec![build],
    }
}

/// A tank of which nothing is told but its name.
pub fn bare_tank() -> Tank {
    let text = "Tank(format: 1, name: \"bare\")";
    let read = cansift::profile::read_tank(
        std::path::Path::new("bare.ron"),
        text,
        cansift::library::Library::shipped(),
    );
    (*read.unwrap().tank).clone()
}

/// A tank of 180 l with everything that the water side asks for.
pub fn tank() -> Tank {
    let bare = bare_tank();
    Tank {
        name: "by hand".into(),
        volume: Some(fig(0.18, "tank/volume")),
        water: Water {
            temperature: fig(25.0, "tank/t"),
            ph: None,
            tap_nitrate: fig(10.0, "tank/tap"),
            salt: false,
        },
        food: Food { daily: Some(fig(3.5, "tank/feed")), protein: fig(0.42, "tank/protein") },
        plants: fig(0.0, "tank/plants"),
        hoses: Run {
            intake: fig(1.3, "tank/intake"),
            return_side: fig(1.5, "tank/return"),
            bends: fig(2.0, "tank/bends"),
            outlet_above_water: fig(0.0, "tank/above"),
        },
        water_change: Some(WaterChange {
            share: fig(0.25, "tank/share"),
            every: fig(7.0 * 86400.0, "tank/every"),
        }),
        currency: "EUR".into(),
        priorities: Vec::new(),
        ..bare
    }
}

/// Any filter that a file can hold, as that file tells it: its figures are as doubtful as printed ones.
pub fn any_file(c: &mut Chance) -> String {
    loop {
        let mut filter = any_filter(c);
        for layer in
            filter.builds.iter_mut().flat_map(|b| b.floor.iter_mut().chain(b.trays.iter_mut().flatten()))
        {
            if !layer.medium.is_pad() {
                (layer.slack, layer.squeezed, layer.dimples) = (None, None, None);
            }
        }
        let text = cansift::profile::write::write(&filter, &filter.builds, "");
        let shipped = cansift::library::Library::shipped();
        if cansift::profile::read_filter(std::path::Path::new("any.ron"), &text, shipped).is_ok() {
            return text;
        }
    }
}

/// Any filter at all, within the ranges the reader lets in.
pub fn any_filter(c: &mut Chance) -> Filter {
    let media = [
        foam(10.0, Role::Coarse),
        foam(20.0, Role::Medium),
        foam(30.0, Role::Fine),
        foam(45.0, Role::Fine),
        floss(),
        lumps(),
        medium(
            "rings",
            Role::Settlement,
            Bed::Rings {
                outer: mm(12.0, "r/o"),
                inner: mm(7.0, "r/i"),
                length: mm(12.0, "r/l"),
                void: fig(0.6, "r/v"),
            },
            0.6,
            3.0,
            0.33,
            0.1,
        ),
    ];
    let mut f = three_trays();
    f.way = if c.chance(0.5) { Way::Rising } else { Way::Falling };
    f.pump.taken = if c.chance(0.5) { Taken::AtPorts } else { Taken::AtImpeller };
    f.pump.curve = Some(Curve::Ends {
        flow: fig(c.log(100.0, 4000.0) / 3.6e6, "pump/flow"),
        head: fig(c.log(0.4, 4.0), "pump/head"),
    });
    let bore = c.between(8.0, 25.0);
    f.hose = Hose {
        bore: mm(bore, "hose/bore"),
        wall: if c.chance(0.2) { Wall::Ribbed { pitch: mm(4.0, "rib") } } else { Wall::Smooth },
    };
    let fitting = |c: &mut Chance| match c.below(4) {
        0 => Fitting::Connector { bore: mm(c.between(5.0, 26.0), "c/b"), length: mm(30.0, "c/l") },
        1 => Fitting::Tap { bore: mm(c.between(5.0, 26.0), "t/b"), length: mm(30.0, "t/l") },
        2 => Fitting::Elbow { count: fig(1.0, "e") },
        _ => Fitting::Strainer {
            diameter: mm(25.0, "s/d"),
            length: mm(80.0, "s/l"),
            open: fig(c.between(0.05, 0.6), "s/o"),
        },
    };
    f.intake = (0..c.below(4)).map(|_| fitting(c)).collect();
    f.return_side = (0..c.below(4)).map(|_| fitting(c)).collect();
    f.outlet = match c.below(3) {
        0 => Outlet::Open,
        1 => Outlet::Jet { bore: mm(c.between(5.0, 20.0), "jet") },
        _ => Outlet::SprayBar {
            bore: mm(c.between(8.0, 18.0), "bar"),
            holes: 1 + c.below(40) as u32,
            hole: mm(c.between(2.0, 6.0), "bar/hole"),
            pitch: mm(20.0, "bar/pitch"),
        },
    };
    if c.chance(0.2) {
        f.body.down_tube = None;
    } else if let Some(tube) = &mut f.body.down_tube {
        tube.bore = mm(c.between(10.0, 40.0), "tube/bore");
        tube.joint = c.chance(0.5).then(|| mm(c.log(0.01, 3.0), "tube/joint"));
    }
    if c.chance(0.2) {
        f.body.floor = None;
    }
    let count = c.below(6);
    let area = c.log(0.004, 0.08);
    f.trays = (0..count)
        .map(|i| {
            let mut t = tray(area, c.between(30.0, 150.0), c.log(0.01, 3.0), &format!("t{i}"));
            if c.chance(0.2) {
                t.seal = None;
            }
            if c.chance(0.2) {
                t.grid = None;
            }
            t
        })
        .collect();
    let layers = |c: &mut Chance, height_mm: f64, most: usize, key: String| -> Vec<Layer> {
        let n = c.below(most + 1);
        (0..n)
            .map(|i| {
                let m = &media[c.below(media.len())];
                let slack = if c.chance(0.5) { c.log(0.05, 4.0) } else { 0.0 };
                let hole = if c.chance(0.15) { c.between(2.0, 30.0) } else { 0.0 };
                let mut l = layer(m, height_mm * 0.9 / n as f64, slack, hole, &format!("{key}/{i}"));
                if m.is_pad() && c.chance(0.3) {
                    l.squeezed = Some(fig(c.between(0.0, 0.4), &format!("{key}/{i}/squeezed")));
                }
                if m.is_pad() && c.chance(0.2) {
                    l.dimples = Some([Dimples::Up, Dimples::Down, Dimples::Both][c.below(3)]);
                }
                l
            })
            .collect()
    };
    let floor = if f.body.floor.is_some() { layers(c, 25.0, 1, "floor".into()) } else { Vec::new() };
    let trays = (0..count)
        .map(|t| {
            let height = f.trays[t].height.si() * 1000.0;
            layers(c, height, 5, format!("t{t}"))
        })
        .collect();
    f.builds = vec![Build::packed("by chance", floor, trays)];
    f
}

/// The tank, fed otherwise.
pub fn fed(tank: Tank, feed: Feed) -> Tank {
    let (daily, stock) = match feed {
        Feed::Daily(daily) => (Some(daily), None),
        Feed::Stock(stock) => (None, Some(stock)),
        Feed::Unknown => (None, None),
    };
    Tank { food: Food { daily, ..tank.food }, stock, ..tank }
}
