//! What the program says: commands, formats, pages, pictures, and the README's examples.
#![cfg(test)]
#![allow(
    clippy::format_push_string,
    reason = "short texts: a push reads better than a write whose result means nothing"
)]
#![allow(clippy::string_slice, reason = "a test may fail where a text is not as it expects")]
#![allow(clippy::float_cmp, clippy::unreadable_literal, reason = "what is to be exact is checked to the bit")]

#[path = "../common/binary.rs"]
mod binary;
#[path = "../common/chance.rs"]
mod chance;
mod chromium;
#[allow(dead_code, reason = "other programs of tests use the rest")]
#[path = "../common/filters.rs"]
mod filters;
mod forms;
mod pictures;
mod samples;
mod schema;
#[path = "../common/skip.rs"]
mod skip;

mod answer;
mod browser;
mod cli;
mod cli_choice;
mod draw_and_report;
mod drawing;
mod explain;
mod fields;
mod formats;
mod hostile;
mod html;
mod logs;
mod notes;
mod pages;
mod readme;
mod renderers;
mod said;
mod svg;
mod walks;
mod writers;
