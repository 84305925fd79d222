//! How the screens look, one file or folder each.

pub mod builds;
pub mod compare;
pub mod filter;
pub mod form;
pub mod ranking;
pub mod restack;
pub mod sources;
pub mod tank;

use ratatui::buffer::Buffer;

use super::{Page, Row, Theme};
use crate::app::{State, Tab};

pub struct View {
    /// Draws it; how far the pane in focus can scroll comes back.
    pub draw: fn(&State, &mut Buffer, Theme) -> usize,
    /// The pane in focus as text of that width, for copying.
    pub text: fn(&State, usize, Theme) -> Vec<Row>,
    /// The same as sentences, for a voice.
    pub page: fn(&State) -> Page,
    pub says: fn(&State) -> String,
}

pub fn of(tab: Tab) -> View {
    match tab {
        Tab::Builds => {
            View { draw: builds::draw, text: builds::text, says: builds::says, page: builds::page }
        }
        Tab::Compare => {
            View { draw: compare::draw, text: compare::whole, says: compare::says, page: compare::page }
        }
        Tab::Ranking => {
            View { draw: ranking::draw, text: ranking::rows, says: ranking::says, page: ranking::page }
        }
        Tab::Restack => {
            View { draw: restack::draw, text: restack::rows, says: restack::says, page: restack::page }
        }
        Tab::Filter => {
            View { draw: filter::draw, text: filter::rows, says: filter::says, page: filter::page }
        }
        Tab::Tank => View { draw: tank::draw, text: tank::rows, says: tank::says, page: tank::page },
        Tab::Sources => {
            View { draw: sources::draw, text: sources::rows, says: sources::says, page: sources::page }
        }
    }
}
