//! What the profile and the tank gave, told with how it is known.

use crate::assess::stage::words_of_layer;
use crate::assess::trace::Value;
use crate::assess::{Case, Trace};
use crate::assumptions::A;
use crate::hydraulics::plan::LayerAt;
use crate::message::{Amount as Said, Message, message};
use crate::model::fields::Field;
use crate::model::filter::{Outside, Wall};
use crate::model::hoses::{Fitting, Outlet};
use crate::model::medium::Bed;
use crate::model::pump::{Curve, Taken};
use crate::model::tank::Stock;
use crate::model::{Amount, Feed, Filter, Impeller, Layer, Outline, SealCondition, Shape, Tank};
use crate::uncertainty::{Provenance, Uncertain};
use crate::units::Length;

pub fn mm(figure: &Uncertain<Length>) -> Said {
    Said::Length(figure.si() * 1e3)
}

/// The assumptions that figures were made by which the file left out.
fn made(out: &mut Trace, of: &impl Field) {
    of.each(&mut |key, _, _| out.uses(key.made_by().as_slice()));
}

/// A layer with its place: `tray 1, layer 2 (medium foam, 20 PPI)`.
pub fn layer_words(at: &LayerAt, layer: &Layer) -> String {
    format!("{} ({})", words_of_layer(at.tray, at.index), layer.medium.name)
}

/// All layers with their places, in the water's order.
pub fn layers<'c>(case: &'c Case<'_>) -> impl Iterator<Item = (usize, &'c LayerAt, &'c Layer)> {
    case.plan.layers.iter().enumerate().filter_map(|(n, at)| Some((n, at, at.of(case.build)?)))
}

pub fn pump(out: &mut Trace, case: &Case<'_>) {
    let filter = case.filter;
    match &filter.pump.curve {
        Some(Curve::Ends { flow, head }) => {
            out.input("pump, flow against no head", flow, "l/h");
            out.input("pump, head at no flow", head, "m");
            out.uses(&[A::PumpExponent]);
        }
        Some(Curve::Points { points }) => {
            for (i, point) in points.iter().enumerate() {
                out.input(format!("pump, point {}, flow", i + 1), &point.flow, "l/h");
                out.input(format!("pump, point {}, head", i + 1), &point.head, "m");
            }
        }
        None => {}
    }
    let taken = match filter.pump.taken {
        Taken::AtPorts => "at the ports: the empty vessel's own loss is inside",
        Taken::AtImpeller => "at the impeller",
    };
    out.said("pump figures taken", taken, Provenance::Stated);
    impeller(out, filter);
    mains(out, filter, case.tank);
}

fn impeller(out: &mut Trace, filter: &Filter) {
    match filter.unit.as_ref().map(|u| &u.impeller) {
        None => out.said("impeller", "as new", Provenance::Assumed),
        Some(Impeller::New) => out.said("impeller", "as new", Provenance::Stated),
        Some(Impeller::Share(share)) => out.share("impeller, of a new one's flow", share),
        Some(Impeller::Aged { yearly, .. }) => {
            out.share("impeller, speed lost a year", yearly);
            if let Some(age) = filter.unit.as_ref().and_then(|unit| unit.age.as_ref()) {
                out.input("age", age, "year");
            }
        }
        Some(Impeller::Bucket(bucket)) => {
            out.input("bucket test, volume", &bucket.volume, "l");
            out.input("bucket test, time", &bucket.time, "s");
            out.input("bucket test, intake hose", &bucket.intake, "m");
            out.input("bucket test, return hose", &bucket.return_side, "m");
            out.input("bucket test, bends in each hose", &bucket.bends, "");
        }
    }
}

pub fn mains(out: &mut Trace, filter: &Filter, tank: Option<&Tank>) {
    if let (Some(printed), Some(here)) = (&filter.pump.hz, tank.and_then(|t| t.hz.as_ref())) {
        out.input("mains of the pump's figures", printed, "Hz");
        out.input("mains here", here, "Hz");
    }
}

pub fn hoses(out: &mut Trace, case: &Case<'_>) {
    let filter = case.filter;
    out.uses(&[A::Gravity, A::Roughness, A::BendFactor, A::HoseBendRadius, A::Entrance]);
    out.input("hose bore", &filter.hose.bore, "mm");
    if let Wall::Ribbed { pitch } = &filter.hose.wall {
        out.input("hose, from rib to rib", pitch, "mm");
        out.uses(&[A::RibbedFactor]);
    }
    if let Some(tank) = case.tank {
        let run = &tank.hoses;
        out.input("intake hose", &run.intake, "m");
        out.input("return hose", &run.return_side, "m");
        out.input("bends in each hose", &run.bends, "");
        out.input("outlet above the water", &run.outlet_above_water, "mm");
    } else {
        out.said(
            "intake and return hose, each",
            Value::In(A::RunLength.entry().value, "m"),
            Provenance::Assumed,
        );
        out.said("bends in each hose", Value::Given(A::RunBends.entry().value), Provenance::Assumed);
        out.uses(&[A::RunLength, A::RunBends]);
    }
    for (side, fittings) in [("intake", &filter.intake), ("return", &filter.return_side)] {
        for fitting in fittings {
            let (what, known) = self::fitting(fitting);
            out.said(format!("{side} side"), what, known);
            out.uses(fitting_constants(fitting));
            made(out, fitting);
        }
    }
    let (what, known) = self::outlet(&filter.outlet);
    out.said("outlet", what, known);
    made(out, &filter.outlet);
    match filter.outlet {
        Outlet::Open => {}
        Outlet::Jet { .. } => out.uses(&[A::JetFactor]),
        Outlet::SprayBar { .. } => out.uses(&[A::HoleDischarge, A::MomentumRecovery]),
    }
    temperature(out, case);
}

pub fn temperature(out: &mut Trace, case: &Case<'_>) {
    if let Some(tank) = case.tank {
        out.input("water", &tank.water.temperature, "°C");
    } else {
        let degrees = A::NoTankTemperature.entry().value;
        out.said("water", Value::In(degrees, "°C"), Provenance::Assumed);
        out.uses(&[A::NoTankTemperature]);
    }
}

fn fitting_constants(fitting: &Fitting) -> &'static [A] {
    match fitting {
        Fitting::Strainer { .. } => &[A::StrainerFactor],
        Fitting::Connector { length, .. } | Fitting::Tap { length, .. }
            if length.known == Provenance::Assumed =>
        {
            &[A::FittingLength]
        }
        Fitting::Connector { .. } | Fitting::Tap { .. } => &[],
        Fitting::Elbow { .. } => &[A::ElbowRadius],
    }
}

/// A fitting in a few words, and how its main figure is known.
pub fn fitting(fitting: &Fitting) -> (Message, Provenance) {
    match fitting {
        Fitting::Strainer { diameter, length, open } => {
            let open = format!(", {} % open", open.si() * 100.0);
            (message!("strainer ", mm(diameter), " by ", mm(length), open), diameter.known)
        }
        Fitting::Connector { bore, .. } => (message!("connector, ", mm(bore), " bore"), bore.known),
        Fitting::Tap { bore, .. } => (message!("tap, ", mm(bore), " bore"), bore.known),
        Fitting::Elbow { count } if (count.si() - 1.0).abs() < 1e-9 => ("1 elbow".into(), count.known),
        Fitting::Elbow { count } => (format!("{} elbows", count.si()).into(), count.known),
    }
}

/// The outlet in a few words, and how its main figure is known.
pub fn outlet(outlet: &Outlet) -> (Message, Provenance) {
    match outlet {
        Outlet::Open => ("open hose end".into(), Provenance::Stated),
        Outlet::Jet { bore } => (message!("jet of ", mm(bore), " bore"), bore.known),
        Outlet::SprayBar { bore, holes, hole, .. } => {
            (message!("spray bar of ", mm(bore), format!(" bore, {holes} holes of "), mm(hole)), hole.known)
        }
    }
}

/// The vessel as water meets it: tube, trays, layers.
pub fn vessel(out: &mut Trace, case: &Case<'_>) {
    if let Some(tube) = &case.filter.body.down_tube {
        out.input("down pipe bore", &tube.bore, "mm");
        out.input("down pipe length", &tube.length, "mm");
        if let Some(joint) = &tube.joint {
            out.input("joint between trays", joint, "mm");
        }
    }
    spaces(out, case);
    for (t, tray) in case.filter.trays.iter().enumerate() {
        if let Some(grid) = &tray.grid {
            out.share(format!("tray {} grid, open", t + 1), grid);
            out.uses(&[A::GridHole, A::GridPlate]);
        }
        if let Some(seal) = &tray.seal {
            let (word, constant) = match seal.condition {
                SealCondition::Lip => ("lip", A::SealLength),
                SealCondition::Worn => ("worn", A::SealLength),
                SealCondition::Missing => ("missing", A::MissingSealLength),
            };
            out.input(format!("tray {} seal ({word}), gap", t + 1), &seal.gap, "mm");
            out.uses(&[constant]);
        }
    }
    laid(out, case);
    for (_, _, layer) in layers(case) {
        out.uses(&[match layer.medium.bed {
            Bed::Pieces { .. } | Bed::Rings { .. } => A::GrainFactor,
            Bed::Foam { .. } => A::FoamA,
            Bed::Fibre { .. } => A::FibreFactor,
        }]);
        if layer.faces_flow(case.filter.way) {
            out.uses(&[A::DimpledShare]);
        }
    }
}

pub fn spaces(out: &mut Trace, case: &Case<'_>) {
    let floor = case.filter.body.floor.as_ref().map(|f| ("floor".to_owned(), &f.shape, &f.height));
    let trays = case
        .filter
        .trays
        .iter()
        .enumerate()
        .map(|(t, tray)| (format!("tray {}", t + 1), &tray.shape, &tray.height));
    for (name, shape, height) in floor.into_iter().chain(trays) {
        let (value, known) = shape_words(shape);
        out.said(format!("{name} outline"), value, known);
        made(out, shape);
        out.input(format!("{name} height"), height, "mm");
    }
}

pub fn laid(out: &mut Trace, case: &Case<'_>) {
    for (_, at, layer) in layers(case) {
        let name = layer_words(at, layer);
        match &layer.amount {
            Amount::Depth(depth) => out.input(format!("{name}, depth"), depth, "mm"),
            Amount::Volume(volume) => out.input(format!("{name}, volume"), volume, "l"),
            Amount::Mass(mass) => {
                out.input(format!("{name}, dry mass"), mass, "kg");
                out.input(format!("{}, dry mass", layer.medium.name), &layer.medium.dry, "kg/l");
            }
            Amount::Rest => out.said(format!("{name}, depth"), "to the top", Provenance::Stated),
        }
        if let Some(slack) = &layer.slack {
            out.input(format!("{name}, edge gap"), slack, "mm");
        }
        if let Some(hole) = &layer.hole {
            out.input(format!("{name}, hole"), hole, "mm");
        }
        if let Some(squeezed) = &layer.squeezed {
            out.share(format!("{name}, pressed by"), squeezed);
        }
    }
}

/// An outline in a few words, and how its first figure is known.
fn shape_words(shape: &Shape) -> (Message, Provenance) {
    let by = |what: &str, w: &Uncertain<Length>, d: &Uncertain<Length>| {
        (message!(what, mm(w), " by ", mm(d)), w.known)
    };
    let (text, known) = match &shape.outline {
        Outline::Rect { width, depth, .. } => by("rectangle ", width, depth),
        Outline::Round { diameter } => (message!("round, ", mm(diameter), " across"), diameter.known),
        Outline::Oval { width, depth } => by("oval ", width, depth),
        Outline::Dee { width, depth } => by("dee ", width, depth),
        Outline::Unseen { width, depth, .. } => by("not told, about ", width, depth),
        Outline::Sector { radius, angle } => {
            (message!("sector of ", mm(radius), format!(" radius, {}°", angle.si())), radius.known)
        }
        Outline::Points { points } => {
            (format!("traced, {} corners", points.len()).into(), Provenance::Stated)
        }
        Outline::MeasuredFill { volume, perimeter } => {
            let water = Said::Volume(volume.si() * 1e3);
            (message!("took ", water, " of water, ", mm(perimeter), " round"), volume.known)
        }
    };
    let less = match shape.less.len() {
        0 => String::new(),
        1 => ", less what stands in it".to_owned(),
        n => format!(", less {n} things that stand in it"),
    };
    (message!(text, less), known)
}

pub fn feed(out: &mut Trace, case: &Case<'_>) {
    let Some(tank) = case.tank else { return };
    match &tank.feed() {
        Feed::Daily(daily) => out.input("dry food", daily, "g/day"),
        Feed::Stock(stock) => {
            let (word, constant) = match stock {
                Stock::Light => ("lightly", A::LightFeed),
                Stock::Normal => ("normally", A::NormalFeed),
                Stock::Heavy => ("heavily", A::HeavyFeed),
            };
            out.said("stocked", word, Provenance::Stated);
            out.uses(&[constant]);
            volume(out, case);
        }
        Feed::Unknown => {}
    }
}

pub fn protein(out: &mut Trace, case: &Case<'_>) {
    if let Some(tank) = case.tank {
        out.share("protein of the food", &tank.food.protein);
        if tank.food.protein.known == Provenance::Assumed {
            out.uses(&[A::FeedProtein]);
        }
    }
}

pub fn volume(out: &mut Trace, case: &Case<'_>) {
    if let Some(volume) = case.tank.and_then(|t| t.volume.as_ref()) {
        out.input("water in the tank", volume, "l");
    }
}

pub fn cuboid(out: &mut Trace, name: &str, at: &Outside) {
    out.input(format!("{name} width"), &at.width, "mm");
    out.input(format!("{name} depth"), &at.depth, "mm");
    out.input(format!("{name} height"), &at.height, "mm");
}
