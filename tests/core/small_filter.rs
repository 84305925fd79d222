//! An invented filter, media and tank without doubt, for tests that need things rather than laws.

use std::sync::Arc;

use cansift::assumptions::Kind;
use cansift::model::filter::{
    Body, Build, Filter, Floor, Impeller, Lamp, Outside, Part, Repair, Unit, Uv, Way,
};
use cansift::model::filter::{Hose, Wall};
use cansift::model::hoses::Outlet;
use cansift::model::medium::{Bed, Medium, Role};
use cansift::model::pump::{Curve, Pump, Taken};
use cansift::model::shape::{Outline, Shape};
use cansift::model::tank::{Food, OnHand, Run, Tank, Water};
use cansift::model::tray::{Amount, Layer, Tray};
use cansift::uncertainty::key::Key;
use cansift::uncertainty::uncertain::Uncertain;
use cansift::units::{
    AreaPerVolume, BulkDensity, Flow, Length, Plain, Power, Quantity, Temperature, Time, Volume,
};

/// A figure without doubt, SI.
pub fn exact<Q: Quantity>(si: f64) -> Uncertain<Q> {
    Uncertain::exact(Q::new(si).unwrap(), Key::named("test"))
}

/// A pad of foam: loose media are [`grains`].
pub fn pad(id: &str, role: Role) -> Medium {
    let bed = Bed::Foam { ppi: exact::<Plain>(20.0), void: exact::<Plain>(0.97) };
    medium(id, role, bed)
}

/// Loose grains.
pub fn grains(id: &str, role: Role) -> Medium {
    let bed = Bed::Pieces {
        size: exact::<Length>(0.012),
        void: exact::<Plain>(0.44),
        sphericity: exact::<Plain>(0.65),
    };
    medium(id, role, bed)
}

fn medium(id: &str, role: Role, bed: Bed) -> Medium {
    Medium {
        id: id.into(),
        name: id.into(),
        role,
        bed,
        dry: exact::<BulkDensity>(30.0),
        surface: Some(exact::<AreaPerVolume>(850.0)),
        inner: exact::<Plain>(0.0),
        capture: exact::<Plain>(9.0),
        life: None,
        price: None,
        surface_range: None,
        sold: None,
        freshwater_only: false,
        floats: false,
        source: "invented".into(),
        kind: Kind::Ours,
    }
}

/// A layer so deep, m.
pub fn layer(medium: &Arc<Medium>, depth: f64) -> Layer {
    let amount = Amount::Depth(exact::<Length>(depth));
    Layer { medium: Arc::clone(medium), amount, slack: None, hole: None, squeezed: None, dimples: None }
}

/// `trays` trays of 10 × 10 cm, 80 mm high, over a floor of 25 mm.
pub fn filter(way: Way, trays: usize) -> Filter {
    let square = || Shape {
        outline: Outline::Rect { width: exact::<Length>(0.1), depth: exact::<Length>(0.1), corner: None },
        less: Vec::new(),
    };
    let tray = || Tray { shape: square(), height: exact::<Length>(0.08), grid: None, seal: None };
    Filter {
        id: "small".into(),
        found: None,
        text: cansift::model::filter::Text::default(),
        name: "Small".into(),
        notes: String::new(),
        variant: None,
        measured: None,
        licence: None,
        label: None,
        pump: Pump {
            taken: Taken::AtPorts,
            curve: Some(Curve::Ends { flow: exact::<Flow>(2e-4), head: exact::<Length>(1.2) }),
            power: Some(exact::<Power>(10.0)),
            hz: None,
        },
        way,
        hose: Hose { bore: exact::<Length>(0.016), wall: Wall::Smooth },
        intake: Vec::new(),
        return_side: Vec::new(),
        outlet: Outlet::Open,
        body: Body {
            outside: Some(Outside {
                width: exact::<Length>(0.2),
                depth: exact::<Length>(0.2),
                height: exact::<Length>(0.4),
            }),
            floor: Some(Floor { shape: square(), height: exact::<Length>(0.025) }),
            ..Body::default()
        },
        trays: (0..trays).map(|_| tray()).collect(),
        uv: None,
        handling: None,
        unit: None,
        builds: Vec::new(),
    }
}

/// A packing, floor first, trays from the bottom up.
pub fn build(floor: Vec<Layer>, trays: Vec<Vec<Layer>>) -> Build {
    Build::packed("test", floor, trays)
}

/// A 7 W lamp with a price.
pub fn uv(price: Option<f64>) -> Uv {
    Uv {
        lamp: exact::<Power>(7.0),
        hours: Some(exact::<Time>(6000.0 * 3600.0)),
        sleeve: exact::<Length>(0.024),
        shell: exact::<Length>(0.044),
        length: None,
        price: price.map(exact::<Plain>),
    }
}

/// A unit asked 45 for, with one repair of 9.
pub fn unit(lamp: Lamp, includes: &[&str]) -> Unit {
    Unit {
        asking: Some(exact::<Plain>(45.0)),
        spares: None,
        age: None,
        impeller: Impeller::New,
        lamp,
        to_fix: vec![Repair { part: Part::Other { part: "seal set".into() }, price: exact::<Plain>(9.0) }],
        includes: includes.iter().map(ToString::to_string).collect(),
    }
}

/// A tank of 180 l where power costs 0.30.
pub fn tank(on_hand: &[(&str, f64)]) -> Tank {
    let bare = crate::filters::bare_tank();
    Tank {
        name: "test".into(),
        volume: Some(exact::<Volume>(0.18)),
        water: Water {
            temperature: exact::<Temperature>(25.0),
            ph: None,
            tap_nitrate: exact::<Plain>(0.0),
            salt: false,
        },
        food: Food { daily: None, protein: exact::<Plain>(0.42) },
        plants: exact::<Plain>(0.0),
        hoses: Run {
            intake: exact::<Length>(1.5),
            return_side: exact::<Length>(1.5),
            bends: exact::<Plain>(2.0),
            outlet_above_water: exact::<Length>(0.0),
        },
        currency: "EUR".into(),
        power_price: Some(exact::<Plain>(0.3)),
        on_hand: on_hand
            .iter()
            .map(|(id, litres)| OnHand { medium: (*id).into(), volume: exact::<Volume>(litres * 1e-3) })
            .collect(),
        priorities: Vec::new(),
        ..bare
    }
}
