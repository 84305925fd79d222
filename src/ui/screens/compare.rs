//! Compare: is one better? The answer in sentences, then each measure with its verdict, by how much and how sure, then
//! media and other inputs.

mod why;

use ratatui::buffer::Buffer;
use ratatui::text::{Line, Span};

use why::{bars, parts};

use super::super::paint::{self};
use super::super::widgets::{table, verdict};
use super::super::{Page, Row, Theme, bit, row, text};
use crate::app::screens::compare::{self, Compared as What};
use crate::app::{Entry, List, State};
use crate::compare::align::Step;
use crate::compare::{Call, Verdict};
use crate::measures::{Measure, Outcome};
use crate::report::spans::{self};
use crate::report::wording::{is_article, with_article};
use crate::report::{Scale, figures, reasons};

pub fn draw(state: &State, buffer: &mut Buffer, theme: Theme) -> usize {
    let parts = compare::areas(state);
    let entries = entries(state);
    paint::frame(buffer, parts.all, &title(state, &entries, theme), true, theme);
    if let Err(why) = compare::allowed(state) {
        let said = format!("nothing to compare: {}", state.keys.fill(why));
        let inner = parts.all.inner().inset();
        paint::lines(buffer, inner, &paint::prose(&said, usize::from(inner.w), theme.text()), 0);
        if parts.why.x > 0 {
            paint::frame(buffer, parts.why, &[], false, theme);
        }
        return 0;
    }
    let w = usize::from(parts.all.inner().w);
    let across = Across::new(w, entries.len());
    // Whole or shorter, never cut.
    let said = |length| paint::prose(&headline(state, &entries, length), w.saturating_sub(1), theme.answer());
    let fits = |lines: &Vec<Row>| lines.len() <= usize::from(parts.headline.h);
    let longest = [Length::Whole, Length::Shorter].map(said).into_iter().find(fits);
    paint::lines(buffer, parts.headline.inset(), &longest.unwrap_or_else(|| said(Length::Short)), 0);
    paint::lines(buffer, parts.names, &names(state, &entries, &across, theme), 0);
    let lines = compare::lines(state);
    let List { cursor, top } = state.compare.list;
    let rows = usize::from(parts.lines.h);
    let in_view = lines.iter().enumerate().skip(top).take(rows);
    let shown: Vec<Row> =
        in_view.map(|(i, l)| line(state, &entries, l, i == cursor, &across, theme)).collect();
    paint::lines(buffer, parts.lines, &shown, 0);
    paint::more(buffer, parts.all, top, lines.len().saturating_sub(rows), theme);
    if parts.why.h > 0
        && let Some(chosen) = lines.get(cursor)
    {
        let beside = parts.why.x > 0;
        let what = match chosen {
            What::Measure(m) => format!("Why {} differs", m.row().head),
            _ => "In full".to_owned(),
        };
        let inner = paint::frame(buffer, parts.why, &[bit(what, theme.text())], false, theme).inset();
        let told = told(state, &entries, chosen, usize::from(inner.w), beside, theme);
        paint::lines(buffer, inner, &told, 0);
    }
    0
}

fn title(state: &State, entries: &[&Entry], theme: Theme) -> Vec<Span<'static>> {
    let which = match entries {
        [a, b] if a.filter.name == b.filter.name => {
            let name = text::clean(&a.filter.name);
            format!(" · {name}, {} with {}", text::clean(a.build_name()), text::clean(b.build_name()))
        }
        [a, b] => format!(" · {} with {}", text::clean(&a.filter.name), text::clean(&b.filter.name)),
        _ => String::new(),
    };
    let said = if state.compare.all { "all" } else { "what differs" };
    let count = state.marks.len();
    let cut =
        if count > compare::MOST { format!(" · the first four of {count} marked") } else { String::new() };
    vec![bit(format!("Compare{which} · {said}{cut}"), theme.text())]
}

pub fn whole(state: &State, _: usize, theme: Theme) -> Vec<Row> {
    if let Err(why) = compare::allowed(state) {
        return vec![row(format!("nothing to compare: {}", state.keys.fill(why)), theme.text())];
    }
    let entries = entries(state);
    let across = Across::new(100 + 20 * entries.len(), entries.len());
    let mut out = paint::prose(&headline(state, &entries, Length::Whole), 100, theme.text());
    out.extend(names(state, &entries, &across, theme));
    let lines = compare::lines(state);
    out.extend(lines.iter().map(|l| line(state, &entries, l, false, &across, theme)));
    out
}

/// All of it as sentences, one a line: what stands in columns says whose it is.
pub fn page(state: &State) -> Page {
    if let Err(why) = compare::allowed(state) {
        return Page::of(vec![format!("nothing to compare: {}", state.keys.fill(why))]);
    }
    let entries = entries(state);
    let letter = |i: usize| char::from_u32(u32::from('A') + i as u32).unwrap_or('?');
    let mut out: Vec<String> = entries
        .iter()
        .enumerate()
        .map(|(i, e)| format!("{} is {}", letter(i), text::clean(&e.name)))
        .collect();
    out.push(headline(state, &entries, Length::Whole));
    let called: Vec<String> = (0..entries.len()).map(|i| letter(i).to_string()).collect();
    let on = Some(out.len() + state.compare.list.cursor);
    out.extend(compare::lines(state).iter().map(|what| sentence(state, &entries, what, &called)));
    Page { lines: out, on, more: Vec::new() }
}

/// The chosen line as a sentence, each build by its name.
pub fn sentence_here(state: &State) -> String {
    let entries = entries(state);
    let called: Vec<String> = entries.iter().map(|e| format!("{}:", text::clean(&e.name))).collect();
    let lines = compare::lines(state);
    lines
        .get(state.compare.list.cursor)
        .map_or(String::new(), |what| sentence(state, &entries, what, &called))
}

fn sentence(state: &State, entries: &[&Entry], what: &What, called: &[String]) -> String {
    if let What::Head(said) | What::Nothing(said) = what {
        return (*said).to_owned();
    }
    let (label, cells) = cells(state, entries, what, usize::MAX);
    let against = |i: usize| match what {
        What::Measure(m) if i > 0 => {
            let verdict =
                entries.first().and_then(|first| verdict::verdict(state, first, entries.get(i)?, *m));
            // The word carries what the sign does, and is read out as it stands.
            let word =
                |v: &Verdict| in_words(state, v, *m).trim_start_matches(reasons::sign(v.call)).to_owned();
            verdict.map_or(String::new(), |v| format!(",{}", word(&v)))
        }
        _ => String::new(),
    };
    let each = cells.iter().zip(called).enumerate().map(|(i, (cell, called))| match cell.trim() {
        "" => format!("{called} nothing"),
        said => format!("{called} {said}{}", against(i)),
    });
    format!("{}: {}", label.trim(), each.collect::<Vec<_>>().join("; "))
}

fn entries(state: &State) -> Vec<&Entry> {
    compare::builds(state).into_iter().filter_map(|id| state.entry(id)).collect()
}

/// How a build is called beside another: by the first word of its filter's name, else by its own.
fn called(of: &Entry, beside: &Entry) -> String {
    let first = |e: &Entry| {
        let named = e.filter.name.split_whitespace().find(|word| !is_article(word));
        named.unwrap_or(&e.filter.name).to_owned()
    };
    let name = match (first(of), &of.filter.name, &beside.filter.name) {
        (word, ..) if word != first(beside) => word,
        (_, a, b) if a != b => a.clone(),
        _ => return text::clean(&format!("'{}'", of.build_name())),
    };
    text::clean(&with_article(&name))
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Length {
    Whole,
    /// Not what decides.
    Shorter,
    /// Nor the builds' names.
    Short,
}

/// Is it better? How the other build stands to the first in one's priorities, and all told.
fn headline(state: &State, entries: &[&Entry], length: Length) -> String {
    let [first, other] = match entries {
        [a, b] => [*a, *b],
        _ => return format!("{} builds; the first is the one the others are held against", entries.len()),
    };
    let [of_first, name] = match length {
        Length::Short => ["the first", "the second"].map(str::to_owned),
        _ => [called(first, other), called(other, first)],
    };
    let weighed = compare::priorities(state);
    let of_tank = !weighed.is_empty();
    let measures = if of_tank { weighed } else { Measure::ALL.to_vec() };
    let calls: Vec<Call> =
        measures.iter().filter_map(|m| verdict::verdict(state, first, other, *m)).map(|v| v.call).collect();
    if calls.is_empty() {
        return "being worked out".to_owned();
    }
    let count = |call| calls.iter().filter(|c| **c == call).count();
    let parts = [Call::Better, Call::Worse, Call::Same].map(|call| (count(call), call.word()));
    let told: Vec<String> =
        parts.iter().filter(|(n, _)| *n > 0).map(|(n, word)| format!("{word} in {n}")).collect();
    let unsure = match count(Call::Unsure) {
        0 => String::new(),
        1 => "; 1 is unsure".to_owned(),
        n => format!("; {n} are unsure"),
    };
    let untold = match measures.len() - calls.len() {
        n if n > 0 && of_tank => format!("; {n} can't be told"),
        _ => String::new(),
    };
    let of = if of_tank {
        format!("Of your {} priorities", measures.len())
    } else {
        format!("Of {} measures", calls.len())
    };
    let told = if told.is_empty() {
        format!("all are unsure{untold}")
    } else {
        format!("{name} is {}{unsure}{untold}", told.join(", "))
    };
    let ahead = state.compare.ahead.filter(|_| of_tank).map_or(String::new(), |ahead| {
        if let Some(second) = ahead.misses {
            let who = if second { name } else { of_first };
            return format!(" But {who} misses a requirement of this tank.");
        }
        let (who, share) =
            if ahead.chance >= 0.5 { (name, ahead.chance) } else { (of_first, 1.0 - ahead.chance) };
        let decides = ahead.decides.filter(|_| length == Length::Whole);
        let decides = decides.map_or(String::new(), |m| match m {
            Measure::OrderFaults => ": order faults decide".to_owned(),
            _ => format!(": {} decides", m.row().head),
        });
        match share {
            s if s < 0.6 => " All told the two can't be told apart.".to_owned(),
            s if s > 0.995 => format!(" All told {who} is surely ahead{decides}."),
            s => format!(
                " All told {who} is ahead in {} of 100 cases{decides}.",
                figures::rounded(s * 100.0, 0)
            ),
        }
    });
    format!("{of} {told}.{ahead}")
}

/// Widths: of labels, of a value; for a pair also of verdict, by and how sure.
struct Across {
    label: usize,
    value: usize,
    by: usize,
    sure: usize,
    /// Two builds: the verdict in columns of its own.
    pair: bool,
}

/// Lines of what stands below the table in a low window.
const SHORT: usize = 2;

const VERDICT: usize = 9;

impl Across {
    fn new(w: usize, builds: usize) -> Self {
        let pair = builds == 2;
        if !pair {
            let label = 21.min(w / 3);
            let value = w.saturating_sub(label) / builds.max(1);
            return Self { label, value, by: 0, sure: 0, pair };
        }
        let (by, sure) = if w >= 76 { (12, 11) } else { (0, 0) };
        let spare = w.saturating_sub(VERDICT + by + sure);
        let value = (spare * 13 / 47).clamp(6.min(spare / 3), 36);
        Self { label: spare.saturating_sub(2 * value), value, by, sure, pair }
    }
}

fn names(state: &State, entries: &[&Entry], across: &Across, theme: Theme) -> Vec<Row> {
    let mut above = vec![bit(text::left("", across.label), theme.text())];
    let mut below = above.clone();
    let cell = |said: &str| format!("{} ", text::left(&text::clean(said), across.value.saturating_sub(1)));
    for (i, e) in entries.iter().enumerate() {
        let here = i == state.compare.column;
        let style = if here { theme.cursor() } else { theme.text() };
        let sign = if here { "►" } else { "" };
        above.push(bit(cell(&format!("{sign}{}", e.filter.name)), style));
        below.push(bit(cell(e.build_name()), theme.text()));
    }
    if let [first, other] = entries {
        let room = VERDICT + across.by + across.sure;
        let whose =
            [called(other, first), "the second".to_owned()].into_iter().map(|who| format!("{who} is"));
        let whose = whose.into_iter().find(|said| text::width(said) <= room);
        above.push(bit(whose.unwrap_or_else(|| "it is".to_owned()), theme.text()));
        if across.by > 0 {
            below.push(bit(" ".repeat(VERDICT), theme.text()));
            below.push(bit(text::right("by", across.by), theme.quiet()));
            below.push(bit(text::right("how sure", across.sure), theme.quiet()));
        }
    }
    vec![Line::from(above), Line::from(below)]
}

fn line(state: &State, entries: &[&Entry], what: &What, here: bool, across: &Across, theme: Theme) -> Row {
    let sign = if here { "►" } else { " " };
    match what {
        What::Head(said) => return row(format!(" {said}"), theme.quiet()),
        What::Nothing(said) => return row(format!("{sign}  {said}"), theme.quiet()),
        _ => {}
    }
    // What stands behind a figure: a blank, and a sign with its own where more than two are compared.
    let behind = if across.pair { 1 } else { 3 };
    let (label, cells) = cells(state, entries, what, across.value.saturating_sub(behind));
    let style = if here { theme.cursor() } else { theme.text() };
    let mut spans = vec![
        bit(sign, theme.text()),
        bit(text::left(&label, across.label.saturating_sub(2)), style),
        bit(" ", theme.text()),
    ];
    let wide = !matches!(what, What::Measure(_));
    for (i, cell) in cells.into_iter().enumerate() {
        // Layers and inputs have no verdict: they share its room.
        let all = 2 * across.value + VERDICT + across.by + across.sure;
        let room = if across.pair && wide { all / 2 } else { across.value };
        let against = match (what, entries.first(), entries.get(i)) {
            (What::Measure(m), Some(first), Some(other)) if i > 0 => {
                verdict::verdict(state, first, other, *m)
            }
            _ => None,
        };
        if let (false, Some(against)) = (across.pair, against) {
            let mark = reasons::sign(against.call);
            let said = text::fit(&cell, room.saturating_sub(3));
            let left = room.saturating_sub(text::width(&said) + 1 + text::width(mark));
            spans.push(bit(format!("{said} "), theme.text()));
            spans.push(bit(mark, verdict::chip(against.call, theme)));
            spans.push(bit(" ".repeat(left), theme.text()));
            continue;
        }
        let (middle, span) = cell.split_once(' ').filter(|_| !wide).unwrap_or((&cell, ""));
        let said = text::fit(&cell, room.saturating_sub(1));
        if said == cell && !span.is_empty() {
            spans.push(bit(format!("{middle} "), theme.text()));
            spans.push(bit(text::left(span, room.saturating_sub(text::width(middle) + 1)), theme.quiet()));
        } else {
            spans.push(bit(text::left(&said, room), theme.text()));
        }
        if let (true, Some(against), What::Measure(m)) = (across.pair, against, what) {
            let mark = reasons::mark(against.call);
            let rest = VERDICT.saturating_sub(text::width(&mark));
            spans.push(bit(mark, verdict::chip(against.call, theme)));
            spans.push(bit(" ".repeat(rest), theme.text()));
            if across.by > 0 {
                spans
                    .push(bit(text::right(&reasons::by(&against, *m, state.units), across.by), theme.text()));
                spans.push(bit(text::right(&reasons::sure(&against), across.sure), theme.quiet()));
            }
        }
    }
    Line::from(spans)
}

/// A line's label, and what stands there for each build: the ends alone of a measure whose figures have not the room.
fn cells(state: &State, entries: &[&Entry], what: &What, room: usize) -> (String, Vec<String>) {
    match what {
        What::Head(said) | What::Nothing(said) => ((*said).to_owned(), Vec::new()),
        What::Measure(m) => {
            let ends = |e: &&Entry| {
                let band = e.band(*m).map_or([0.0; 2], |band| [band.low, band.high]);
                e.outcome(*m).and_then(Outcome::number).into_iter().chain(band)
            };
            let scale = Scale::of(entries.iter().flat_map(ends));
            let unit = match scale.sign(*m) {
                "" => spans::unit(*m, state.units, state.currency()),
                sign => sign,
            };
            let cell = |e: &&Entry| match e.outcome(*m) {
                Some(outcome) => {
                    let figure = spans::figure_on(scale, *m, outcome, e.band(*m), state.units);
                    spans::Figure { sign: "", ..figure }
                }
                None => table::figure(state, e, *m),
            };
            let figures: Vec<spans::Figure> = entries.iter().map(cell).collect();
            let all: Vec<String> = figures.iter().map(spans::Figure::both).collect();
            let fit = all.iter().all(|said| text::width(said) <= room);
            let cells = if fit { all } else { figures.iter().map(spans::Figure::narrow).collect() };
            (format!("{} {unit}", m.row().head), cells)
        }
        What::Step(r) => {
            let place = r.steps.iter().flatten().next().map_or(String::new(), |s| s.place.clone());
            let cells =
                r.steps.iter().enumerate().map(|(i, s)| step(&r.steps, i, s.as_ref(), &place)).collect();
            (place, cells)
        }
        What::Field(f) => {
            let cells = f.values.iter().map(|v| v.as_deref().map_or("–".to_owned(), text::clean)).collect();
            (text::clean(&f.path), cells)
        }
    }
}

/// `? unsure, −0.9 to +0.5, 66 of 100`.
fn in_words(state: &State, verdict: &Verdict, measure: Measure) -> String {
    let parts =
        [reasons::mark(verdict.call), reasons::by(verdict, measure, state.units), reasons::sure(verdict)];
    parts.into_iter().filter(|said| !said.is_empty()).collect::<Vec<_>>().join(", ")
}

/// What stands at a line for each build, whole, with whose it is.
fn in_full(entries: &[&Entry], what: &What) -> Vec<String> {
    let (Some(first), Some(second)) = (entries.first(), entries.get(1)) else { return Vec::new() };
    let who = |i: usize, e: &Entry| called(e, if i == 0 { second } else { first });
    let said = |i: usize| match what {
        What::Step(r) => r.steps.get(i)?.as_ref().map(|s| format!("{}: {}", s.place, text::clean(&s.says))),
        What::Field(f) => {
            f.values.get(i)?.as_deref().map(|v| format!("{}: {}", text::clean(&f.path), text::clean(v)))
        }
        _ => None,
    };
    let line = |(i, e): (usize, &&Entry)| {
        format!("{}: {}", who(i, e), said(i).unwrap_or_else(|| "nothing stands here".to_owned()))
    };
    entries.iter().enumerate().map(line).collect()
}

/// The chosen line in full: why a measure differs, with bars where there is room, or what stands there.
fn told(state: &State, entries: &[&Entry], what: &What, w: usize, tall: bool, theme: Theme) -> Vec<Row> {
    let at = state.compare.column.clamp(1, entries.len().saturating_sub(1).max(1));
    let (Some(first), Some(entry)) = (entries.first(), entries.get(at)) else { return Vec::new() };
    let mut out = Vec::new();
    let mut say = |said: &str, style| out.extend(paint::prose(said, w, style));
    match what {
        What::Head(_) | What::Nothing(_) => {}
        What::Measure(m) => {
            let against = verdict::verdict(state, first, entry, *m);
            if let Some(against) = against.filter(|_| entries.len() > 2) {
                let said = in_words(state, &against, *m);
                say(
                    &format!("{} against {}: {said}", called(entry, first), called(first, entry)),
                    theme.text(),
                );
            }
            for e in [first, entry] {
                if e.missing(*m).is_some() {
                    say(&format!("{}: {}", called(e, first), table::told_of(state, e, *m)), theme.text());
                }
            }
            match compare::pair_here(state).and_then(|pair| state.whys.get(&pair)) {
                Some(Some(Ok(why))) if tall => out.extend(bars(state, why, *m, w, theme)),
                Some(Some(Ok(why))) => say(&parts(state, why, *m), theme.text()),
                Some(Some(Err(none))) => say(&format!("cannot be told: {}", text::clean(none)), theme.text()),
                Some(None) => say("being worked out", theme.quiet()),
                None => {}
            }
            if tall {
                out.push(Row::default());
                out.extend(paint::prose(m.row().says, w, theme.quiet()));
            }
        }
        What::Step(_) | What::Field(_) => {
            let each = in_full(entries, what);
            let all: Vec<Row> = each.iter().flat_map(|said| paint::prose(said, w, theme.text())).collect();
            // Where not all of it has room that of the build under the cursor has: `←→` chooses.
            let own = each.get(state.compare.column).filter(|_| !tall && all.len() > SHORT);
            out.extend(own.map_or(all, |said| paint::prose(said, w, theme.text())));
        }
    }
    out
}

/// A layer as a text diff shows it: `−` gone, `+` new against the first; its place where that differs.
fn step(steps: &[Option<Step>], i: usize, step: Option<&Step>, place: &str) -> String {
    let first = steps.first().and_then(Option::as_ref);
    let sign = match (i, first, step) {
        (0, Some(f), _) if steps.iter().skip(1).any(|s| s.as_ref().is_none_or(|s| s.says != f.says)) => "− ",
        (0, ..) => "  ",
        (_, Some(f), Some(s)) if f == s => "  ",
        (_, Some(f), Some(s)) if f.says == s.says => "~ ",
        (_, _, Some(_)) => "+ ",
        _ => "  ",
    };
    let at = |s: &Step| if s.place == place { String::new() } else { format!(" [{}]", s.place) };
    step.map_or(String::new(), |s| format!("{sign}{}{}", text::clean(&s.says), at(s)))
}

pub fn says(_: &State) -> String {
    "Compare: the first build is the one the others are held against, case by case over the same simulated cases. Same: \
     9 of 10 differences lie within what counts as the same for the measure. Better or worse: 9 of 10 lie on that side, \
     the middle one beyond it. Else unsure, with both ends: by little where the side is sure, but not that it is \
     more than what counts as the same. What cannot be told of one of them decides nothing."
        .to_owned()
}
