//! Rows of the tables of fields as keys hold them, for figures that are made in the program and not read.

use super::fields::{Choice, row};
use super::filter::{Bucket, DownTube, Floor, Hose};
use super::hoses::{BORE, Fitting, Outlet};
use super::pump::Curve;
use super::shape::SIDE;
use super::tank::Run;
use super::tray::GAP as SEAL_GAP;
use super::{Amount, Body, Impeller as Wear, Layer, Pump, Tray};
use crate::uncertainty::Field;

#[allow(clippy::indexing_slicing, reason = "checked when it is compiled")]
const fn of(choice: &Choice, variant: usize, row: usize) -> Field {
    choice.variants[variant].rows[row].of_key()
}

pub const BENDS: Field = Run::bends.of_key();
pub const BUCKET_TIME: Field = Bucket::time.of_key();
pub const BUCKET_VOLUME: Field = Bucket::volume.of_key();
pub const DRY_MASS: Field = Body::dry_mass.of_key();
pub const ELBOWS: Field = of(Fitting::CHOICE, 3, 0);
pub const FITTING_BORE: Field = BORE.of_key();
pub const FITTING_LENGTH: Field = of(Fitting::CHOICE, 1, 1);
pub const FLOOR_HEIGHT: Field = Floor::height.of_key();
pub const GAP: Field = SEAL_GAP.of_key();
pub const GRID: Field = Tray::grid.of_key();
pub const HEAD_SPACE: Field = Body::head_space.of_key();
pub const HOLE: Field = Layer::hole.of_key();
pub const HOSE_BORE: Field = Hose::bore.of_key();
pub const IMPELLER: Field = Wear::SHARE.of_key();
pub const JET_BORE: Field = of(Outlet::CHOICE, 1, 0);
pub const LAYER_DEPTH: Field = Amount::DEPTH.of_key();
pub const LAYER_MASS: Field = Amount::MASS.of_key();
pub const LAYER_VOLUME: Field = Amount::VOLUME.of_key();
pub const OPEN_SHARE: Field = of(Fitting::CHOICE, 0, 2);
pub const OUTLET_ABOVE: Field = Run::outlet_above_water.of_key();
pub const PUMP_FLOW: Field = of(Curve::CHOICE, 0, 0);
pub const PUMP_HEAD: Field = of(Curve::CHOICE, 0, 1);
pub const PUMP_POWER: Field = Pump::power.of_key();
pub const RUN: Field = Run::intake.of_key();
pub const SLACK: Field = Layer::slack.of_key();
pub const SQUEEZED: Field = Layer::squeezed.of_key();
pub const STRAINER_LENGTH: Field = of(Fitting::CHOICE, 0, 1);
pub const TRAY_FILL: Field = row("share of its rectangle that a tray fills")
    .measure("fill a tray with water from a measuring jug: litres over width × depth × height")
    .of_key();
pub const TRAY_HEIGHT: Field = Tray::height.of_key();
pub const TRAY_WIDTH: Field = SIDE.of_key();
pub const TUBE_BORE: Field = DownTube::bore.of_key();
pub const TUBE_LENGTH: Field = DownTube::length.of_key();
