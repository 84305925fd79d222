//! Texts below the help of each command: examples first, then what must be known.

use crate::measures::Measure;
use crate::report::sources::CAUTIONS;

pub const BARE: &str = "Examples:
  cansift                                     look at your own profiles, or at the built-in demo
  cansift filters/ --tank reading-room.ron    look at a folder, judged for one tank
  cansift table filters/ --sort -filtered_flow  the same as a table to paste or pipe
  cansift new mine.ron                        start a profile of your own: it asks for three numbers
  cansift --plain < commands.txt              the screens as lines: for a screen reader, or a session to repeat

`cansift --help` also lists the cautions, the rules of the road and the exit status.";

pub const TABLE: &str = "Examples:
  cansift table                                             the built-in demo
  cansift table filters/ --tank t.ron --sort -filtered_flow   best first
  cansift table a.ron b.ron --columns flow,bypass,full_weight  only these
  cansift table filters/ --format bbcode                    for a forum post
  cansift table filters/ --format csv > builds.csv          for a spreadsheet

In JSON `value` is the nominal figure, `median`, `low` and `high` are the 50th, 5th and 95th percentile of the simulated cases, null with --samples 0; a figure that cannot be told is null and says `why`. The JSON Schemas stand in `docs/schema`.
In CSV a figure that cannot be told is an empty field, and a name that a spreadsheet would take for a formula (it starts with = + - @) gets an apostrophe in front.";

pub const COMPARE: &str = "Examples:
  cansift compare 'tamsin.ron#as bought' 'tamsin.ron#restacked' --tank t.ron
  cansift compare tamsin.ron#restacked orrin.ron --measure opening_interval
  cansift compare a.ron b.ron c.ron --format markdown

Each further build is held against the first, A, case by case: same where 9 of 10 differences are what a keeper calls the same, better or worse where 9 of 10 lie on that side and the middle one is more than that, else unsure (`by little` where only the size is in doubt). JSON is that of `table` with `differences`: for each measure `to_first` and `verdicts`, one for each further build, null where it cannot be told.";

pub const RANK: &str = "Examples:
  cansift rank filters/ --tank reading-room.ron
  cansift rank filters/ --tank t.ron --format markdown

Each priority becomes a mark from 0 at its poor end to 1 at its good end, in a straight line:
  clearing, clearing_dirty        0.25 an hour               3/4 of the turnover aimed for
  filtered_flow                   0.5 tank volumes an hour   the turnover aimed for
  flow, turnover                  1 volume an hour           the turnover aimed for
  caught                          0                          75 %
  bypass, bypass_dirty            50 %                       0
  bypass_chance                   in each case: over 25 %    no
  ammonia_capacity (and _tank)    0.5                        2
  suits_up_to                     half the tank's volume     twice the tank's volume
  rule_of_thumb_tank              0                          the tank's volume
  nitrate                         3 times the aim            the aim
  opening_interval                7 days                     the aim's interval
  uv_dose                         0                          11 mJ/cm2
  repair_cost, first_year_cost    twice the budget           half the budget
  order_faults                    3 faults                   0
  full_weight                     25 kg                      5 kg
  anything else                   worst of those compared    best of those compared: the set then matters
The opening interval counts as much less as the build clears or lets slip past. What cannot be told by the nature of a build scores the poor end; what its file is silent about anything between, evenly. `rule_of_thumb_tank` is a rule of thumb of keepers: who does not care for nitrate sets it to 0. Mean scores less than a point of 100 apart are about equal.";

pub const ANSWER: &str = "Examples:
  cansift answer filters/ --tank asked.ron                    to read
  cansift answer filters/ --tank asked.ron --format bbcode    to paste into a forum
  cansift answer a.ron b.ron --tank mine.ron --full           between two adverts, with a table

It takes 120 words or fewer, in full 350 for four units. Builds of one unit are one candidate: the best of them speaks for it, and the first build of its file counts as how it stands now. The tank's cabinet and budget are requirements, whether `requirements` repeats them or not. With --samples 0 it leaves out what only simulated cases can tell.";

pub const WEAR: &str = "Examples:
  cansift wear pelworth.ron --bucket 10 --seconds 62
  cansift wear pelworth.ron --bucket 10 --seconds 62 --intake 1 --return 1 --bends 0

Run it with no media in the vessel (dirt would read as wear), the profile's fittings and outlet, and both hose ends level, into a bucket: count the seconds.";

pub const EXPLAIN: &str = "Examples:
  cansift explain orrin.ron filtered_flow --tank t.ron
  cansift explain 'tamsin.ron#as bought' bypass";

pub const NEXT: &str = "Examples:
  cansift next 'tamsin.ron#restacked' --tank t.ron
  cansift next filters/ --tank t.ron

Of several builds it tells which figure, once known, would change the choice most often; of one build how much of the scatter of its leading figures each input explains.";

pub const SUITS: &str = "Examples:
  cansift suits 'tamsin.ron#restacked'
  cansift suits orrin.ron --tank t.ron --dirt

No tank has to be known: without one the water has 25 °C and pH 7.4, and 1.5 m of hose lie each way. With one its water and hoses count, and a row tells it as that tank is fed.";

pub const RESTACK: &str = "Examples:
  cansift restack 'tamsin.ron#as bought' --tank t.ron
  cansift restack orrin.ron --tank t.ron --with on-hand          nothing to buy
  cansift restack orrin.ron --tank t.ron --with foam-20,floss,pumice-12
  cansift restack orrin.ron --tank t.ron --save restacked.ron    the filter with the proposals in a new file

Chemical media are used only when the build holds them or --with names them: what they bind is not in the model. So are grains below 6 mm, such as gravel, unless you have them: they pack, and clog sooner than the model tells. Pads come in 10, 20, 25, 40 and 50 mm, cut with 0.5 mm of slack; loose media fill what is left.
Unplug the filter before you open it, and never change all biological media at once.";

pub const LOG: &str = "Examples:
  cansift log 'tamsin.ron#restacked' --tank t.ron
  cansift log 'tamsin.ron#restacked' --tank t.ron --log own --format json
  cansift draw 'tamsin.ron#restacked' --what log --tank t.ron --to log.svg

A build keeps a log: `packed`, and what was measured since, such as `Bucket(on: 21, volume: l(10), time: s(71))`.
Expected is what the model said before any reading, 9 of 10 cases; corrected what is believed now. Readings that contradict the figures are held out and named, and the build gets no place in a ranking until one of them is mended.";

pub const DRAW: &str = "Examples:
  cansift draw orrin.ron#restacked --to orrin.svg
  cansift draw 'tamsin.ron#as bought' --what timeline --tank t.ron --to weeks.svg
  cansift draw orrin.ron#restacked --to - | less

The picture stands alone: any browser shows it, on light and dark. A file that is there already is never written over.";

pub const REPORT: &str = "Examples:
  cansift report filters/ --tank reading-room.ron --to report/
  cansift report --to demo-report/                              the built-in demo, for its tank

It writes report.html (one page, nothing fetched, no script), table.csv and data.json. The page leads with the verdict and the ranking; the best placed builds get pictures (--top), all of them figures. Files that are there already are never written over: name another folder, or move the old report away.";

pub const CHECK: &str = "Examples:
  cansift check mine.ron
  cansift check filters/ tanks/

Problems are what was asked for here, so they go to standard output. Exit status 1 when there is any, 3 when there is no file to read.";

pub const NEW: &str = "Examples:
  cansift new mine.ron --flow 1200 --trays 3 --outside 235x200x410
  cansift new mine.ron --flow '320 gal/h' --trays 4 --outside '9 x 8 x 16 in' --way falling
  cansift new --tank t.ron --volume 180 --stocking normal
  cansift new               on a terminal: asks

Three numbers make a profile: what it leaves out is assumed, widely, and said to be. Where nobody is there to be asked, a number that is not said is invented and marked guessed(…), to be typed over. ~1200 is a guess, 1100-1300 anywhere between.
Unplug the filter before you open it to measure. A file that is there already is never written over.";

pub const SHEET: &str = "Examples:
  cansift sheet mine.ron --to sheet.html              what is not known of it yet, to print
  cansift sheet mine.ron --tank t.ron --to sheet.md   with what each is worth for this tank
  cansift sheet --to blank.html                       for a filter of which nothing is known

Unplug the filter, and everything else in the water, before you open it.";

pub const IMPORT: &str = "Examples:
  cansift import shop.csv --to filters/
  cansift import shop.xlsx --to filters/ --map columns.txt   the first time writes columns.txt, to be changed

The first row names the columns: `Model`, `Flow (l/h)`, `Lift m`, `Width mm`, `Trays`, `Price`. A cell may say its own unit, `320 gal/h`. What could not be read is told with its row, and left out; a row without a flow makes no profile.";

pub const FIELDS: &str = "Examples:
  cansift fields          every field of every form
  cansift fields tank     those of a tank
  cansift fields layer    those of a layer

`docs/fields.md` and `docs/schema/forms.schema.json` are written from the same table.";

pub const MEDIA: &str = "Examples:
  cansift media           the whole library
  cansift media foam-20   one medium with the source of its figures";

pub const KEYS: &str = "Examples:
  cansift keys                                 the keys in force, and where your own are read from
  cansift keys > ~/.config/cansift/keys.ron    a file of your own to change
  cansift keys --keys mine.ron                 look a file over

Several keys may stand for one action. A line that is wrong is told, and the rest holds.";

pub const COMPLETIONS: &str = "Examples:
  cansift completions bash > ~/.local/share/bash-completion/completions/cansift
  cansift completions fish > ~/.config/fish/completions/cansift.fish
In bash, zsh and fish Tab behind `tamsin.ron#` completes the build.";

pub const MAN: &str = "Example:
  cansift man > cansift.1 && man ./cansift.1";

pub const RULES: &str = "A build is named FILE when the file holds one, else FILE#BUILD: 'tamsin.ron#as bought'.
Your own folder is `cansift` in the user's data folder (~/.local/share/cansift unless set otherwise).
Files and folders are read in name order. Broken files are told on standard error; the rest is still shown.
A dash is a figure that cannot be told; its reason stands below the table.
Cabinet height does not load the pump: both hose ends are under the same water surface, so the static head is zero. Only an outlet held above the surface costs head.
On screen, files that change on disk are read again by themselves (--no-watch leaves them alone). Columns, order, units, mouse, the last paths and the last tank are kept for next time in `cansift/state.ron` of the user's state folder (~/.local/state unless set otherwise); without --tank the last tank is taken, without a path and without a folder of your own the last paths (--demo for the demo).
With --plain, CANSIFT_PLAIN set, or TERM=dumb the screens are a dialogue of lines (`help` lists its commands): nothing is drawn, nothing moves, and commands may come from a pipe. Colour is only ever one of the terminal's own 16, with a sign beside it; NO_COLOR or --colour never turns it off.
Keys of your own are read from `cansift/keys.ron` in the user's configuration folder (~/.config unless set otherwise): `cansift keys` prints the keys in force as such a file.

Exit status: 0 fine, 1 some input broken (the rest is still shown), 2 wrong usage, 3 nothing usable or the result could not be written. A reader that stops early (a closed pipe) is no error; a signal that ends the screens gives 128 and its number.";

pub fn overview() -> String {
    let cautions: String = CAUTIONS.iter().map(|line| format!("  - {line}\n")).collect();
    format!("{BARE}\n\nRules of the road:\n{RULES}\n\nCautions:\n{cautions}")
}

pub fn with_measures(examples: &str) -> String {
    let mut text = format!("{examples}\n\nMeasures (KEY, unit, which way is better):\n");
    for measure in Measure::ALL {
        let row = measure.row();
        text.push_str(&format!(
            "  {:<22} {:<13} {}\n      {}\n",
            row.key,
            row.unit.sign(),
            row.better.word(),
            row.says
        ));
    }
    text
}
