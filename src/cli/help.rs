//! Texts below the help of each command: examples first, then what must be known.

use crate::measures::Measure;
use crate::report::cautions::CAUTIONS;

/// Below the short help of the program.
pub const BARE: &str = "\
Examples:
  cansift                                     look at your own profiles, or at the built-in demo
  cansift filters/ --tank reading-room.ron    look at a folder, judged for one tank
  cansift table filters/ --sort -worked_flow  the same as a table to paste or pipe
  cansift new mine.ron                        start a profile of your own

`cansift --help` also lists the cautions, the rules of the road and the exit status.";

/// Below the help of `table`.
pub const TABLE: &str = "\
Examples:
  cansift table                                             the built-in demo
  cansift table filters/ --tank t.ron --sort -worked_flow   best first
  cansift table a.ron b.ron --columns flow,bypass,wet_mass  only these
  cansift table filters/ --format bbcode                    for a forum post
  cansift table filters/ --format csv > builds.csv          for a spreadsheet

In CSV a figure that cannot be told is an empty field, and a name that a spreadsheet would take for a
formula (it starts with = + - @) gets an apostrophe in front.";

/// Below the help of `diff`.
pub const DIFF: &str = "\
Examples:
  cansift diff 'tamsin.ron#as bought' 'tamsin.ron#restacked' --tank t.ron
  cansift diff tamsin.ron#restacked orrin.ron --measure service
  cansift diff a.ron b.ron c.ron --format markdown

Differences are to the first build, A.";

/// Below the help of `explain`.
pub const EXPLAIN: &str = "\
Examples:
  cansift explain orrin.ron worked_flow --tank t.ron
  cansift explain 'tamsin.ron#as bought' bypass";

/// Below the help of `draw`.
pub const DRAW: &str = "\
Examples:
  cansift draw orrin.ron#restacked --to orrin.svg
  cansift draw 'tamsin.ron#as bought' --what timeline --tank t.ron --to weeks.svg
  cansift draw orrin.ron#restacked --to - | less

The picture stands alone: any browser shows it, on light and dark. A file that is there already is never
written over.";

/// Below the help of `report`.
pub const REPORT: &str = "\
Examples:
  cansift report filters/ --tank reading-room.ron --to report/
  cansift report --to demo-report/                              the built-in demo, for its tank

It writes report.html (one page, nothing fetched, no script), table.csv and data.json. Files that are there
already are never written over: name another folder, or move the old report away.";

/// Below the help of `check`.
pub const CHECK: &str = "\
Examples:
  cansift check mine.ron
  cansift check filters/ tanks/

Problems are what was asked for here, so they go to standard output. Exit status 1 when there is any,
3 when there is no file to read.";

/// Below the help of `new`.
pub const NEW: &str = "\
Examples:
  cansift new mine.ron
  cansift new mine.ron --trays 4 --way falling
  cansift new - > mine.ron

Unplug the filter before you open it to measure. A file that is there already is never written over.";

/// Below the help of `media`.
pub const MEDIA: &str = "\
Examples:
  cansift media           the whole library
  cansift media foam-20   one medium with the source of its figures";

/// Below the help of `completions`.
pub const COMPLETIONS: &str = "\
Examples:
  cansift completions bash > ~/.local/share/bash-completion/completions/cansift
  cansift completions fish > ~/.config/fish/completions/cansift.fish";

/// Below the help of `man`.
pub const MAN: &str = "\
Example:
  cansift man > cansift.1 && man ./cansift.1";

/// What every command shares.
pub const RULES: &str = "\
A build is named FILE when the file holds one, else FILE#BUILD: 'tamsin.ron#as bought'.
Your own folder is `cansift` in the user's data folder (~/.local/share/cansift unless set otherwise).
Files and folders are read in name order. Broken files are told on standard error; the rest is still shown.
A dash is a figure that cannot be told; its reason stands below the table.
Cabinet height does not load the pump: both hose ends are under the same water surface, so the static head
is zero. Only an outlet held above the surface costs head.

Exit status: 0 fine, 1 some input broken (the rest is still shown), 2 wrong usage, 3 nothing usable or the
result could not be written. A reader that stops early (a closed pipe) is no error.";

/// Below the long help of the program.
pub fn overview() -> String {
    let cautions: String = CAUTIONS.iter().map(|line| format!("  - {line}\n")).collect();
    format!("{BARE}\n\nRules of the road:\n{RULES}\n\nCautions:\n{cautions}")
}

/// Below the long help of a command that names measures.
pub fn with_measures(examples: &str) -> String {
    let mut text = format!("{examples}\n\nMeasures (KEY, unit, which way is better):\n");
    for measure in Measure::ALL {
        let row = measure.row();
        text.push_str(&format!(
            "  {:<18} {:<13} {:<11} {}\n",
            row.key,
            row.unit.sign(),
            row.better.word(),
            row.says
        ));
    }
    text
}
