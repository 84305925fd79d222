//! What the program says: commands, formats, pages, pictures, and the README's examples.

#[path = "../common/binary.rs"]
mod binary;
mod chromium;
mod pictures;
mod schema;

mod answer;
mod browser;
mod cli;
mod cli_choice;
mod draw_and_report;
mod explain;
mod formats;
mod hostile;
mod html;
mod notes;
mod readme;
mod renderers;
mod svg;
mod walks;
