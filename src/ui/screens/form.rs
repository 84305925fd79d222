//! Lines of a form: what it is, what stands there, how it is known and how far it may lie off.

use ratatui::text::Line as Text;

use super::super::paint::{self};
use super::super::spoken::{self};
use super::super::{Page, Row, Theme, bit, row, text};
use crate::app::{Form, Goal, State, form};
use crate::measures::{Measure, Unit};
use crate::model::fields::{Kind, Value};
use crate::profile::form::{At, Line, What, range as low_high};
use crate::profile::plain;
use crate::report::figures;
use crate::uncertainty::Provenance;

/// Cells of how a figure is known, and of its low–high.
const KNOWN: usize = 10;
const RANGE: usize = 16;

pub fn rows(state: &State, form: &Form, w: usize, cursor: Option<usize>, theme: Theme) -> Vec<Row> {
    let label = label_cells(w);
    let lines = form.lines();
    let draw = |(i, line): (usize, Line)| one(state, form, &line, (w, label), cursor == Some(i), theme);
    lines.into_iter().enumerate().map(draw).collect()
}

fn label_cells(w: usize) -> usize {
    (w * 3 / 10).clamp(14, 24).min(w)
}

fn one(state: &State, form: &Form, line: &Line, (w, label): (usize, usize), here: bool, theme: Theme) -> Row {
    let sign = if here { "►" } else { " " };
    let name = format!("{}{}", " ".repeat(line.depth.min(6)), text::clean(&line.label));
    if let What::Head = line.what {
        let style = if here { theme.cursor() } else { theme.text() };
        return Text::from(vec![bit(sign, theme.text()), bit(text::fit(&name, w.saturating_sub(1)), style)]);
    }
    let typing = state.line.as_ref().filter(|typed| here && typed.goal == Goal::Form(false));
    let (said, known, far) = parts(state, form, line);
    let said = if is_weight(line) { weight(&said) } else { said };
    let dim = line.at.is_none();
    let problem = form.problem(line);
    let (said, style) = match (typing, problem) {
        (Some(typed), _) => {
            (format!("{}▏{}", text::clean(&typed.before), text::clean(&typed.after)), theme.text())
        }
        (None, Some(_)) => (format!("! {said}"), theme.warn()),
        _ => (said, if dim { theme.quiet() } else { theme.text() }),
    };
    let said = if line.folds || matches!(line.what, What::Choice(_)) { format!("{said} ▾") } else { said };
    let (room, shows_known, range) = room(w, known, &far);
    let style_name = if here { theme.cursor() } else { theme.text() };
    let mut spans = vec![
        bit(sign, theme.text()),
        bit(text::left(&name, label), style_name),
        bit(text::left(&format!(" {said}"), room), style),
    ];
    if shows_known {
        spans.push(bit(format!(" {}", text::left(known, KNOWN)), theme.quiet()));
        if range > 0 {
            spans.push(bit(format!(" {}", text::left(&far, RANGE)), theme.quiet()));
        }
    }
    paint::cut(&Text::from(spans), w)
}

/// Cells of a value; whether how it is known stands behind it, and cells of its low–high.
fn room(w: usize, known: &str, far: &str) -> (usize, bool, usize) {
    let rest = w.saturating_sub(1 + label_cells(w));
    // Where nothing stands behind it a text may take that room.
    let shows_known = w >= 58 && !(known.is_empty() && far.is_empty());
    // Low–high gives way before the value does.
    let range = if w < 66 { 0 } else { RANGE + 1 };
    (if shows_known { rest.saturating_sub(KNOWN + 1 + range) } else { rest }, shows_known, range)
}

/// What stands in a field, how it is known, and how far it may lie off.
fn parts(state: &State, form: &Form, line: &Line) -> (String, &'static str, String) {
    let (said, known) = told(state, form, line);
    let far = match &line.value {
        // A fitting that is called by its name has no figure of its own.
        Some(Value::Figure(figure)) if !matches!(line.kind, Kind::Text) => {
            low_high(figure, line.row, state.units).unwrap_or_default()
        }
        _ => String::new(),
    };
    (in_its_unit(state, form, line, said), known, far)
}

/// Money with its currency, and a share that is asked for as a share of a hundred, too: a file holds bare numbers.
fn in_its_unit(state: &State, form: &Form, line: &Line, said: String) -> String {
    let Ok(x) = said.parse::<f64>() else { return said };
    let currency = || format!("{said} {}", state.currency()).trim_end().to_owned();
    match line.row.name {
        "budget" => currency(),
        "limit" => {
            let beside = |other: &Line| {
                let (a, b) = (other.trail.split_last(), line.trail.split_last());
                other.row.name == "measure" && a.map(|(_, rest)| rest) == b.map(|(_, rest)| rest)
            };
            let key = form.lines().into_iter().find(beside);
            let key = key.and_then(|key| Some(key.given(&form.text)?.trim_matches('"').to_owned()));
            let unit = key.and_then(|key| Measure::from_key(&key)).map(|m| m.row().unit);
            match unit {
                Some(Unit::Share | Unit::Probability) => format!("{said} ({})", figures::share(x)),
                Some(Unit::Money) => currency(),
                _ => said,
            }
        }
        _ => said,
    }
}

/// The form as sentences; a field within another says in which.
pub fn page(state: &State, form: &Form) -> Page {
    let all = form.lines();
    let mut within: Vec<&str> = Vec::new();
    let mut lines = Vec::new();
    for line in &all {
        within.truncate(line.depth);
        within.push(&line.label);
        let name = text::clean(&within.join(", "));
        if let What::Head = line.what {
            lines.push(name);
            continue;
        }
        let (said, known, far) = parts(state, form, line);
        let said = if said.is_empty() { "–".to_owned() } else { said };
        let wrong = form.problem(line).map_or(String::new(), |p| format!("! {}", text::clean(&p.message)));
        let rest = [said, known.to_owned(), far, wrong];
        let rest: Vec<String> = rest.into_iter().filter(|said| !said.is_empty()).collect();
        lines.push(format!("{name}: {}", rest.join(", ")));
    }
    let more = spoken::rows(&below(state, form, spoken::WIDE, Theme::new(state.look)));
    Page { lines, on: Some(form.list.cursor), more }
}

/// What stands in a field, and how it is known; of what is left out what is assumed.
fn told(state: &State, form: &Form, line: &Line) -> (String, &'static str) {
    if let What::List = line.what {
        let count = match (&line.at, &line.value) {
            (Some(_), _) | (None, Some(Value::List(_))) => {
                let items = |other: &&Line| {
                    other.trail.len() == line.trail.len() + 1 && other.trail.starts_with(&line.trail)
                };
                form.lines().iter().filter(items).count()
            }
            _ => 0,
        };
        let assumed = line.at.is_none() && count > 0;
        let said = if line.given(&form.text) == Some("none") { "none".to_owned() } else { count.to_string() };
        return (said, if assumed { "assumed" } else { "" });
    }
    if let Some(given) = line.given(&form.text) {
        if matches!(line.what, What::Group) && given != "none" {
            return (summary(state, form, line), "");
        }
        if let (true, Ok(number)) = (is_weight(line), given.parse::<f64>()) {
            return (crate::report::sources::plain(number), "");
        }
        let (said, known) = plain::human(line.row, line.kind, given, state.units);
        return (text::clean(&said), known);
    }
    match &line.value {
        None => ("–".to_owned(), ""),
        Some(Value::Form(..)) => (summary(state, form, line), "assumed"),
        Some(value) => (assumed(state, line, value), "assumed"),
    }
}

/// The first fields of an item, in a few words.
fn summary(state: &State, form: &Form, line: &Line) -> String {
    let mut open = form.clone();
    open.open.push(line.trail.clone());
    let mut own = open.lines();
    own.retain(|other| {
        let within = other.trail.len() == line.trail.len() + 1 && other.trail.starts_with(&line.trail);
        within && !matches!(other.what, What::List | What::Head) && other.value.is_some()
    });
    if line.at.is_some() {
        own.retain(|other| other.at.is_some());
    }
    let said: Vec<String> = own.iter().take(3).map(|other| told(state, &open, other).0).collect();
    said.join(", ")
}

fn is_weight(line: &Line) -> bool {
    matches!(line.trail.last(), Some(At::Key(_)))
}

/// A priority, a dot for each half: `●●○○ 1`.
fn weight(said: &str) -> String {
    let Ok(number) = said.parse::<f64>() else { return said.to_owned() };
    let full = (number.max(0.0) / crate::app::screens::ranking::STEP).round().min(5.0) as usize;
    let dots =
        if full > 4 { "●●●●+".to_owned() } else { "●".repeat(full) + &"○".repeat(4 - full) };
    format!("{dots} {said}")
}

fn assumed(state: &State, line: &Line, value: &Value) -> String {
    match value {
        Value::Figure(known) if known.known == Provenance::Assumed || known.si.is_finite() => {
            plain::value(known.si, line.row, known.of, state.units)
        }
        Value::Figure(_) => "–".to_owned(),
        Value::Number(x) => match line.row.kind {
            Kind::Exact(_) if !is_weight(line) => plain::exact(*x, line.row, state.units),
            _ => crate::report::sources::plain(*x),
        },
        Value::Flag(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        Value::Text(said) => text::clean(said),
        Value::Word(variant, _) => variant.says.to_owned(),
        Value::List(items) => items.len().to_string(),
        Value::Form(..) | Value::Map(_) => String::new(),
    }
}

/// What is said of the field under the cursor: what was understood, else what it is, how it is measured, what its
/// absence means, and what is wrong with it.
pub fn below(state: &State, form: &Form, w: usize, theme: Theme) -> Vec<Row> {
    let Some(line) = form.here() else { return Vec::new() };
    let label = text::clean(&line.label);
    if let Some(typed) = form::typed(state) {
        return match typed {
            Ok(read) => {
                paint::prose(&format!("{label}: read as {}", text::clean(&read.echo)), w, theme.text())
            }
            Err(unclear) => {
                paint::prose(&format!("{label}: {}", text::clean(&unclear.said)), w, theme.text())
            }
        };
    }
    let mut out = Vec::new();
    if let Some(problem) = form.problem(&line).or(form.problems.first()) {
        let help = problem.help.as_deref().map_or(String::new(), |help| format!(": {help}"));
        out.extend(paint::prose(&text::clean(&format!("! {}{help}", problem.message)), w, theme.warn()));
    }
    let (said, known, far) = parts(state, form, &line);
    if text::width(&said) >= room(w, known, &far).0 {
        out.extend(paint::prose(&format!("{label}: {said}"), w, theme.text()));
    }
    let what = if line.row.says.is_empty() { line.row.words } else { line.row.says };
    let like = plain::example(line.row, state.units);
    let typed = matches!(line.what, What::Typed) && !like.is_empty();
    let like = if typed { format!(", such as {like}") } else { String::new() };
    let measure = if line.row.measure.is_empty() {
        String::new()
    } else {
        format!(" To measure: {}.", line.row.measure)
    };
    let left = line.row.left_out();
    let left = if left.is_empty() { String::new() } else { format!(" Left out: {left}.") };
    out.extend(paint::prose(&format!("{label}: {what}{like}.{measure}{left}"), w, theme.quiet()));
    out
}

/// The list that a field is picked from, and which of it is chosen.
pub fn picks(state: &State, wanted: &str, cursor: usize, w: usize, theme: Theme) -> (Vec<Row>, usize) {
    let mut out = vec![row(format!(" type to find: {}▏", text::clean(wanted)), theme.quiet())];
    let all = form::pick::picks(state);
    if all.is_empty() {
        out.push(row(format!(" nothing holds '{}'", text::clean(wanted)), theme.text()));
    }
    for (i, pick) in all.iter().enumerate() {
        let (sign, style) = if i == cursor { ("►", theme.cursor()) } else { (" ", theme.text()) };
        out.push(row(text::fit(&format!("{sign} {}", text::clean(&pick.says)), w), style));
    }
    (out, cursor + 1)
}
