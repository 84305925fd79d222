//! What a file leaves out is not perfect, it is unknown: figures of the program's own, wide, each with a key. The
//! ranges are rows of the assumptions; which field has which, the table of fields says.
//!
//! A figure that hangs on another (the hose, the flow, the outside, the age) is made from that one's nominal value.

use std::collections::BTreeSet;

use super::filter::{DownTube, Floor, Outside};
use super::hoses::{Fitting, Outlet};
use super::pump::{Curve, Taken};
use super::{Body, Filter, Impeller, Outline, Seal, SealCondition, Shape, Tray, ranges as r};
use crate::assumptions::A;
use crate::place::Space;
use crate::uncertainty::{Field, Key, Provenance, Source, Spot, Spread, Uncertain};
use crate::units::{Length, Plain, Quantity, YEAR};

/// Litres an hour in a m3/s.
const LITRES_AN_HOUR: f64 = 3.6e6;
/// Length of a down pipe beyond the trays, m.
const PAST_TRAYS: f64 = 0.03;
/// Trade sizes of hose, mm, with the greatest flow each is sold for, l/h.
const HOSES: [(f64, f64); 4] = [(400.0, 9.0), (750.0, 12.0), (1400.0, 16.0), (2500.0, 19.0)];
const WIDEST_HOSE: f64 = 25.0;

/// What a file of a filter left out, by the keys of the fields.
#[derive(Clone, Debug, Default)]
pub struct LeftOut {
    pub keys: BTreeSet<Key>,
    pub counted: Option<u32>,
}

/// Makes the figures of one filter, by the first part of its keys.
#[derive(Clone, Copy, Debug)]
pub struct Assumed<'a> {
    filter: &'a str,
}

impl<'a> Assumed<'a> {
    pub fn new(filter: &'a str) -> Self {
        Self { filter }
    }

    fn key(&self, at: impl Into<Spot>, field: &'static Field) -> Key {
        Key::new(Source::Filter(self.filter.into()), at, field)
    }

    /// A row of the assumptions, so many times.
    fn figure<Q: Quantity>(
        &self,
        at: impl Into<Spot>,
        field: &'static Field,
        which: A,
        by: f64,
    ) -> Option<Uncertain<Q>> {
        let row = which.entry();
        let spread = match row.spread {
            Spread::TriangularLog { low, high } => Spread::TriangularLog { low: low * by, high: high * by },
            Spread::Triangular { low, high } => Spread::Triangular { low: low * by, high: high * by },
            other => other,
        };
        let key = Key::made(Source::Filter(self.filter.into()), at, field, which);
        Some(Uncertain { value: Q::new(row.value * by)?, known: Provenance::Assumed, spread, key })
    }

    fn exact<Q: Quantity>(
        &self,
        at: impl Into<Spot>,
        field: &'static Field,
        si: f64,
    ) -> Option<Uncertain<Q>> {
        Some(Uncertain::exact(Q::new(si)?, self.key(at, field)))
    }

    /// Makes all that was left out, each from what it hangs on; what hangs on nothing that is told stays untold.
    pub fn complete(&self, filter: &mut Filter, left: &LeftOut) -> Option<()> {
        let is_left = |at: Spot| left.keys.contains(&self.key(at, &r::GAP));
        let age = filter.unit.as_ref().and_then(|unit| unit.age.as_ref()).map(|age| age.si() / YEAR);
        let printed = filter.label.as_ref().and_then(|label| label.flow.as_ref()).map(Uncertain::si);
        match (&mut filter.pump.curve, printed) {
            (Some(Curve::Ends { flow, head }), _) if is_left("pump/head".into()) => {
                *head = self.head(flow.si())?;
            }
            (curve @ None, Some(printed)) => {
                let flow = self.figure("pump/flow", &r::PUMP_FLOW, A::LeftFlow, printed)?;
                *curve = Some(Curve::Ends { flow, head: self.head(printed)? });
                // What a box prints was taken there.
                filter.pump.taken = Taken::AtPorts;
            }
            _ => {}
        }
        let most = match &filter.pump.curve {
            Some(Curve::Ends { flow, .. }) if flow.known != Provenance::Assumed => Some(flow.si()),
            Some(Curve::Points { points }) => points.last().map(|point| point.flow.si()),
            _ => None,
        };
        let flow = most.or(printed)? * LITRES_AN_HOUR;
        if is_left("pump/power".into()) {
            filter.pump.power = self.figure("pump/power", &r::PUMP_POWER, A::LeftPower, flow);
        }
        if is_left("hose/bore".into()) {
            let size = HOSES.into_iter().find(|(most, _)| flow <= *most).map_or(WIDEST_HOSE, |(_, mm)| mm);
            filter.hose.bore = self.figure("hose/bore", &r::HOSE_BORE, A::LeftHose, size * 1e-3)?;
        }
        let hose = filter.hose.bore.si();
        if is_left("intake".into()) {
            filter.intake = self.intake(hose)?;
        }
        if is_left("return".into()) {
            (filter.return_side, filter.outlet) = self.return_side(hose)?;
        }
        if let (Some(count), Some(outside)) = (left.counted, &filter.body.outside) {
            filter.trays = self.trays(count, outside, age)?;
        }
        for (t, tray) in filter.trays.iter_mut().enumerate() {
            let at = Spot::from(Space::Tray(t));
            if is_left(at.part("grid")) {
                tray.grid = Some(self.grid()?);
            }
            if is_left(at.part("seal")) {
                tray.seal = Some(self.seal(t, age)?);
            }
        }
        self.body(&mut filter.body, &filter.trays, hose, &is_left)?;
        self.slack(filter, &is_left)?;
        let untold = |impeller: &Impeller| *impeller == Impeller::New && is_left("unit/impeller".into());
        if let Some((unit, years)) = filter.unit.as_mut().filter(|unit| untold(&unit.impeller)).zip(age) {
            let yearly = self.figure("unit/impeller", &r::IMPELLER, A::LeftWear, 1.0)?;
            unit.impeller = Impeller::Aged { yearly, years };
        }
        Some(())
    }

    /// Floor, down pipe, room above the trays and mass. A heap without trays has no pipe through them.
    fn body(
        &self,
        body: &mut Body,
        trays: &[Tray],
        hose: f64,
        is_left: &impl Fn(Spot) -> bool,
    ) -> Option<()> {
        if let Some(lowest) = trays.first() {
            if is_left("floor".into()) {
                body.floor = Some(self.floor(&lowest.shape)?);
            }
            if is_left("down_tube".into()) {
                let length = trays.iter().map(|tray| tray.height.si()).sum::<f64>() + PAST_TRAYS;
                body.down_tube = Some(DownTube {
                    bore: self.figure("down_tube/bore", &r::TUBE_BORE, A::LeftTube, hose)?,
                    length: self.exact("down_tube/length", &r::TUBE_LENGTH, length)?,
                    joint: Some(self.figure("down_tube/joint", &r::GAP, A::LeftTubeJoint, 1e-3)?),
                });
            }
        }
        if let Some(tube) = body.down_tube.as_mut().filter(|_| trays.len() > 1)
            && is_left("down_tube/joint".into())
        {
            tube.joint = Some(self.figure("down_tube/joint", &r::GAP, A::LeftJoint, 1e-3)?);
        }
        let Some(outside) = &body.outside else { return Some(()) };
        let room = outside.width.si() * outside.depth.si() * outside.height.si();
        if is_left("body/head_space".into()) {
            body.head_space = self.figure("body/head_space", &r::HEAD_SPACE, A::LeftHeadSpace, room);
        }
        if is_left("body/dry_mass".into()) {
            body.dry_mass = self.figure("body/dry_mass", &r::DRY_MASS, A::LeftMass, room * 1e3);
        }
        Some(())
    }

    /// Edge gaps of pads; loose media close on the wall by themselves.
    fn slack(&self, filter: &mut Filter, is_left: &impl Fn(Spot) -> bool) -> Option<()> {
        for build in &mut filter.builds {
            let name = Spot::build(&build.name);
            let floor = std::iter::once((Space::Floor, &mut build.floor));
            let trays = build.trays.iter_mut().enumerate().map(|(t, layers)| (Space::Tray(t), layers));
            for (space, layers) in floor.chain(trays) {
                for (i, layer) in layers.iter_mut().enumerate().filter(|(_, layer)| layer.medium.is_pad()) {
                    let at = name.space(space).item(i).part("slack");
                    if is_left(at.clone()) {
                        layer.slack = Some(self.figure(at, &r::SLACK, A::LeftSlack, 1e-3)?);
                    }
                }
            }
        }
        Some(())
    }

    /// Greatest head of a pump of that flow, m3/s.
    fn head(&self, flow: f64) -> Option<Uncertain<Length>> {
        let by = (flow * LITRES_AN_HOUR / 1000.0).powf(0.35);
        self.figure("pump/head", &r::PUMP_HEAD, A::LeftHead, by)
    }

    /// Connector and tap of a side, of one bore, and two elbows.
    fn side(&self, side: &'static str, hose: f64) -> Option<Vec<Fitting>> {
        let at = |what| Spot::from(side).part("fittings").part(what);
        let bore: Uncertain<Length> = self.figure(at("bore"), &r::FITTING_BORE, A::LeftFittings, hose)?;
        let length: Uncertain<Length> =
            self.exact(at("length"), &r::FITTING_LENGTH, A::FittingLength.entry().value)?;
        let count: Uncertain<Plain> = self.exact(at("elbows"), &r::ELBOWS, 2.0)?;
        Some(vec![
            Fitting::Connector { bore: bore.clone(), length: length.clone() },
            Fitting::Tap { bore, length },
            Fitting::Elbow { count },
        ])
    }

    /// Strainer, connector, tap and elbows of the intake, for a hose of that bore, m.
    fn intake(&self, hose: f64) -> Option<Vec<Fitting>> {
        let [diameter, length] = [("diameter", 0.025), ("length", 0.08)]
            .map(|(what, si)| self.exact(Spot::from("intake/strainer").part(what), &r::STRAINER_LENGTH, si));
        let open: Uncertain<Plain> = self.exact("intake/strainer/open", &r::OPEN_SHARE, 0.35)?;
        let mut all = vec![Fitting::Strainer { diameter: diameter?, length: length?, open }];
        all.extend(self.side("intake", hose)?);
        Some(all)
    }

    /// Tap, connector and elbows of the return, and a jet.
    fn return_side(&self, hose: f64) -> Option<(Vec<Fitting>, Outlet)> {
        let mut all = self.side("return", hose)?;
        all.swap(0, 1);
        let bore = self.figure("return/jet/bore", &r::JET_BORE, A::LeftJet, hose)?;
        Some((all, Outlet::Jet { bore }))
    }

    /// So many equal trays in an outside box; the filter's age in years.
    pub fn trays(&self, count: u32, outside: &Outside, age: Option<f64>) -> Option<Vec<Tray>> {
        let each = outside.height.si() / f64::from(count.max(1));
        let height: Uncertain<Length> =
            self.figure("trays/height", &r::TRAY_HEIGHT, A::LeftTrayHeights, each)?;
        let side = |si: f64| self.figure::<Length>("trays/sides", &r::TRAY_WIDTH, A::LeftTraySides, si);
        let outline = Outline::Unseen {
            width: side(outside.width.si())?,
            depth: side(outside.depth.si())?,
            fill: self.figure("trays/fill", &r::TRAY_FILL, A::LeftTrayFill, 1.0)?,
        };
        let tray = |t: u32| {
            Some(Tray {
                shape: Shape { outline: outline.clone(), less: Vec::new() },
                height: height.clone(),
                grid: Some(self.grid()?),
                seal: Some(self.seal(t as usize, age)?),
            })
        };
        (0..count).map(tray).collect()
    }

    fn grid(&self) -> Option<Uncertain<Plain>> {
        self.figure("trays/grid", &r::GRID, A::LeftGrid, 1.0)
    }

    /// A lip that sets with the years, of a filter of that age; none is a new one.
    pub fn seal(&self, tray: usize, age: Option<f64>) -> Option<Seal> {
        let years = age.map_or(0.0, |age| (age - 2.0).max(0.0));
        let gap = (0.08e-3 + 0.04e-3 * years).min(0.5e-3);
        let gap = self.figure(Spot::from(Space::Tray(tray)).part("seal"), &r::GAP, A::LeftSeal, gap)?;
        Some(Seal { condition: SealCondition::Lip, gap })
    }

    /// Settling space under the lowest tray, of its outline and drawn with it.
    pub fn floor(&self, lowest: &Shape) -> Option<Floor> {
        let height = self.figure("floor/height", &r::FLOOR_HEIGHT, A::LeftFloor, 1e-3)?;
        Some(Floor { shape: lowest.clone(), height })
    }
}
