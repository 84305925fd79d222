//! The command line: what may be written, and the help that teaches it.

use std::ffi::OsString;
use std::path::PathBuf;

use clap::{Parser, Subcommand, ValueEnum};
use clap_complete::Shell;

use super::help;
use super::suggest::{self, SortBy};
use crate::measures::Measure;
use crate::report::figures::Units;

/// Compare aquarium canister filter builds side by side, with the doubt in every figure.
#[derive(Debug, Parser)]
#[command(
    name = "cansift", bin_name = "cansift", version, max_term_width = 100,
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
#[derive(Clone, Copy, Debug, clap::Args)]
pub struct Look {
    /// Units that people read; JSON and CSV always keep l/h, l and kg. [default: metric, on screen those used last]
    #[arg(long, global = true, value_enum, value_name = "UNITS")]
    pub units: Option<UnitsChoice>,
    /// Nothing but ASCII in what people read.
    #[arg(long, global = true)]
    pub ascii: bool,
}

/// Arguments of the bare program.
#[derive(Debug, clap::Args)]
pub struct Bare {
    /// Profiles, or folders of them; without any, your own folder, else those of last time, else the built-in demo.
    #[arg(value_name = "PATH")]
    pub paths: Vec<PathBuf>,
    #[command(flatten)]
    #[allow(missing_docs)] // a doc comment here would become the help of the whole program
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
    #[arg(long, alias = "color", value_enum, value_name = "WHEN", default_value_t = When::Auto)]
    pub colour: When,
    #[command(flatten)]
    #[allow(missing_docs)] // as above
    pub keys: KeysFile,
}

/// When colour is used.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum When {
    /// As the surroundings ask.
    Auto,
    /// Whatever they ask.
    Always,
    /// Not at all.
    Never,
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
    /// Draws of the doubt; 0 for none. [default: 512]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(0..=65_536))]
    pub samples: Option<u32>,
    /// Start of the draws: the same number gives the same bytes. [default: 1]
    #[arg(long, value_name = "N")]
    pub seed: Option<u64>,
    /// Threads to work with; without it, one a processor. Never changes a figure.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub threads: Option<u16>,
}

impl Run {
    /// Draws of the doubt.
    pub fn samples(&self) -> u32 {
        self.samples.unwrap_or(512)
    }
    /// Start of the draws.
    pub fn seed(&self) -> u64 {
        self.seed.unwrap_or(1)
    }
}

impl Bare {
    /// Nothing was given to the bare program.
    pub fn is_empty(&self) -> bool {
        let Run { tank, samples, seed, threads } = &self.run;
        !self.no_watch
            && self.keys.keys.is_none()
            && !self.plain
            && !self.demo
            && self.colour == When::Auto
            && self.paths.is_empty()
            && tank.is_none()
            && samples.is_none()
            && seed.is_none()
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
    #[command(after_help = help::DIFF, after_long_help = help::with_measures(help::DIFF))]
    Diff(Diff),
    /// Rank builds for a tank: chance of first place, what rules one out, what to measure first.
    #[command(after_help = help::RANK)]
    Rank(Rank),
    /// Write a reply to paste: what to take, why, what to check before paying, what to do to it.
    #[command(after_help = help::ANSWER)]
    Answer(Answer),
    /// Work out an impeller's share of new from a bucket test.
    #[command(after_help = help::WEAR)]
    Wear(Wear),
    /// Propose stacks that would suit the tank better, and say what to buy.
    #[command(after_help = help::RESTACK)]
    Restack(Restack),
    /// Tell how one figure of one build comes about.
    #[command(after_help = help::EXPLAIN, after_long_help = help::with_measures(help::EXPLAIN))]
    Explain(Explain),
    /// Draw one picture of one build to an SVG file.
    #[command(after_help = help::DRAW)]
    Draw(Draw),
    /// Write one page with tables and pictures, and beside it the table and the data.
    #[command(after_help = help::REPORT)]
    Report(Report),
    /// Read files and tell every problem with its place; nothing is changed.
    #[command(after_help = help::CHECK)]
    Check(Check),
    /// Write a commented profile to fill in.
    #[command(after_help = help::NEW)]
    New(New),
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

/// Arguments of `table`.
#[derive(Debug, clap::Args)]
pub struct Table {
    /// Profiles, or folders of them; without any, your own folder, else the built-in demo.
    #[arg(value_name = "PATH")]
    pub paths: Vec<PathBuf>,
    /// Sort by a measure, small to large; `-KEY` for large to small. What cannot be told stands last.
    #[arg(long, value_name = "[-]KEY", allow_hyphen_values = true, value_parser = suggest::sort_by)]
    pub sort: Option<SortBy>,
    /// Measures to show, in this order; CSV and JSON hold all of them unless told otherwise.
    #[arg(long, value_name = "KEY,...", value_delimiter = ',', value_parser = suggest::measure)]
    pub columns: Vec<Measure>,
    /// How to write it.
    #[arg(long, value_enum, value_name = "FORMAT", default_value_t = Format::Text)]
    pub format: Format,
    #[command(flatten)]
    #[allow(missing_docs)] // as above
    pub run: Run,
}

/// Arguments of `diff`.
#[derive(Debug, clap::Args)]
pub struct Diff {
    /// FILE, or FILE#BUILD when the file holds more than one build.
    #[arg(value_name = "A")]
    pub a: OsString,
    /// The build to set beside it.
    #[arg(value_name = "B")]
    pub b: OsString,
    /// A third.
    #[arg(value_name = "C")]
    pub c: Option<OsString>,
    /// A fourth.
    #[arg(value_name = "D")]
    pub d: Option<OsString>,
    /// This measure alone.
    #[arg(long, value_name = "KEY", value_parser = suggest::measure)]
    pub measure: Option<Measure>,
    /// How to write it.
    #[arg(long, value_enum, value_name = "FORMAT", default_value_t = PageFormat::Text)]
    pub format: PageFormat,
    #[command(flatten)]
    #[allow(missing_docs)] // as above
    pub run: Run,
}

/// Arguments of `rank`.
#[derive(Debug, clap::Args)]
pub struct Rank {
    /// Profiles, or folders of them; without any, your own folder, else the built-in demo.
    #[arg(value_name = "PATH")]
    pub paths: Vec<PathBuf>,
    /// How to write it.
    #[arg(long, value_enum, value_name = "FORMAT", default_value_t = Format::Text)]
    pub format: Format,
    #[command(flatten)]
    #[allow(missing_docs)] // as above
    pub run: Run,
}

/// Arguments of `answer`.
#[derive(Debug, clap::Args)]
pub struct Answer {
    /// Profiles, or folders of them; without any, your own folder, else the built-in demo.
    #[arg(value_name = "PATH")]
    pub paths: Vec<PathBuf>,
    /// How many units on the short list at most.
    #[arg(long, value_name = "N", default_value_t = 3, value_parser = clap::value_parser!(u8).range(1..=20))]
    pub top: u8,
    /// How to write it.
    #[arg(long, value_enum, value_name = "FORMAT", default_value_t = ReplyFormat::Text)]
    pub format: ReplyFormat,
    #[command(flatten)]
    #[allow(missing_docs)] // as above
    pub run: Run,
}

/// Arguments of `wear`.
#[derive(Debug, clap::Args)]
pub struct Wear {
    /// FILE of the filter; a build after a `#` is allowed and makes no difference.
    #[arg(value_name = "A")]
    pub a: OsString,
    /// Litres that ran into the bucket, with no media in the vessel and both ends level.
    #[arg(long, value_name = "L", value_parser = suggest::above_zero)]
    pub bucket: f64,
    /// Seconds they took.
    #[arg(long, value_name = "S", value_parser = suggest::above_zero)]
    pub seconds: f64,
    /// Suction hose used, m; without it the tank's, else 1.5.
    #[arg(long, value_name = "M", value_parser = suggest::above_zero)]
    pub suction: Option<f64>,
    /// Delivery hose used, m; without it the tank's, else 1.5.
    #[arg(long, value_name = "M", value_parser = suggest::above_zero)]
    pub delivery: Option<f64>,
    /// Bends in each of them; without it the tank's, else 2.
    #[arg(long, value_name = "N", value_parser = suggest::from_zero)]
    pub bends: Option<f64>,
    #[command(flatten)]
    #[allow(missing_docs)] // as above
    pub run: Run,
}

/// Arguments of `restack`.
#[derive(Debug, clap::Args)]
pub struct Restack {
    /// FILE, or FILE#BUILD when the file holds more than one build.
    #[arg(value_name = "A")]
    pub a: OsString,
    /// Use these media alone; `on-hand` is what lies in the build and what the tank file has on hand.
    #[arg(long, value_name = "ID,...", value_delimiter = ',')]
    pub with: Vec<String>,
    /// How many proposals.
    #[arg(long, value_name = "N", default_value_t = 3, value_parser = clap::value_parser!(u8).range(1..=20))]
    pub top: u8,
    /// Save the profile with the proposals as further builds; there must be no file yet.
    #[arg(long, value_name = "FILE")]
    pub save: Option<PathBuf>,
    #[command(flatten)]
    #[allow(missing_docs)] // as above
    pub run: Run,
}

/// Arguments of `explain`.
#[derive(Debug, clap::Args)]
pub struct Explain {
    /// FILE, or FILE#BUILD when the file holds more than one build.
    #[arg(value_name = "A")]
    pub a: OsString,
    /// Which measure.
    #[arg(value_name = "KEY", value_parser = suggest::measure)]
    pub measure: Measure,
    #[command(flatten)]
    #[allow(missing_docs)] // as above
    pub run: Run,
}

/// Arguments of `draw`.
#[derive(Debug, clap::Args)]
pub struct Draw {
    /// FILE, or FILE#BUILD when the file holds more than one build.
    #[arg(value_name = "A")]
    pub a: OsString,
    /// Which picture.
    #[arg(long, value_enum, value_name = "PICTURE", default_value_t = DrawWhat::Section)]
    pub what: DrawWhat,
    /// Where to write it; there must be no file yet. A lone `-` prints it.
    #[arg(long, value_name = "FILE.svg")]
    pub to: PathBuf,
    #[command(flatten)]
    #[allow(missing_docs)] // as above
    pub run: Run,
}

/// Arguments of `report`.
#[derive(Debug, clap::Args)]
pub struct Report {
    /// Profiles, or folders of them; without any, your own folder, else the built-in demo.
    #[arg(value_name = "PATH")]
    pub paths: Vec<PathBuf>,
    /// Folder to write to; it is made where it is missing.
    #[arg(long, value_name = "FOLDER")]
    pub to: PathBuf,
    #[command(flatten)]
    #[allow(missing_docs)] // as above
    pub run: Run,
}

/// Arguments of `check`.
#[derive(Debug, clap::Args)]
pub struct Check {
    /// Files, or folders of them: filters, tanks and media.
    #[arg(value_name = "PATH", required = true)]
    pub paths: Vec<PathBuf>,
}

/// Arguments of `new`.
#[derive(Debug, clap::Args)]
pub struct New {
    /// Where to write it; there must be no file yet. A lone `-` prints it.
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// How many trays.
    #[arg(long, value_name = "N", default_value_t = 3, value_parser = clap::value_parser!(u8).range(1..=12))]
    pub trays: u8,
    /// Which way the water crosses the trays.
    #[arg(long, value_enum, value_name = "WAY", default_value_t = WayChoice::Rising)]
    pub way: WayChoice,
}

/// Arguments of `media`.
#[derive(Debug, clap::Args)]
pub struct Media {
    /// Show this one with its source.
    #[arg(value_name = "ID")]
    pub id: Option<String>,
}

/// Arguments of `completions`.
#[derive(Debug, clap::Args)]
pub struct Completions {
    /// Which shell.
    #[arg(value_enum, value_name = "SHELL")]
    pub shell: Shell,
}

/// Formats of `table`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// Aligned columns.
    Text,
    /// A Markdown table.
    Markdown,
    /// A code block for a forum post.
    Bbcode,
    /// For a spreadsheet, base units.
    Csv,
    /// For programs, base units, schema 1.
    Json,
}

/// Formats of `diff`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum PageFormat {
    /// Aligned columns.
    Text,
    /// Markdown tables.
    Markdown,
    /// Code blocks for a forum post.
    Bbcode,
    /// For programs, base units, schema 1.
    Json,
}

/// Formats of `answer`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum ReplyFormat {
    /// Plain paragraphs.
    Text,
    /// For a page that reads Markdown.
    Markdown,
    /// For a forum post.
    Bbcode,
}

/// Pictures to choose from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum DrawWhat {
    /// The vessel cut open.
    Section,
    /// Pump and system curves.
    Curve,
    /// Flow and bypass over the weeks.
    Timeline,
    /// Where the pump's head goes.
    Budget,
}

/// Units to choose from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum UnitsChoice {
    /// Litres and kilograms.
    Metric,
    /// US gallons, inches and pounds.
    Us,
    /// Imperial gallons.
    Uk,
}

/// Ways to choose from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum WayChoice {
    /// Upward, from the floor.
    Rising,
    /// Downward, from the lid.
    Falling,
}

impl From<UnitsChoice> for Units {
    fn from(choice: UnitsChoice) -> Self {
        match choice {
            UnitsChoice::Metric => Self::Metric,
            UnitsChoice::Us => Self::Us,
            UnitsChoice::Uk => Self::Uk,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    fn parse(line: &str) -> Result<Args, String> {
        Args::try_parse_from(line.split(' ')).map_err(|e| e.render().to_string())
    }

    #[test]
    fn the_declaration_holds_together() {
        Args::command().debug_assert();
    }

    #[test]
    fn paths_and_commands_are_told_apart() {
        let bare = parse("cansift a.ron folder --tank t.ron --units us").unwrap();
        assert!(bare.command.is_none());
        assert_eq!(bare.bare.paths.len(), 2);
        assert_eq!(bare.look.units, Some(UnitsChoice::Us));
        let table = parse("cansift table a.ron --sort -flow --columns flow,bypass --units uk").unwrap();
        let Some(Command::Table(args)) = table.command else { panic!("not a table") };
        assert_eq!(args.sort, Some(SortBy { measure: Measure::Flow, down: true }));
        assert_eq!(args.columns, [Measure::Flow, Measure::Bypass]);
        assert_eq!(table.look.units, Some(UnitsChoice::Uk));
        let before = parse("cansift --ascii --units uk table a.ron").unwrap();
        assert!(matches!(before.command, Some(Command::Table(_))) && before.bare.is_empty());
        assert!(before.look.ascii && before.look.units == Some(UnitsChoice::Uk));
        assert!(!parse("cansift a.ron table").unwrap().bare.is_empty());
    }

    #[test]
    fn a_wrong_key_gets_the_right_one() {
        let told = parse("cansift table --sort worked_flo").unwrap_err();
        assert!(told.contains("did you mean `worked_flow`?"), "{told}");
        let told = parse("cansift table --columns flow,bypas").unwrap_err();
        assert!(told.contains("did you mean `bypass`?"), "{told}");
    }
}
