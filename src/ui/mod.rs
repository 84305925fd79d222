//! What the screens look like. Reads the state, changes nothing; holds no physics.

mod header;
pub mod paint;
pub mod plain;
pub mod screens;
pub mod spoken;
pub mod text;
pub mod theme;
pub mod view;
pub mod widgets;

pub use paint::{Row, bit, row};
pub use spoken::Page;
pub use theme::Theme;
