//! Plain input: what a person types into a field, as the file has it, and what was understood. The row of the field
//! says unit, range and kind; what a file would hold is understood as well.

mod figure;
mod parts;

use std::ops::Range;

use super::lexer;
use super::write::figures::{NONE, text};
use crate::hidden::visible;
use crate::measures::Measure;
use crate::model::Day;
use crate::model::fields::{Brackets, Choice, Dimension, Kind, Row, Table, Variant, Wording};
use crate::units::Units;

#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Understood {
    /// As it stands in a file.
    pub ron: String,
    /// What a person is told of it: `40 gal = 151 l`.
    pub echo: String,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unclear {
    /// Where, in the bytes of what was typed.
    pub at: Range<usize>,
    pub said: String,
}

impl Unclear {
    fn whole(typed: &str, said: impl Into<String>) -> Self {
        Self { at: 0..typed.len(), said: said.into() }
    }
    fn part(at: &Range<usize>, said: impl Into<String>) -> Self {
        Self { at: at.clone(), said: said.into() }
    }
}

/// Whether a form is typed as one line of figures.
pub fn is_one_line(table: &Table) -> bool {
    parts::figures(table).is_some()
}

/// A value as people read it there, to three digits and without its unit's sign.
pub fn rough(si: f64, row: &Row, of: Dimension, units: Units) -> String {
    figure::rough(si, row, of, units)
}

/// A plain number of the row's unit, as people read it.
pub fn exact(number: f64, row: &Row, units: Units) -> String {
    let of = crate::model::fields::exact_of(row);
    let si = of.unit(row.unit).map_or(number, |unit| unit.to_si(number));
    figure::whole(si, row, of, units)
}

/// A value that nobody typed as people read it there, to three digits, with its unit's sign.
pub fn value(si: f64, row: &Row, of: Dimension, units: Units) -> String {
    let (number, (_, sign)) = (rough(si, row, of, units), figure::shown(si, row, of, units));
    format!("{number} {sign}").trim_end().to_owned()
}

const MOST: usize = 4000;

/// Reads what was typed into the field of that row; a bare number takes the field's unit as it is read.
pub fn understand(row: &'static Row, typed: &str, units: Units) -> Result<Understood, Unclear> {
    understand_as(row, row.kind, typed, units)
}

/// The same for an item of the row's list, or a value of its map.
pub fn understand_as(
    row: &'static Row,
    kind: Kind,
    typed: &str,
    units: Units,
) -> Result<Understood, Unclear> {
    if typed.trim().is_empty() {
        return Err(Unclear::whole(typed, format!("type {}, such as {}", row.words, example(row, units))));
    }
    if typed.len() > MOST {
        return Err(Unclear::whole(typed, "that is too long for a field"));
    }
    if let Some(at) = typed.find(|c: char| c.is_control()) {
        return Err(Unclear::part(&(at..at + 1), "a field holds one line of text"));
    }
    let said = typed.trim();
    if row.none && said == NONE {
        let echo = if row.without.is_empty() { "there is none".to_owned() } else { row.without.to_owned() };
        return Ok(Understood { ron: NONE.to_owned(), echo });
    }
    match kind {
        Kind::Figure(of) => figure::understand(row, typed, of, units),
        Kind::Exact(_) | Kind::Count => {
            figure::understand(row, typed, crate::model::fields::exact_of(row), units)
        }
        Kind::Flag => flag(typed, row),
        Kind::When => when(row, typed),
        Kind::Text => Ok(words(said)),
        Kind::Choice(choice) => of_choice(row, typed, choice()),
        Kind::Form(table) => parts::understand(row, typed, table(), units),
        Kind::List(_) if row.words == "`trays`" && said.bytes().all(|b| b.is_ascii_digit()) => {
            trays(row, typed)
        }
        Kind::List(Kind::Text) if !said.starts_with('[') => {
            let items: Vec<String> =
                said.split(',').map(str::trim).filter(|item| !item.is_empty()).map(text).collect();
            Ok(Understood { ron: format!("[{}]", items.join(", ")), echo: said.to_owned() })
        }
        Kind::List(Kind::Count) if !said.starts_with('[') => numbers(row, typed),
        Kind::List(_) | Kind::Map | Kind::Flat(_) => as_in_file(row, kind, typed),
    }
}

/// `2, 3`, `2 3`, `2 and 3`.
fn numbers(row: &Row, typed: &str) -> Result<Understood, Unclear> {
    let words = typed.split([',', ' ', ';']).map(str::trim).filter(|word| !word.is_empty() && *word != "and");
    let within = |x: &u32| (row.low..=row.high).contains(&f64::from(*x));
    let read: Option<Vec<String>> =
        words.map(|word| word.parse().ok().filter(within).map(|x: u32| x.to_string())).collect();
    let said = read.map(|read| read.join(", "));
    let like = || format!("{}: whole numbers from {} to {}, such as 2, 3", row.words, row.low, row.high);
    said.map(|said| Understood { ron: format!("[{said}]"), echo: said })
        .ok_or_else(|| Unclear::whole(typed, like()))
}

pub fn example(row: &Row, units: Units) -> String {
    match row.kind {
        Kind::Figure(_) | Kind::Exact(_) | Kind::Count => figure::example(row, units),
        Kind::Flag => "yes".to_owned(),
        Kind::Choice(choice) => {
            let says: Vec<&str> = choice().told().map(|variant| variant.says).collect();
            says.join(", ")
        }
        Kind::Form(table) => parts::example(table(), units).unwrap_or_else(|| row.like.to_owned()),
        Kind::List(_) if row.words == "`trays`" => "3".to_owned(),
        Kind::List(Kind::Count | Kind::Text) => listed(row.like),
        _ => row.like.trim_matches('"').to_owned(),
    }
}

/// A list of words or numbers as it is typed.
fn listed(ron: &str) -> String {
    visible(&ron.replace(['[', ']', '"'], ""))
}

/// A choice's word as it stands in a file: what belongs to it begins as a guess, to be typed over.
pub fn chosen(choice: &Choice, variant: &Variant) -> String {
    // What was read on a day was read, not guessed.
    let dated = choice.common.iter().any(|row| matches!(row.kind, Kind::When));
    let given: Vec<String> = choice
        .common
        .iter()
        .filter(|_| variant.brackets == Brackets::Named)
        .chain(variant.rows)
        .filter(|row| row.is_needed())
        .map(|row| {
            let value = match row.kind {
                Kind::Figure(_) if !dated => format!("guessed({})", row.like),
                Kind::When => text(&super::today::get().to_string()),
                _ => row.like.to_owned(),
            };
            if variant.brackets == Brackets::Named { format!("{}: {value}", row.name) } else { value }
        })
        .collect();
    match variant.brackets {
        Brackets::None => variant.word.to_owned(),
        _ => format!("{}({})", variant.word, given.join(", ")),
    }
}

/// What stands in a file, as people read it, and how it is known: `1200 l/h`, `printed`.
pub fn human(row: &'static Row, kind: Kind, ron: &str, units: Units) -> (String, &'static str) {
    let inner = |word: &str| ron.strip_prefix(word)?.strip_prefix('(')?.strip_suffix(')');
    let understand = |ron: &str| understand_as(row, kind, ron, units);
    match kind {
        _ if ron == NONE => (NONE.to_owned(), ""),
        // So many of which nothing else is told.
        Kind::List(_) if inner("count").is_some() => {
            (inner("count").unwrap_or_default().to_owned(), "counted")
        }
        Kind::List(Kind::Count | Kind::Text) => (listed(ron), ""),
        Kind::Figure(_) if ron.starts_with("between(") => {
            let echo = understand(ron).map_or_else(|_| visible(ron), |read| read.echo);
            (echo.trim_end_matches(", anywhere between").to_owned(), "between")
        }
        Kind::Figure(_) | Kind::Exact(_) | Kind::Count => {
            let known = [("measured", "measured"), ("guessed", "guessed"), ("stated", "printed")];
            let found = known.iter().find_map(|(word, says)| Some((inner(word)?, *says)));
            let (bare, says) =
                found.unwrap_or((ron, if let Kind::Figure(_) = kind { "printed" } else { "" }));
            let echo = understand(bare).map_or_else(|_| visible(bare), |read| read.echo);
            // `day(42)` reads as it is written, in the unit of the field behind the sign.
            (echo.rsplit(" = ").next().unwrap_or(&echo).to_owned(), says)
        }
        Kind::When => (understand(ron).map_or_else(|_| visible(ron), |read| read.echo), ""),
        Kind::Text => {
            let said = ron.trim_matches('"');
            let measure = Measure::from_key(said).filter(|_| row.wording == Wording::Measure);
            (measure.map_or_else(|| visible(said), |m| m.row().head.to_owned()), "")
        }
        Kind::Form(table) if is_one_line(table()) && ron.starts_with('(') => {
            parts::human(table(), ron, units)
        }
        Kind::Flag => (if ron == "true" { "yes" } else { "no" }.to_owned(), ""),
        Kind::Choice(choice) => {
            let word = lexer::word(ron, 0);
            let found = choice().variants.iter().find(|variant| variant.word == word);
            (found.map_or_else(|| visible(ron), |variant| variant.says.to_owned()), "")
        }
        _ => (visible(ron), ""),
    }
}

fn words(said: &str) -> Understood {
    let bare = said.strip_prefix('"').and_then(|rest| rest.strip_suffix('"')).unwrap_or(said);
    Understood { ron: text(bare), echo: bare.to_owned() }
}

/// A date, `today`, or whole days since the filter was packed.
fn when(row: &Row, typed: &str) -> Result<Understood, Unclear> {
    let said = typed.trim().trim_matches('"');
    if let Some(days) = said.parse::<u32>().ok().filter(|days| f64::from(*days) <= row.high) {
        let echo = if days == 1 { "1 day".to_owned() } else { format!("{days} days") };
        return Ok(Understood { ron: days.to_string(), echo: format!("{echo} after it was packed") });
    }
    let day = if said == "today" { Some(super::today::get()) } else { Day::read(said) };
    let echo = |day: Day| format!("{} {}", day.said(), day.date().0);
    day.map(|day| Understood { ron: text(&day.to_string()), echo: echo(day) })
        .ok_or_else(|| Unclear::whole(typed, "type a date, 2026-04-12, `today`, or days since it was packed"))
}

fn flag(typed: &str, row: &Row) -> Result<Understood, Unclear> {
    let yes = match typed.trim().to_lowercase().as_str() {
        "yes" | "y" | "true" => true,
        "no" | "n" | "false" => false,
        _ => return Err(Unclear::whole(typed, format!("{}: type yes or no", row.words))),
    };
    Ok(Understood { ron: yes.to_string(), echo: if yes { "yes" } else { "no" }.to_owned() })
}

fn of_choice(row: &'static Row, typed: &str, choice: &'static Choice) -> Result<Understood, Unclear> {
    let said = typed.trim().to_lowercase();
    if said.contains('(') {
        return as_in_file(row, row.kind, typed);
    }
    let is = |variant: &&Variant| variant.word == said || variant.says.to_lowercase() == said;
    let begins = |variant: &&Variant| {
        variant.word.starts_with(&said) || variant.says.to_lowercase().starts_with(&said)
    };
    let mut near = choice.told().filter(begins);
    let found = choice.told().find(is).or_else(|| near.next().filter(|_| near.next().is_none()));
    found.map_or_else(
        || {
            let all: Vec<&str> = choice.told().map(|variant| variant.says).collect();
            Err(Unclear::whole(typed, format!("{}: one of {}", row.words, all.join(", "))))
        },
        |variant| Ok(Understood { ron: chosen(choice, variant), echo: variant.says.to_owned() }),
    )
}

fn trays(row: &Row, typed: &str) -> Result<Understood, Unclear> {
    match typed.trim().parse::<usize>() {
        Ok(count) if (1..=row.most).contains(&count) => {
            let echo = if count == 1 { "1 tray".to_owned() } else { format!("{count} trays") };
            Ok(Understood { ron: format!("count({count})"), echo: format!("{echo}, of assumed sizes") })
        }
        _ => Err(Unclear::whole(typed, format!("1 to {} trays can be told", row.most))),
    }
}

/// Taken as it stands in files, if it is one whole value.
fn as_in_file(row: &Row, kind: Kind, typed: &str) -> Result<Understood, Unclear> {
    let start = typed.len() - typed.trim_start().len();
    let like = || format!("write it as files do: {}", row.like);
    if lexer::unclosed(typed).is_some() {
        return Err(Unclear::whole(typed, format!("a bracket or quote is not closed; {}", like())));
    }
    let end = lexer::value_end(typed, start);
    if end <= start || typed.get(end..).is_some_and(|rest| !rest.trim().is_empty()) {
        return Err(Unclear::part(&(start..typed.len()), like()));
    }
    let ron = typed.get(start..end).unwrap_or_default().trim().to_owned();
    let opens = match kind {
        Kind::List(_) => ron.starts_with('['),
        Kind::Map => ron.starts_with('{'),
        _ => ron.contains('('),
    };
    if opens { Ok(Understood { echo: visible(&ron), ron }) } else { Err(Unclear::whole(typed, like())) }
}
