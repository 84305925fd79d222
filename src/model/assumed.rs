//! What a file leaves out is not perfect, it is unknown: figures of the program's own, wide, each with a key.
//!
//! A figure that hangs on another (the hose, the flow, the outside, the age) is made from that one's nominal value.

use super::filter::{DownTube, Floor, Impeller, Outside};
use super::hoses::{Fitting, Outlet};
use super::pump::Curve;
use super::ranges as r;
use super::shape::{Outline, Shape};
use super::tray::{Seal, SealCondition, Tray};
use crate::assumptions::A;
use crate::place::Space;
use crate::uncertainty::field::Field;
use crate::uncertainty::key::{Key, Source, Spot};
use crate::uncertainty::uncertain::{Provenance, Spread, Uncertain};
use crate::units::{Flow, Length, Mass, Plain, Power, Quantity, Volume, YEAR};

/// Litres an hour in a m3/s.
const LITRES_AN_HOUR: f64 = 3.6e6;

/// Makes the figures of one filter, by the first part of its keys.
#[derive(Clone, Copy, Debug)]
pub struct Assumed<'a> {
    filter: &'a str,
}

/// Low, middle and high of a figure, SI.
type Range = (f64, f64, f64);

fn times((low, middle, high): Range, by: f64) -> Range {
    (low * by, middle * by, high * by)
}

/// A middle and a factor either way.
fn about(middle: f64, factor: f64) -> Range {
    (middle / factor, middle, middle * factor)
}

impl<'a> Assumed<'a> {
    /// For the filter of that id.
    pub fn new(filter: &'a str) -> Self {
        Self { filter }
    }

    fn key(&self, at: impl Into<Spot>, field: &'static Field) -> Key {
        Key::new(Source::Filter(self.filter.into()), at, field)
    }

    fn figure<Q: Quantity>(
        &self,
        at: impl Into<Spot>,
        field: &'static Field,
        (low, middle, high): Range,
    ) -> Option<Uncertain<Q>> {
        let spread =
            if low > 0.0 { Spread::TriangularLog { low, high } } else { Spread::Triangular { low, high } };
        let key = self.key(at, field);
        Some(Uncertain { value: Q::new(middle)?, known: Provenance::Assumed, spread, key })
    }

    fn exact<Q: Quantity>(
        &self,
        at: impl Into<Spot>,
        field: &'static Field,
        si: f64,
    ) -> Option<Uncertain<Q>> {
        Some(Uncertain::exact(Q::new(si)?, self.key(at, field)))
    }

    /// A curve from the printed flow, m3/s: the best case, bare. Common practice.
    pub fn curve(&self, printed: f64) -> Option<Curve> {
        let flow: Uncertain<Flow> =
            self.figure("pump/flow", &r::PUMP_FLOW, times((0.80, 0.90, 1.00), printed))?;
        Some(Curve::Ends { flow, head: self.head(printed)? })
    }

    /// Greatest head of a pump of that flow, m3/s. Common practice.
    pub fn head(&self, flow: f64) -> Option<Uncertain<Length>> {
        self.figure("pump/head", &r::PUMP_HEAD, about(1.6 * (flow * LITRES_AN_HOUR / 1000.0).powf(0.35), 1.4))
    }

    /// Power of a pump of that flow, m3/s: small motors of 10 to 20 %. Ours.
    pub fn power(&self, flow: f64) -> Option<Uncertain<Power>> {
        self.figure("pump/power", &r::PUMP_POWER, times((0.010, 0.017, 0.028), flow * LITRES_AN_HOUR))
    }

    /// Bore of the hose, by trade sizes. Common practice.
    pub fn hose_bore(&self, flow: f64) -> Option<Uncertain<Length>> {
        let sizes = [(400.0, 9.0), (750.0, 12.0), (1400.0, 16.0), (2500.0, 19.0)];
        let fits = sizes.into_iter().find(|(most, _)| flow * LITRES_AN_HOUR <= *most);
        self.figure("hose/bore", &r::HOSE_BORE, about(fits.map_or(25.0, |(_, mm)| mm) * 1e-3, 1.12))
    }

    /// Connector and tap of a side, of one bore, and two elbows. Every hose has them.
    fn side(&self, side: &'static str, hose: f64) -> Option<Vec<Fitting>> {
        let at = |what| Spot::from(side).part("fittings").part(what);
        let bore: Uncertain<Length> =
            self.figure(at("bore"), &r::FITTING_BORE, times((0.60, 0.78, 0.95), hose))?;
        let length: Uncertain<Length> =
            self.exact(at("length"), &r::FITTING_LENGTH, A::FittingLength.entry().value)?;
        let count: Uncertain<Plain> = self.exact(at("elbows"), &r::ELBOWS, 2.0)?;
        Some(vec![
            Fitting::Connector { bore: bore.clone(), length: length.clone() },
            Fitting::Tap { bore, length },
            Fitting::Elbow { count },
        ])
    }

    /// Strainer, connector, tap and elbows of the intake, for a hose of that bore, m. Ours.
    pub fn intake(&self, hose: f64) -> Option<Vec<Fitting>> {
        let [diameter, length] = [("diameter", 0.025), ("length", 0.08)]
            .map(|(what, si)| self.exact(Spot::from("intake/strainer").part(what), &r::STRAINER_LENGTH, si));
        let open: Uncertain<Plain> = self.exact("intake/strainer/open", &r::OPEN_SHARE, 0.35)?;
        let mut all = vec![Fitting::Strainer { diameter: diameter?, length: length?, open }];
        all.extend(self.side("intake", hose)?);
        Some(all)
    }

    /// Tap, connector and elbows of the return, and a jet. Ours.
    pub fn return_side(&self, hose: f64) -> Option<(Vec<Fitting>, Outlet)> {
        let mut all = self.side("return", hose)?;
        all.swap(0, 1);
        let bore = self.figure("return/jet/bore", &r::JET_BORE, times((0.65, 0.80, 1.0), hose))?;
        Some((all, Outlet::Jet { bore }))
    }

    /// So many equal trays in an outside box. Walls, lid, pump and rounded corners take the rest. Ours.
    pub fn trays(&self, count: u32, outside: &Outside, age: Option<f64>) -> Option<Vec<Tray>> {
        let share = (0.48, 0.56, 0.64);
        let height: Uncertain<Length> = self.figure(
            "trays/height",
            &r::TRAY_HEIGHT,
            times(share, outside.height.si() / f64::from(count.max(1))),
        )?;
        let side =
            |si: f64| self.figure::<Length>("trays/sides", &r::TRAY_WIDTH, times((0.72, 0.78, 0.84), si));
        let outline = Outline::Unseen {
            width: side(outside.width.si())?,
            depth: side(outside.depth.si())?,
            fill: self.figure("trays/fill", &r::GRID, (0.78, 0.88, 0.95))?,
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

    /// Open share of a tray's grid. Ours.
    pub fn grid(&self) -> Option<Uncertain<Plain>> {
        self.figure("trays/grid", &r::GRID, (0.25, 0.45, 0.65))
    }

    /// A lip that sets with the years: `age` in seconds, none for a new unit. Ours.
    pub fn seal(&self, tray: usize, age: Option<f64>) -> Option<Seal> {
        let years = age.map_or(0.0, |age| (age / YEAR - 2.0).max(0.0));
        let gap = (0.08e-3 + 0.04e-3 * years).min(0.5e-3);
        let gap =
            self.figure(Spot::from(Space::Tray(tray)).part("seal"), &r::GAP, (gap / 4.0, gap, gap * 3.0))?;
        Some(Seal { condition: SealCondition::Lip, gap })
    }

    /// Settling space under the lowest tray, of its shape. Common practice.
    pub fn floor(&self, lowest: &Shape) -> Option<Floor> {
        let height = self.figure("floor/height", &r::FLOOR_HEIGHT, (5e-3, 20e-3, 30e-3))?;
        Some(Floor { shape: lowest.clone(), height })
    }

    /// Passage past the trays, for a hose of that bore and trays that stand so high together, m. Ours.
    pub fn down_tube(&self, hose: f64, trays: f64) -> Option<DownTube> {
        Some(DownTube {
            bore: self.figure("down_tube/bore", &r::TUBE_BORE, times((1.15, 1.4, 1.7), hose))?,
            length: self.exact("down_tube/length", &r::TUBE_LENGTH, trays + 0.03)?,
            joint: Some(self.figure("down_tube/joint", &r::GAP, (0.0, 0.1e-3, 0.4e-3))?),
        })
    }

    /// Joint of a down pipe that is told, where there is more than one tray: one piece if nothing is said. Ours.
    pub fn joint(&self) -> Option<Uncertain<Length>> {
        self.figure("down_tube/joint", &r::GAP, (0.0, 0.0, 0.2e-3))
    }

    /// Edge gap of a pad in its place in a build, cut with scissors. Ours.
    pub fn slack(&self, layer: &Spot) -> Option<Uncertain<Length>> {
        self.figure(layer.part("slack"), &r::SLACK, (0.0, 0.7e-3, 3e-3))
    }

    /// Water above the top tray, of an outside box of that volume, m3. Ours.
    pub fn head_space(&self, outside: f64) -> Option<Uncertain<Volume>> {
        self.figure("head_space", &r::HEAD_SPACE, times((0.05, 0.08, 0.15), outside))
    }

    /// Empty and dry, of an outside box of that volume, m3. Ours.
    pub fn dry_mass(&self, outside: f64) -> Option<Uncertain<Mass>> {
        self.figure("dry_mass", &r::DRY_MASS, times((0.14, 0.20, 0.28), outside * 1e3))
    }

    /// Impeller of a unit of that age, s: a share of new speed lost each year. Ours.
    pub fn impeller(&self, age: f64) -> Option<Impeller> {
        let left = |a_year: f64| (1.0 - a_year * age / YEAR).max(0.6);
        let (low, middle, high) = (left(0.03), left(0.012), left(0.004));
        if low >= high {
            return Some(Impeller::Share(self.exact("unit/impeller", &r::IMPELLER, middle)?));
        }
        let mut share: Uncertain<Plain> = self.figure("unit/impeller", &r::IMPELLER, (low, middle, high))?;
        share.spread = Spread::Triangular { low, high };
        Some(Impeller::Share(share))
    }
}
