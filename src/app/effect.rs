//! What `update` asks of the world outside, and what the world tells it.

use std::path::PathBuf;
use std::sync::Arc;

use super::screens::restack::asks;
use super::state::{Drawn, tank};
use super::{Because, Column, Id, Key, Of, Pair, RankAsk, ReplyAsk, ReportAsk, SortKey, Stood, Tab};
use crate::assess::{Assessment, Simulated};
use crate::assumptions::A;
use crate::measures::Measure;
use crate::model::Tank;
use crate::profile::Loaded;
use crate::report::figures::Units;

#[derive(Clone, Debug, PartialEq)]
pub enum Effect {
    Quit,
    // Hand the terminal back until the shell calls again.
    Suspend,
    // Open a file in the user's editor, and read all again when it is closed.
    Edit { path: PathBuf, at: Spot },
    Redraw,
    CopyPane,
    // Copy the figure under the cursor, or its row, as text.
    CopyHere,
    // Let the terminal report the mouse, or leave it alone so that it selects text by itself.
    Mouse(bool),
    Load,
    // Judge the builds whose figures are not whole yet, dropping what is still being judged.
    Judge,
    Why(Pair),
    Rank(Box<RankAsk>),
    Form(tank::Ask),
    Uses,
    Restack(asks::Ask),
    Report(Box<ReportAsk>),
    Reply(Box<ReplyAsk>),
    CopyText(String),
    SaveText { path: PathBuf, text: String },
    Next { entry: usize },
    // Write a filter into a new file, or over one whose content comes to that.
    SaveProfile { path: PathBuf, text: String, over: Option<u64> },
    Explain { number: u64, of: Of, measure: Measure },
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Spot {
    /// At a line, from 1.
    Line(usize),
    /// At the first line that says this.
    Saying(String),
}

#[derive(Clone, Debug)]
pub enum Message {
    Key(Key),
    Act(String),
    Choose(Choice),
    // It was drawn, and how far it can scroll came out.
    Drawn(Drawn),
    Paste(String),
    // The mouse did something at a cell: column and row from 0.
    Mouse { what: Mouse, x: u16, y: u16 },
    // The terminal has another size: columns, rows.
    Size(u16, u16),
    Changed,
    Loaded(Loaded),
    Tank(Arc<Tank>),
    NotLoaded(String),
    // Builds were judged, each by its place among the entries. Answers to an older round are dropped.
    Judged { round: u64, done: Vec<(usize, Arc<Assessment>)> },
    // Doubt was worked out for builds of that round; how far all of it is, 0 to 1.
    Doubted { round: u64, done: Vec<(usize, Arc<Simulated>)>, share: f64 },
    // A build could not be judged at all: a fault of the program, not of the file.
    Failed { round: u64, entry: usize, why: String },
    Whied { pair: Pair, round: u64, because: Because },
    Ranked { number: u64, stood: Box<Stood> },
    Replied { number: u64, text: String },
    Form(tank::Answer),
    // What to measure next of a build of that round, most worth first.
    Next { round: u64, entry: usize, lines: Vec<String> },
    // A filter was saved, and what its content comes to; or why not.
    Saved { path: PathBuf, content: u64, done: Result<(), String> },
    Uses { round: u64, uses: Vec<(A, Measure)> },
    Restack(asks::Answer),
    Explained { number: u64, lines: Vec<String> },
    // Something to tell for a while, such as what became of a copy.
    Tell(String),
}

/// What a dialogue of lines names outright, where the screens move a cursor to it.
#[derive(Clone, Debug)]
pub enum Choice {
    // What was told was heard, and need not be told again.
    Heard,
    Close,
    // That screen, on Builds with the table in view.
    Screen(Tab),
    Row(Id),
    Sort(SortKey),
    Narrow(String),
    // The figures of the list; none: those shown at first.
    Columns(Vec<Column>),
    Mark(Id),
    // These builds are marked, no others.
    Marks(Vec<Id>),
    Units(Units),
    Weight(Measure, f64),
    Explain(usize, Measure),
    // Why the builds of Compare differ: the cursor goes to that line.
    Why(usize),
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mouse {
    Press,
    // Wheel, away from the hand.
    WheelUp,
    // Wheel, towards the hand.
    WheelDown,
}
