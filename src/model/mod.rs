//! The things: filters, trays, media, tanks. Plain values in SI; whatever reads them may rely on the
//! ranges named in their comments, which `profile::check` holds at the door.

pub mod assumed;
pub mod edit;
pub mod fields;
// `model::filter::Filter` is the one name that repeats: the folder is the room, the file the thing.
#[allow(clippy::module_inception)]
pub mod filter;
pub mod hoses;
pub mod library;
pub mod log;
pub mod medium;
pub mod outline;
pub mod pump;
pub mod put_right;
pub mod ranges;
pub mod shape;
pub mod tank;
pub mod tray;

pub use edit::{Edit, Workpiece};
pub use filter::{Body, Build, Filter, Impeller, Lamp, Unit, Way};
pub use library::Library;
pub use log::Day;
pub use medium::{Medium, Role};
pub use pump::Pump;
pub use shape::{Outline, Shape};
pub use tank::{Feed, Tank};
pub use tray::{Amount, Dimples, Layer, LayerGeometry, Seal, SealCondition, Tray};
