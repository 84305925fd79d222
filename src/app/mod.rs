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
pub mod update;

pub use actions::Action;
pub use asks::{Because, Format, Pair, RankAsk, ReplyAsk, ReportAsk, Stood};
pub use column::Column;
pub use effect::{Effect, Message};
pub use entry::{Entry, Id};
pub use key::{Code, Key, Keys};
pub use layout::Area;
pub use line::{Done, Goal, Line, Typing};
pub use list::List;
pub use order::{By, SortKey};
pub use overlay::{Of, Overlay};
pub use panes::View;
pub use screen::{May, Screen};
pub use state::State;
pub use state::form::Form;
pub use tabs::{Place, Tab};
