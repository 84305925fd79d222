//! What a log tells: the model against a keeper's readings, in sentences and as a page.

use super::figures::{self, Units};
use super::ranking::key_words;
use super::wording::{count, sentence};
use super::{Cell, Column, Page, Sheet, Table, six_digits};
use crate::assess::log::{Odd, Read, Sort, Told, Unused};
use crate::assess::{Assessment, Mode};
use crate::measures::{Measure, Outcome};
use crate::model::Day;
use crate::uncertainty::key::Step;
use crate::uncertainty::{Band, Key, Source};
use crate::units::litres_an_hour;

/// What stands before the name of a build whose readings contradict its figures.
pub const UNLIKE: &str = "≠";
/// Why it gets no place.
pub const CONTRADICTS: &str = "its readings contradict its figures";
/// Figures by which a log is judged first.
const SHOWN: [Measure; 8] = [
    Measure::Flow,
    Measure::FlowDirty,
    Measure::FilteredFlow,
    Measure::Clearing,
    Measure::ClearingDirty,
    Measure::BypassDirty,
    Measure::OpeningInterval,
    Measure::AmmoniaCapacity,
];
const MOST_MOVED: usize = 6;

/// Standard deviations beyond which a used reading is named too.
const FAR: f64 = 3.0;

fn shown(sort: Sort, x: f64, units: Units) -> String {
    match sort {
        Sort::Bucket | Sort::BucketOut => figures::flow(litres_an_hour(x), units),
        Sort::Fell | Sort::Fine => figures::share(x),
        Sort::Muck => figures::volume(x * 1e3, units),
        Sort::Weighed => figures::mass(x, units),
        Sort::Meter => format!("{} W", figures::rounded(x, 1)),
        Sort::Loss => figures::length(x * 1e3, units),
        Sort::Nitrate | Sort::Ammonia => {
            format!("{} mg/l", figures::rounded(x, usize::from(x < 10.0)))
        }
        Sort::Places => String::new(),
    }
}

/// From one end to the other, the unit once.
fn span(sort: Sort, band: Band, units: Units) -> String {
    let (low, high) = (shown(sort, band.low, units), shown(sort, band.high, units));
    if low == high {
        return high;
    }
    let number = low.split(' ').next().unwrap_or(&low);
    format!("{}–{high}", number.strip_suffix('%').unwrap_or(number).trim_end())
}

fn date(told: &Told, day: f64) -> String {
    match told.packed {
        Some(Day(packed)) if day.is_finite() => Day(packed + day.round() as i64).said(),
        _ => format!("day {}", figures::rounded(day, 0)),
    }
}

/// Time in words: in weeks where they are whole or many.
fn within(days: f64) -> String {
    let weeks = (days / 7.0).round();
    if (days - weeks * 7.0).abs() < 0.5 && weeks >= 1.0 {
        return if weeks < 1.5 { "a week".to_owned() } else { format!("{} weeks", count(weeks as usize)) };
    }
    format!("{} days", figures::rounded(days, 0))
}

pub fn sentences(told: &Told, units: Units) -> Vec<String> {
    let mut out = Vec::new();
    match &told.unused {
        Some(Unused::OtherTank(on)) => {
            return vec![format!("Its log is set aside: it was kept on {on}, which is not the tank loaded.")];
        }
        Some(Unused::NoDirt) => {
            return vec![
                "Its log is set aside: without a tank that is fed the model tells nothing to compare it with.".to_owned(),
            ];
        }
        Some(Unused::Impossible) => {
            out.push("Its log is set aside: no simulated case gives such readings.".to_owned());
        }
        Some(Unused::Contradicts) => {
            out.push("Its log is set aside: its readings contradict each other or the profile, whichever is left out.".to_owned());
        }
        None => {}
    }
    let mut kinds: Vec<Sort> = Vec::new();
    for read in told.readings.iter().filter(|read| read.held) {
        if kinds.contains(&read.sort) {
            continue;
        }
        if let Some(ratio) = told.ratio(read.sort) {
            kinds.push(read.sort);
            let count = told.readings.iter().filter(|other| other.sort == read.sort).count();
            let all = if count == 2 { "both".to_owned() } else { format!("all {}", self::count(count)) };
            let way = if ratio < 1.0 { "under" } else { "over" };
            let by = figures::share((ratio - 1.0).abs());
            out.push(format!(
                "Readings and model disagree: {all} {} run {by} {way}. Held out. {}",
                read.sort.words().1,
                sentence(read.sort.check_all())
            ));
        } else if told.unused.is_none() {
            out.push(disagrees(told, read, units));
        }
    }
    if told.unused.is_some() {
        return out;
    }
    if let Some((lost, band, days)) = told.fell {
        let (low, high) = (figures::share(band.low), figures::share(band.high));
        let low = if band.low < 0.005 { "0" } else { low.trim_end_matches(['%', ' ', '\u{a0}', '\u{202f}']) };
        let way = if lost < 0.0 { "rose" } else { "fell" };
        out.push(format!(
            "Flow {way} {} in {}; the model expected {low}–{high}.",
            figures::share(lost.abs()),
            within(days)
        ));
    }
    out.push(match told.causes().as_slice() {
        [] => "By the log no one cause: nothing moved by half of its uncertainty.".to_owned(),
        [(cause, by)] => format!("By the log most likely {} ({}).", cause.words(), sd(*by)),
        [(one, by), (other, and)] | [(one, by), (other, and), ..] => {
            format!("By the log {} ({}) or {} ({}).", one.words(), sd(*by), other.words(), sd(*and))
        }
    });
    out.extend(open_again(told));
    for read in told.readings.iter().filter(|read| !read.held && read.off.abs() > FAR) {
        out.push(format!(
            "{} of {}: used, but {} standard deviations off. {}",
            sentence(read.sort.words().0),
            date(told, read.day),
            figures::rounded(read.off.abs(), 1),
            sentence(read.sort.check())
        ));
    }
    out.extend(told.odd.iter().map(|odd| match odd {
        Odd::Twice(sort, day) => {
            format!("Two {} on {}: both count.", sort.words().1, date(told, *day))
        }
        Odd::MediaOut(day) => format!(
            "Media out on {}, between openings: taken as put back unwashed, so the weeks run on.",
            date(told, *day)
        ),
    }));
    if told.unusual {
        out.push(format!(
            "Model and readings lie unusually far apart: as far in {} of 1000 cases.",
            (told.p * 1e3).round()
        ));
    }
    if let Some(phi) = told.phi {
        let phi = figures::rounded(phi, 2);
        out.push(format!("The log is sharper than our simulated cases; bands are told too wide (φ {phi})."));
    }
    out
}

/// So many standard deviations, with their sign.
fn sd(by: f64) -> String {
    format!("{by:+.1} sd").replace('-', "−")
}

fn disagrees(told: &Told, read: &Read, units: Units) -> String {
    let seen = read.seen.map_or_else(String::new, |x| format!(", {}", shown(read.sort, x, units)));
    let expected = read.expected.filter(|_| read.seen.is_some());
    let expected =
        expected.map_or_else(String::new, |band| format!(", expected {}", span(read.sort, band, units)));
    format!(
        "Reading and model disagree: {} of {}{seen}{expected}. Held out. {}",
        read.sort.words().0,
        date(told, read.day),
        sentence(read.sort.check())
    )
}

/// When to open it again, with the log and without.
pub fn open_again(told: &Told) -> Option<String> {
    let (with, without) = told.opens?;
    let longest = crate::assumptions::A::Horizon.value();
    let on =
        |days: f64| if days >= longest - 0.5 { "later".to_owned() } else { date(told, told.opened + days) };
    let day = if with.median >= longest - 0.5 {
        format!("It need not be opened within {}", figures::horizon())
    } else {
        format!("Open it again by {}", on(with.median))
    };
    Some(format!("{day} ({}–{}); without the log {}.", on(with.low), on(with.high), on(without.median)))
}

/// The next readings that would tell most of that day.
fn next(told: &Told) -> Option<String> {
    let all: Vec<String> = told
        .next
        .iter()
        .map(|(sort, share)| format!("{} ({})", sort.words().0, figures::share(*share)))
        .collect();
    (!all.is_empty()).then(|| format!("Tells most next, of the uncertainty of that day: {}.", all.join(", ")))
}

/// What logs say to all who look at these builds; nothing without a log.
pub fn remarks(sheet: &Sheet, units: Units) -> Vec<String> {
    let mut out = Vec::new();
    let logged: Vec<&Assessment> = sheet.rows.iter().filter(|row| row.told().is_some()).collect();
    for row in &logged {
        let Some(told) = row.told() else { continue };
        let said = sentences(told, units);
        let said = if row.contradicts() { said.into_iter().take(1).collect() } else { said };
        out.push(format!("{}: {}", row.title(), said.join(" ")));
    }
    out.extend(moved(sheet, &logged));
    out
}

fn moved(sheet: &Sheet, logged: &[&Assessment]) -> Option<String> {
    let whose: Vec<&str> = logged
        .iter()
        .filter(|row| row.told().is_some_and(|t| t.unused.is_none() && t.mode == Mode::All))
        .map(|row| row.filter.as_str())
        .collect();
    let shift = |row: &&Assessment| {
        let measure = Measure::OpeningInterval;
        let model = row.model()?.band(measure)?.median;
        Some((row.band(measure)?.median - model, row.title()))
    };
    let others = || sheet.rows.iter().filter(|row| row.told().is_none() && row.logged.is_some());
    let (days, most) =
        others().filter_map(|row| shift(&row)).max_by(|a, b| a.0.abs().total_cmp(&b.0.abs()))?;
    if whose.is_empty() || days.abs() < 0.05 {
        return None;
    }
    let logs = if whose.len() == 1 { "log" } else { "logs" };
    let builds = match others().count() {
        1 => "1 build".to_owned(),
        n => format!("{n} builds"),
    };
    Some(format!(
        "Moved by the {logs} of {}: {builds}, at most {} {} d ({most}).",
        whose.join(" and "),
        Measure::OpeningInterval.row().head,
        figures::rounded(days, 1).replace('-', "−"),
    ))
}

pub fn page(row: &Assessment, units: Units) -> Page {
    let mut page = Page::default();
    page.heading(format!("{}: the log", row.title()));
    let Some(told) = row.told() else {
        page.paragraph("It has no log. A log stands in its build: `packed`, and a list of what was measured since (`cansift fields Bucket`).");
        return page;
    };
    for said in sentences(told, units) {
        page.paragraph(said);
    }
    if !told.readings.is_empty() {
        let heads = ["day", "reading"].map(Column::words).into_iter();
        let figures = ["expected", "observed", "corrected"].map(Column::words).into_iter();
        let last = [Column::figures("slip", "of 100"), Column::words("used")].into_iter();
        let columns = heads.chain(figures).chain(last).collect();
        page.table(Table {
            columns,
            rows: told.readings.iter().map(|r| line(told, r, units)).collect(),
            ..Table::default()
        });
    }
    if row.logged.as_ref().is_some_and(|logged| logged.model.is_some()) {
        let columns = ["measure", "corrected", "without the log"].map(Column::words).to_vec();
        let rows = SHOWN.iter().filter_map(|measure| {
            let (now, then) = (row.band(*measure)?, row.model()?.band(*measure)?);
            Some(
                [measure.row().head.to_owned(), three(*measure, now, units), three(*measure, then, units)]
                    .to_vec(),
            )
        });
        page.table(Table::new(columns, rows));
    }
    if !told.moved.is_empty() {
        let line = |moved: &crate::assess::log::Moved| {
            format!(
                "{} {}, {} of its uncertainty left",
                called(&moved.key, units),
                sd(moved.by),
                figures::share(moved.left)
            )
        };
        page.paragraph("Moved:");
        page.list(told.moved.iter().take(MOST_MOVED).map(line).collect());
    }
    page.list(next(told).into_iter().chain([method(told)]).collect());
    page
}

/// A figure that a log moved. Its filter is the page's own.
fn called(key: &Key, units: Units) -> String {
    match (key.at().steps(), key.source()) {
        ([Step::Part("log"), Step::Part(part), rest @ ..], _) => match (*part, rest) {
            // Its size in ml.
            ("bucket", [Step::Item(size)]) => {
                format!("the {} bucket", figures::volume(*size as f64 / 1e3, units))
            }
            ("model_flow", _) => "the model's flow".to_owned(),
            ("model_drift", _) => "the model's drift over the weeks".to_owned(),
            ("model_loss", _) => "the model's loss of the vessel".to_owned(),
            ("limit", _) => "the flow at which it is opened".to_owned(),
            ("slime_before", _) => "slime in the hoses when it was packed".to_owned(),
            ("muck_share", _) => "the share of muck that reached the bucket".to_owned(),
            (other, _) => format!("the {}", other.replace('_', " ")),
        },
        (_, Source::Filter(_)) => {
            let words = key_words(key, &[]);
            words.split_once(": ").map_or_else(|| words.clone(), |(_, place)| place.to_owned())
        }
        _ => key_words(key, &[]),
    }
}

/// What an explanation says of a figure that a log moved: the steps below it are the model's alone.
pub fn beside(row: &Assessment, measure: Measure, units: Units) -> String {
    let moved = row.logged.as_ref().and_then(|logged| logged.model.as_ref());
    let bands = moved.and_then(|model| Some((row.band(measure)?, model.band(measure)?)));
    bands.map_or_else(String::new, |(now, then)| {
        let (now, then) = (three(measure, now, units), three(measure, then, units));
        format!("By the log {now}; without it {then}. How the model comes to its own figure:")
    })
}

fn three(measure: Measure, band: Band, units: Units) -> String {
    let of = |x| figures::show(measure, Outcome::Value(x), units);
    let sign = figures::sign(measure, units);
    format!("{} ({}–{}) {sign}", of(band.median), of(band.low), of(band.high)).trim_end().to_owned()
}

fn line(told: &Told, read: &Read, units: Units) -> Vec<Cell> {
    let told_of = |band: Option<Band>| {
        band.map_or_else(|| figures::DASH.to_owned(), |band| span(read.sort, band, units))
    };
    let seen = read.seen.map_or_else(|| figures::DASH.to_owned(), |x| shown(read.sort, x, units));
    let used = if read.held { format!("{UNLIKE} held out") } else { "yes".to_owned() };
    [
        date(told, read.day),
        read.sort.words().0.to_owned(),
        told_of(read.expected),
        seen,
        told_of(read.corrected),
        if read.held { figures::DASH.to_owned() } else { figures::rounded(read.slip * 100.0, 0) },
        used,
    ]
    .map(Cell::from)
    .to_vec()
}

fn method(told: &Told) -> String {
    let (worth, p) = (figures::rounded(told.ess, 0), (told.p * 1e3).round());
    let rows = crate::learn::search::ROWS * (told.rounds + 1);
    let steps = match told.rounds {
        0 => "no linear step".to_owned(),
        1 => "one linear step".to_owned(),
        n => format!("{n} linear steps"),
    };
    let how = match told.mode {
        Mode::Own => {
            format!("in each case one of many candidates, of which {worth} count in the middle case")
        }
        Mode::All | Mode::Off => format!(
            "{rows} weighed rows are worth {worth} equal ones (k̂ {}), {steps}",
            figures::rounded(told.khat, 2)
        ),
    };
    format!("Method: {how}; readings as far off in {p} of 1000 cases; --log {}.", told.mode.word())
}

/// A figure for programs: SI but for flows, which are in l/h.
pub fn plain(sort: Sort, x: f64) -> Option<f64> {
    six_digits(if matches!(sort, Sort::Bucket | Sort::BucketOut) { litres_an_hour(x) } else { x })
}
