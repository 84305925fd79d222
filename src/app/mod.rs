//! What the screens know and do, without a terminal: state + message → effects. `update` touches no file and
//! no terminal; what has to happen outside it returns as [`effect::Effect`]s, and answers come back as messages.

pub mod actions;
pub mod asks;
pub mod column;
pub mod columns;
pub mod effect;
pub mod entry;
pub mod form;
pub mod go;
pub mod jobs;
pub mod key;
pub mod keys;
pub mod layout;
pub mod line;
pub mod list;
pub mod moves;
pub mod narrow;
pub mod order;
pub mod overlay;
pub mod own_keys;
pub mod panes;
pub mod report;
pub mod screen;
pub mod screens;
pub mod seek;
pub mod settings;
pub mod state;
pub mod tabs;
pub mod tank_form;
pub mod unsaved;
pub mod update;
