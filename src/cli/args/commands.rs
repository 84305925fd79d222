//! The arguments of each command.

use std::ffi::OsString;
use std::path::PathBuf;

use clap::ValueHint;
use clap_complete::Shell;

use super::super::suggest::{self, SortBy};
use super::Format;
use super::choices::{CSV, JSON, PICTURES, TEXT, WAYS, XLSX, formats, one_of};
use crate::cli::Run;
use crate::measures::Measure;
use crate::model::Way;
use crate::model::filter::Bucket;
use crate::report::Picture;

#[derive(Debug, clap::Args)]
pub struct Table {
    /// Profiles, FILE#BUILD, or folders of them; without any, your own folder, else the built-in demo.
    #[arg(value_name = "PATH")]
    pub paths: Vec<PathBuf>,
    /// Sort by a measure, small to large; `-KEY` for large to small. What cannot be told stands last.
    #[arg(long, value_name = "[-]KEY", allow_hyphen_values = true, value_parser = suggest::order(), hide_possible_values = true)]
    pub sort: Option<SortBy>,
    /// Measures to show, in this order; CSV and JSON hold all of them unless told otherwise.
    #[arg(long, value_name = "KEY,...", value_delimiter = ',', value_parser = suggest::key(), hide_possible_values = true)]
    pub columns: Vec<Measure>,
    /// How to write it.
    #[arg(long, value_name = "FORMAT", value_parser = formats(&[CSV, XLSX, JSON]), default_value = "text")]
    pub format: Format,
    /// The new file of an XLSX.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub to: Option<PathBuf>,
    #[command(flatten)]
    pub run: Run,
}

#[derive(Debug, clap::Args)]
pub struct Compare {
    /// FILE, or FILE#BUILD when the file holds more than one build.
    #[arg(value_name = "A", value_hint = ValueHint::FilePath)]
    pub a: OsString,
    /// The build to set beside it.
    #[arg(value_name = "B", value_hint = ValueHint::FilePath)]
    pub b: OsString,
    /// A third.
    #[arg(value_name = "C", value_hint = ValueHint::FilePath)]
    pub c: Option<OsString>,
    /// A fourth.
    #[arg(value_name = "D", value_hint = ValueHint::FilePath)]
    pub d: Option<OsString>,
    /// This measure alone.
    #[arg(long, value_name = "KEY", value_parser = suggest::key(), hide_possible_values = true)]
    pub measure: Option<Measure>,
    /// How to write it.
    #[arg(long, value_name = "FORMAT", value_parser = formats(&[XLSX, JSON]), default_value = "text")]
    pub format: Format,
    /// The new file of an XLSX.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub to: Option<PathBuf>,
    #[command(flatten)]
    pub run: Run,
}

#[derive(Debug, clap::Args)]
pub struct Rank {
    /// Profiles, FILE#BUILD, or folders of them; without any, your own folder, else the built-in demo.
    #[arg(value_name = "PATH")]
    pub paths: Vec<PathBuf>,
    /// How to write it.
    #[arg(long, value_name = "FORMAT", value_parser = formats(&[CSV, XLSX, JSON]), default_value = "text")]
    pub format: Format,
    /// The new file of an XLSX.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub to: Option<PathBuf>,
    #[command(flatten)]
    pub run: Run,
}

#[derive(Debug, clap::Args)]
pub struct Answer {
    /// Profiles, FILE#BUILD, or folders of them; without any, your own folder, else the built-in demo.
    #[arg(value_name = "PATH")]
    pub paths: Vec<PathBuf>,
    /// In full, with a table: 350 words where there are four units.
    #[arg(long)]
    pub full: bool,
    /// How many units the full reply tells of one by one.
    #[arg(long, value_name = "N", default_value_t = 3, value_parser = clap::value_parser!(u8).range(1..=20))]
    pub top: u8,
    /// How to write it.
    #[arg(long, value_name = "FORMAT", value_parser = formats(&[]), default_value = "text")]
    pub format: Format,
    #[command(flatten)]
    pub run: Run,
}

#[derive(Debug, clap::Args)]
pub struct Wear {
    /// FILE of the filter; a build after a `#` is allowed and makes no difference.
    #[arg(value_name = "A", value_hint = ValueHint::FilePath)]
    pub a: OsString,
    /// Litres that ran into the bucket, with no media in the vessel and both ends level.
    #[arg(long, value_name = "L", value_parser = suggest::within(Bucket::volume))]
    pub bucket: f64,
    /// Seconds they took.
    #[arg(long, value_name = "S", value_parser = suggest::within(Bucket::time))]
    pub seconds: f64,
    /// Intake hose used, m; without it the tank's, else 1.5.
    #[arg(long, alias = "suction", value_name = "M", value_parser = suggest::within(Bucket::intake))]
    pub intake: Option<f64>,
    /// Return hose used, m; without it the tank's, else 1.5.
    #[arg(long = "return", alias = "delivery", value_name = "M", value_parser = suggest::within(Bucket::return_side))]
    pub return_side: Option<f64>,
    /// Bends in each of them; without it the tank's, else 2.
    #[arg(long, value_name = "N", value_parser = suggest::within(Bucket::bends))]
    pub bends: Option<f64>,
    #[command(flatten)]
    pub run: Run,
}

#[derive(Debug, clap::Args)]
pub struct Restack {
    /// FILE, or FILE#BUILD when the file holds more than one build.
    #[arg(value_name = "A", value_hint = ValueHint::FilePath)]
    pub a: OsString,
    /// Use these media alone; `on-hand` is what lies in the build and what the tank file has on hand.
    #[arg(long, value_name = "ID,...", value_delimiter = ',', value_parser = suggest::medium(), hide_possible_values = true)]
    pub with: Vec<String>,
    /// Let stacks without biological media stand by their score.
    #[arg(long)]
    pub foam_only: bool,
    /// How many proposals.
    #[arg(long, value_name = "N", default_value_t = 3, value_parser = clap::value_parser!(u8).range(1..=20))]
    pub top: u8,
    /// Save the profile with the proposals as further builds; there must be no file yet.
    #[arg(long, value_name = "FILE")]
    pub save: Option<PathBuf>,
    #[command(flatten)]
    pub run: Run,
}

#[derive(Debug, clap::Args)]
pub struct Explain {
    /// FILE, or FILE#BUILD when the file holds more than one build.
    #[arg(value_name = "A", value_hint = ValueHint::FilePath)]
    pub a: OsString,
    #[arg(value_name = "KEY", value_parser = suggest::key(), hide_possible_values = true)]
    pub measure: Measure,
    #[command(flatten)]
    pub run: Run,
}

#[derive(Debug, clap::Args)]
pub struct Next {
    /// Profiles, FILE#BUILD, or folders of them; without any, your own folder, else the built-in demo.
    #[arg(value_name = "PATH")]
    pub paths: Vec<PathBuf>,
    /// How to write it.
    #[arg(long, value_name = "FORMAT", value_parser = formats(&[]), default_value = "text")]
    pub format: Format,
    #[command(flatten)]
    pub run: Run,
}

#[derive(Debug, clap::Args)]
pub struct Suits {
    /// FILE, or FILE#BUILD when the file holds more than one build.
    #[arg(value_name = "A", value_hint = ValueHint::FilePath)]
    pub a: OsString,
    /// Tell the tank too in which it is opened every four weeks.
    #[arg(long)]
    pub dirt: bool,
    /// How to write it.
    #[arg(long, value_name = "FORMAT", value_parser = formats(&[JSON]), default_value = "text")]
    pub format: Format,
    #[command(flatten)]
    pub run: Run,
}

#[derive(Debug, clap::Args)]
pub struct Log {
    /// FILE, or FILE#BUILD when the file holds more than one build.
    #[arg(value_name = "A", value_hint = ValueHint::FilePath)]
    pub a: OsString,
    /// How to write it.
    #[arg(long, value_name = "FORMAT", value_parser = formats(&[JSON]), default_value = "text")]
    pub format: Format,
    #[command(flatten)]
    pub run: Run,
}

#[derive(Debug, clap::Args)]
pub struct Draw {
    /// FILE, or FILE#BUILD when the file holds more than one build.
    #[arg(value_name = "A", value_hint = ValueHint::FilePath)]
    pub a: OsString,
    #[arg(long, value_name = "PICTURE", value_parser = one_of(PICTURES), default_value = "section")]
    pub what: Picture,
    /// Where to write it; there must be no file yet. A lone `-` prints it.
    #[arg(long, value_name = "FILE.svg")]
    pub to: PathBuf,
    #[command(flatten)]
    pub run: Run,
}

#[derive(Debug, clap::Args)]
pub struct Report {
    /// Profiles, FILE#BUILD, or folders of them; without any, your own folder, else the built-in demo.
    #[arg(value_name = "PATH")]
    pub paths: Vec<PathBuf>,
    /// Folder to write to; it is made where it is missing.
    #[arg(long, value_name = "FOLDER")]
    pub to: PathBuf,
    /// Title of the page.
    #[arg(long, value_name = "TITLE")]
    pub title: Option<String>,
    /// Who wrote it.
    #[arg(long, value_name = "NAME")]
    pub by: Option<String>,
    /// When it was written, as it is to be read.
    #[arg(long, value_name = "DATE")]
    pub date: Option<String>,
    /// A paragraph to begin with.
    #[arg(long, value_name = "TEXT")]
    pub introduction: Option<String>,
    /// How many builds, the best placed, get pictures.
    #[arg(long, value_name = "N", default_value_t = 6, value_parser = clap::value_parser!(u8).range(0..=200))]
    pub top: u8,
    #[command(flatten)]
    pub run: Run,
}

#[derive(Debug, clap::Args)]
pub struct Check {
    /// Files, or folders of them: filters, tanks and media.
    #[arg(value_name = "PATH", required = true)]
    pub paths: Vec<PathBuf>,
    /// Also say what a profile lacks before it is shared: who measured it, when, with what, and its licence.
    #[arg(long)]
    pub share: bool,
    /// How to write it.
    #[arg(long, value_name = "FORMAT", value_parser = one_of(&[TEXT, JSON]), default_value = "text")]
    pub format: Format,
}

#[derive(Debug, clap::Args)]
pub struct New {
    /// Where to write it; there must be no file yet. A lone `-` prints it.
    #[arg(value_name = "FILE")]
    pub file: Option<PathBuf>,
    /// A tank in place of a filter.
    #[arg(long, conflicts_with_all = ["flow", "trays", "outside", "way"])]
    pub tank: bool,
    /// The flow printed on the box: 1200, "1200 l/h", "320 gal/h".
    #[arg(long, value_name = "FLOW")]
    pub flow: Option<String>,
    /// How many trays.
    #[arg(long, value_name = "N")]
    pub trays: Option<String>,
    /// Outside of the vessel, width x depth x height: 235x200x410, "24 x 20 x 41 cm".
    #[arg(long, value_name = "SIZE")]
    pub outside: Option<String>,
    /// Which way the water crosses the trays.
    #[arg(long, value_name = "WAY", value_parser = one_of(WAYS))]
    pub way: Option<Way>,
    /// Water in the tank: 180, "40 gal".
    #[arg(long, value_name = "VOLUME", requires = "tank")]
    pub volume: Option<String>,
    /// How it is stocked: light, normal or heavy.
    #[arg(long, value_name = "STOCKING", requires = "tank")]
    pub stocking: Option<String>,
    /// What it is called; otherwise by the file's name.
    #[arg(long, value_name = "NAME")]
    pub name: Option<String>,
}

#[derive(Debug, clap::Args)]
pub struct Sheet {
    /// FILE, or FILE#BUILD when the file holds more than one build; without it, of a filter of which only three numbers
    /// are known.
    #[arg(value_name = "A", value_hint = ValueHint::FilePath)]
    pub a: Option<OsString>,
    /// Where to write it, .html or .md; there must be no file yet. A lone `-` prints Markdown.
    #[arg(long, value_name = "FILE")]
    pub to: PathBuf,
    #[command(flatten)]
    pub run: Run,
}

#[derive(Debug, clap::Args)]
pub struct Import {
    /// The spreadsheet: its first row names the columns, each further one is a filter.
    #[arg(value_name = "FILE.csv|.xlsx", value_hint = ValueHint::FilePath)]
    pub file: PathBuf,
    /// The folder for the profiles; none of them may be there yet.
    #[arg(long, value_name = "FOLDER")]
    pub to: PathBuf,
    /// Which column is which field; a file that is not there yet is written, to be changed.
    #[arg(long, value_name = "FILE")]
    pub map: Option<PathBuf>,
}

#[derive(Debug, clap::Args)]
pub struct Fields {
    /// Only this form, such as `tank`, `hose` or `layer`.
    #[arg(value_name = "THING")]
    pub thing: Option<String>,
}

#[derive(Debug, clap::Args)]
pub struct Media {
    /// Show this one with its source.
    #[arg(value_name = "ID", value_parser = suggest::medium(), hide_possible_values = true)]
    pub id: Option<String>,
}

#[derive(Debug, clap::Args)]
pub struct Completions {
    #[arg(value_enum, value_name = "SHELL", required_unless_present = "builds")]
    pub shell: Option<Shell>,
    /// Print FILE#BUILD of each build of this file, a line each: what the scripts ask behind a `#`.
    #[arg(long, value_name = "FILE", conflicts_with = "shell", value_hint = ValueHint::FilePath)]
    pub builds: Option<PathBuf>,
}
