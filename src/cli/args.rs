//! The command line: what may be written, and the help that teaches it.

pub mod choices;
pub mod commands;

use std::path::PathBuf;

use clap::{Parser, Subcommand};

use super::help;
use crate::assess::Mode;
use crate::model::Day;
use crate::parallel::processors;
use crate::report::figures::Units;

pub use choices::{Format, When};
use choices::{MODES, UNITS, WHEN, one_of};
pub use commands::{
    Answer, Check, Compare, Completions, Draw, Explain, Fields, Import, Log, Media, New, Next, Rank, Report,
    Restack, Sheet, Suits, Table, Wear,
};

/// The version, with the commit where a release was built from a checkout (`.ci/stamp.rs`).
const VERSION: &str = match option_env!("CANSIFT_VERSION") {
    Some(stamped) => stamped,
    None => env!("CARGO_PKG_VERSION"),
};

/// Compare aquarium canister filter builds side by side, with the doubt in every figure.
#[derive(Debug, Parser)]
#[command(
    name = "cansift", bin_name = "cansift", version = VERSION, max_term_width = 100,
    subcommand_precedence_over_arg = true,
    override_usage = "cansift [PATH]... [--tank FILE]\n       cansift <COMMAND>",
    after_help = help::BARE, after_long_help = help::overview(),
)]
pub struct Args {
    /// What to do; without one the screens open.
    #[command(subcommand)]
    pub command: Option<Command>,
    /// What the bare program shows.
    #[command(flatten)]
    pub bare: Bare,
    /// How people read it.
    #[command(flatten)]
    pub look: Look,
}

/// How people read it.
#[derive(Clone, Copy, Debug, Default, clap::Args)]
pub struct Look {
    /// Units that people read; JSON and CSV always keep l/h, l and kg. [default: metric, on screen those used last]
    #[arg(long, global = true, value_name = "UNITS", value_parser = one_of(UNITS))]
    pub units: Option<Units>,
    /// Nothing but ASCII in what people read.
    #[arg(long, global = true)]
    pub ascii: bool,
    /// Read folders in folders, too.
    #[arg(long, global = true)]
    pub deep: bool,
    /// The day it is taken to be: logs may not reach past it. [default: the system's]
    #[arg(long, global = true, value_name = "DATE", value_parser = day)]
    pub today: Option<Day>,
}

fn day(text: &str) -> Result<Day, String> {
    Day::read(text).ok_or_else(|| "write year, month and day, such as 2026-03-01".to_owned())
}

#[derive(Debug, clap::Args)]
pub struct Bare {
    /// Profiles, or folders of them; without any, your own folder, else those of last time, else the built-in demo.
    #[arg(value_name = "PATH")]
    pub paths: Vec<PathBuf>,
    #[command(flatten)]
    pub run: Run,
    /// Leave files that change on disk alone until `r` is pressed.
    #[arg(long)]
    pub no_watch: bool,
    /// The built-in demo, whatever was shown last time.
    #[arg(long, conflicts_with = "paths")]
    pub demo: bool,
    /// A dialogue of lines in place of the screens: for a screen reader, a braille line, or commands from a pipe.
    #[arg(long)]
    pub plain: bool,
    /// Colour on the screens; `auto`: unless `NO_COLOR` is set.
    #[arg(long, alias = "color", value_name = "WHEN", value_parser = one_of(WHEN), default_value = "auto")]
    pub colour: When,
    #[command(flatten)]
    pub keys: KeysFile,
}

/// Where keys come from.
#[derive(Debug, clap::Args)]
pub struct KeysFile {
    /// Your own keys; without it `cansift/keys.ron` in the user's configuration folder (`cansift keys` tells).
    #[arg(long, value_name = "FILE")]
    pub keys: Option<PathBuf>,
}

/// What figures are made for, and how.
#[derive(Clone, Debug, clap::Args)]
pub struct Run {
    /// The tank to judge for; without it, what needs one is a dash.
    #[arg(long, value_name = "FILE")]
    pub tank: Option<PathBuf>,
    /// Judge units as they are; without it what `to_fix` names is judged as put right.
    #[arg(long)]
    pub as_found: bool,
    /// Simulated cases; 0 for none. [default: 512]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(0..=65_536))]
    pub samples: Option<u32>,
    /// Start of the simulated cases: the same number gives the same bytes. [default: 1]
    #[arg(long, value_name = "N")]
    pub seed: Option<u64>,
    /// Whose figures readings in a log may move: those of all builds that share them, the logged build's own, or none's.
    /// [default: all]
    #[arg(long, value_name = "MODE", value_parser = one_of(MODES))]
    pub log: Option<Mode>,
    /// Threads to work with; without it, one a processor. Never changes a figure.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub threads: Option<u16>,
}

impl Run {
    /// Threads to work with.
    pub fn threads(&self) -> usize {
        self.threads.map_or_else(processors, usize::from)
    }
    /// Simulated cases.
    pub fn samples(&self) -> u32 {
        self.samples.unwrap_or(512)
    }
    /// Start of the simulated cases.
    pub fn seed(&self) -> u64 {
        self.seed.unwrap_or(1)
    }
}

impl Bare {
    /// Nothing was given to the bare program.
    pub fn is_empty(&self) -> bool {
        let Run { tank, as_found, samples, seed, log, threads } = &self.run;
        !self.no_watch
            && self.keys.keys.is_none()
            && !self.plain
            && !self.demo
            && self.colour == When::Auto
            && self.paths.is_empty()
            && tank.is_none()
            && !as_found
            && samples.is_none()
            && seed.is_none()
            && log.is_none()
            && threads.is_none()
    }
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Print the table of builds.
    #[command(after_help = help::TABLE, after_long_help = help::with_measures(help::TABLE))]
    Table(Table),
    /// Set two to four builds side by side.
    #[command(visible_alias = "diff", after_help = help::COMPARE, after_long_help = help::with_measures(help::COMPARE))]
    Compare(Compare),
    /// Rank builds for a tank: chance of first place, what rules one out, what to measure first.
    #[command(after_help = help::RANK)]
    Rank(Rank),
    /// Write a reply to paste: what to take, why, what to check before paying, what to do to it.
    #[command(after_help = help::ANSWER)]
    Answer(Answer),
    /// Work out an impeller's share of new from a bucket test.
    #[command(after_help = help::WEAR)]
    Wear(Wear),
    /// Tell what to measure next: for one build what makes its figures doubtful, for several what would settle the choice.
    #[command(after_help = help::NEXT)]
    Next(Next),
    /// Tell the largest tank that a build suits, by stocking and by limit.
    #[command(after_help = help::SUITS)]
    Suits(Suits),
    /// Propose stacks that would suit the tank better, and say what to buy.
    #[command(after_help = help::RESTACK)]
    Restack(Restack),
    /// Tell how one figure of one build comes about.
    #[command(after_help = help::EXPLAIN, after_long_help = help::with_measures(help::EXPLAIN))]
    Explain(Explain),
    /// Set the model against the readings in a build's log: expected, observed, corrected, and when to open it again.
    #[command(after_help = help::LOG)]
    Log(Log),
    /// Draw one picture of one build to an SVG file.
    #[command(after_help = help::DRAW)]
    Draw(Draw),
    /// Write one page with tables and pictures, and beside it the table and the data.
    #[command(after_help = help::REPORT)]
    Report(Report),
    /// Read files and tell every problem with its place; nothing is changed.
    #[command(after_help = help::CHECK)]
    Check(Check),
    /// Make a profile of three numbers, or a tank; on a terminal it asks.
    #[command(after_help = help::NEW)]
    New(New),
    /// Write a page to measure by: what is not known yet, in the order in which it is done, to print and fill in.
    #[command(after_help = help::SHEET)]
    Sheet(Sheet),
    /// Turn the rows of a spreadsheet into profiles.
    #[command(after_help = help::IMPORT)]
    Import(Import),
    /// Print every field of the files: meaning, unit, range, what stands for it when left out, how to measure it.
    #[command(after_help = help::FIELDS)]
    Fields(Fields),
    /// List the media library, or show one medium.
    #[command(after_help = help::MEDIA)]
    Media(Media),
    /// Print every constant and assumption, the cautions, and what the model leaves out.
    Sources,
    /// Print the keys of the screens and where your own are read from, as a file to change.
    #[command(after_help = help::KEYS)]
    Keys(KeysFile),
    /// Print a completion script for a shell.
    #[command(after_help = help::COMPLETIONS)]
    Completions(Completions),
    /// Print the manual page.
    #[command(after_help = help::MAN)]
    Man,
}
