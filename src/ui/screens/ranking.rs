//! Ranking: the priorities, the table of how the builds stand, and why the one under the cursor stands where it does.

use ratatui::buffer::Buffer;
use ratatui::text::Line;

use super::super::paint::{self};
use super::super::spoken::{self};
use super::super::{Page, Row, Theme, bit, row, text};
use crate::app::screens::ranking;
use crate::app::{State, Stood};
use crate::compare::{Bound, Met, Stands};
use crate::measures::{Measure, Outcome};
use crate::order::InOrder;
use crate::report::figures::rounded;
use crate::report::ranking::under_any;
use crate::report::{sources, spans, wording};

/// Columns from which what is told below stands in two columns.
const TWO: usize = 110;

pub fn draw(state: &State, buffer: &mut Buffer, theme: Theme) -> usize {
    let parts = ranking::areas(state);
    let scope = state.keys.fill(&ranking::scope(state).1);
    let each = if state.ranking.one_each { " · the best of each filter" } else { "" };
    let title = vec![bit(format!("Ranking · {}{each}", text::clean(&scope)), theme.text())];
    let inner = paint::frame(buffer, parts.all, &title, true, theme);
    let w = usize::from(inner.w);
    if let Err(why) = ranking::allowed(state) {
        let said = paint::prose(&state.keys.fill(why), w.saturating_sub(1), theme.text());
        paint::lines(buffer, inner.inset(), &said, 0);
        return 0;
    }
    paint::lines(buffer, parts.priorities, &priorities(state, w, theme), 0);
    let Some(stood) = &state.ranking.stood else {
        paint::line(buffer, parts.heads, 0, &row("   the builds are being ranked", theme.quiet()));
        return 0;
    };
    let across = Across::new(w);
    let heads = heads(&across, parts.heads.h, theme);
    paint::lines(buffer, parts.heads, &heads, 0);
    let shown = ranking::rows(state);
    let top = state.ranking.list.top;
    let lines: Vec<Row> = shown
        .iter()
        .enumerate()
        .skip(top)
        .take(usize::from(parts.rows.h))
        .map(|(at, b)| line(state, stood, at, *b, &across, theme))
        .collect();
    paint::lines(buffer, parts.rows, &lines, 0);
    paint::more(buffer, parts.all, top, shown.len().saturating_sub(usize::from(parts.rows.h)), theme);
    let told = below(state, stood, w, theme);
    if w >= TWO {
        let (left, right) = parts.below.split(parts.below.w / 2);
        let (why, next) = told;
        for y in 0..right.h {
            paint::line(buffer, right, y, &row("│", theme.quiet()));
        }
        paint::lines(buffer, left, &why, 0);
        paint::lines(buffer, right.inset(), &next, 0);
        return 0;
    }
    let (mut all, next) = told;
    all.extend(next);
    paint::lines(buffer, parts.below, &all, state.ranking.scroll)
}

pub fn rows(state: &State, w: usize, theme: Theme) -> Vec<Row> {
    if let Err(why) = ranking::allowed(state) {
        return paint::prose(&state.keys.fill(why), w, theme.text());
    }
    let scope = state.keys.fill(&ranking::scope(state).1);
    let mut out = vec![row(format!("Ranking {}", text::clean(&scope)), theme.text())];
    out.extend(priorities(state, w, theme));
    let Some(stood) = &state.ranking.stood else {
        out.push(row("the builds are being ranked", theme.quiet()));
        return out;
    };
    let across = Across::new(w);
    out.extend(heads(&across, 2, theme));
    let shown = ranking::rows(state);
    out.extend(shown.iter().enumerate().map(|(at, b)| line(state, stood, at, *b, &across, theme)));
    let (why, next) = below(state, stood, w, theme);
    out.extend(why);
    out.extend(next);
    out
}

pub fn page(state: &State) -> Page {
    if let Err(why) = ranking::allowed(state) {
        return Page::of(vec![state.keys.fill(why)]);
    }
    let weight = |(i, (m, w)): (usize, &(Measure, f64))| {
        let star = if ranking::own_weight(state, *m) == Some(*w) { "" } else { "*" };
        let on = if i == state.ranking.cursor { "on " } else { "" };
        format!("{on}{} {}{star}", m.as_priority(), sources::plain(*w))
    };
    let weights: Vec<String> = state.ranking.weights.iter().enumerate().map(weight).collect();
    let (entries, scope) = ranking::scope(state);
    let scope =
        if entries.len() == state.entries.len() { scope } else { format!("of {} builds", entries.len()) };
    let mut out = vec![
        format!("Ranking {scope}"),
        format!("priorities: {}; weigh MEASURE NUMBER moves one", weights.join(", ")),
    ];
    let Some(stood) = &state.ranking.stood else {
        out.push("the builds are being ranked".to_owned());
        return Page::of(out);
    };
    let on = Some(out.len() + state.ranking.list.cursor);
    for (at, b) in ranking::rows(state).into_iter().enumerate() {
        let Some(stands) = stood.standing.builds.get(b) else { continue };
        let (met, missed) = requirements(state, stands, true);
        let met = if missed { format!("! {met}") } else { met };
        out.push(match stood.standing.rank(b) {
            Some(rank) => {
                let (low, high) = rank.range;
                let places =
                    if low == high { format!("place {low}") } else { format!("places {low} to {high}") };
                let cases = if stood.standing.samples > 0 {
                    format!("{}, {places}, ", first_in(rank.first()))
                } else {
                    String::new()
                };
                let score = rounded(rank.mean, 2);
                format!("{}. {}: {cases}score {score}; {met}", at + 1, name(state, stood, b))
            }
            None => format!("ruled out, {}: {met}", name(state, stood, b)),
        });
    }
    let (why, next) = below(state, stood, spoken::WIDE, Theme::new(state.look));
    Page { lines: out, on, more: [why, next].iter().flat_map(|told| spoken::rows(told)).collect() }
}

/// The priorities with a dot for each half, the one that keys move reversed; as many to a line as fit.
fn priorities(state: &State, w: usize, theme: Theme) -> Vec<Row> {
    let mut how = state.keys.fill(
        " your priorities   {left}{right} which   {less} {more} less, more   {own_weights} the tank's own",
    );
    if ranking::changed(state) {
        how.push_str("   * changed");
    }
    let mut out = vec![row(text::fit(&how, w), theme.quiet()), Row::default()];
    let mut used = 0;
    for (i, (measure, weight)) in state.ranking.weights.iter().enumerate() {
        let cells = ranking::cells(*measure);
        if used > 0 && used + cells > w {
            out.push(Row::default());
            used = 0;
        }
        used += cells;
        let changed = ranking::own_weight(state, *measure) != Some(*weight);
        let full = (weight / ranking::STEP).round() as usize;
        let dots = if full > 5 {
            "●●●●+".to_owned()
        } else {
            format!("{}{}", "●".repeat(full), "○".repeat(4_usize.saturating_sub(full)))
        };
        let star = if changed { "*" } else { "" };
        let number = rounded(*weight, usize::from(weight.fract() != 0.0));
        let here = i == state.ranking.cursor;
        let sign = if here { '►' } else { ' ' };
        let said = format!("{sign}{} {dots} {number}{star}", measure.as_priority());
        let style = if here { theme.cursor() } else { theme.text() };
        let rest = cells.saturating_sub(text::width(&said));
        if let Some(line) = out.last_mut() {
            line.spans.push(bit(said, style));
            line.spans.push(bit(" ".repeat(rest), theme.text()));
        }
    }
    out
}

struct Across {
    name: usize,
    bar: usize,
    places: usize,
    score: usize,
    musts: usize,
}

/// Cells of the lead, and of `first of 100`.
const LEAD: usize = 3;
const FIRST: usize = 7;

impl Across {
    fn new(w: usize) -> Self {
        let (places, score) = if w >= 70 { (8, 7) } else { (0, 0) };
        let bar = if w >= TWO { 10 } else { 0 };
        let left = w.saturating_sub(LEAD + FIRST + places + score + bar);
        // `bypass dirty 30 in 100` is read whole before a long name is.
        let musts = (left * 9 / 20).min(44);
        Self { name: left - musts, bar, places, score, musts }
    }
}

fn heads(across: &Across, lines: u16, theme: Theme) -> Vec<Row> {
    let line = |name: &str, first: &str, places: &str, score: &str, musts: &str| {
        let said = format!(
            "{}{}{}{}{}  {musts}",
            text::left(&format!("   {name}"), LEAD + across.name),
            text::right(first, FIRST),
            " ".repeat(across.bar),
            text::right(places, across.places),
            text::right(score, across.score)
        );
        row(said, theme.quiet())
    };
    let mut out = vec![
        line("build", "first", "", "", "requirements met"),
        line("", "of 100", "places", "score", "in n of 100"),
    ];
    if lines < 2 {
        out.truncate(1);
    }
    out
}

/// A share as so many of 100, with words at the ends.
pub(super) fn of_100(share: f64) -> String {
    match share {
        s if s <= 0.0 => "never".to_owned(),
        s if s >= 1.0 => "surely".to_owned(),
        s if s < 0.005 => "<1".to_owned(),
        s if s > 0.995 => ">99".to_owned(),
        s => rounded(s * 100.0, 0),
    }
}

/// `first in 54 of 100`, `surely first`.
fn first_in(share: f64) -> String {
    match of_100(share) {
        word if word.chars().all(char::is_alphabetic) => format!("{word} first"),
        number => format!("first in {number} of 100"),
    }
}

fn name(state: &State, stood: &Stood, b: usize) -> String {
    let entry = stood.entries.get(b).and_then(|i| state.entries.get(*i));
    entry.map_or(String::new(), |e| text::clean(&e.name))
}

fn line(state: &State, stood: &Stood, at: usize, b: usize, across: &Across, theme: Theme) -> Row {
    let Some(stands) = stood.standing.builds.get(b) else { return Row::default() };
    let here = at == state.ranking.list.cursor;
    let rank = stood.standing.rank(b);
    let place = if rank.is_some() { (at + 1).to_string() } else { "–".to_owned() };
    let sign = if here { "►" } else { " " };
    let style = if here { theme.cursor() } else { theme.text() };
    let lead = if place.len() > 1 { format!("{sign}{place}") } else { format!("{sign}{place} ") };
    let mut spans = vec![
        bit(text::left(&lead, LEAD), theme.text()),
        bit(text::left(&name(state, stood, b), across.name), style),
    ];
    let (said, missed) = requirements(state, stands, false);
    if let Some(rank) = rank {
        let cases = stood.standing.samples > 0;
        let first = if cases { of_100(rank.first()) } else { String::new() };
        spans.push(bit(text::right(&first, FIRST), if at == 0 { theme.answer() } else { theme.text() }));
        if across.bar > 0 {
            let full = if cases { (rank.first() * (across.bar - 1) as f64).round() as usize } else { 0 };
            spans.push(bit(text::left(&format!(" {}", "█".repeat(full)), across.bar), theme.quiet()));
        }
        let (low, high) = rank.range;
        let range = if low == high { low.to_string() } else { format!("{low}–{high}") };
        let range = if cases { range } else { String::new() };
        spans.push(bit(text::right(&range, across.places), theme.quiet()));
        if across.score > 0 {
            spans.push(bit(text::right(&rounded(rank.mean, 2), across.score), theme.text()));
        }
        let sign = if missed { "! " } else { "" };
        spans.push(bit("  ", theme.text()));
        spans.push(bit(sign, theme.warn()));
        spans.push(bit(text::fit(&said, across.musts.saturating_sub(2 + sign.len())), theme.text()));
    } else {
        let room = FIRST + across.bar + across.places + across.score + across.musts;
        spans.push(bit("   ", theme.text()));
        spans.push(bit("! ", theme.warn()));
        spans.push(bit(text::fit(&said, room.saturating_sub(5)), theme.text()));
    }
    Line::from(spans)
}

/// What rules it out, or how often it meets what is asked, in words where there is room; whether a requirement is
/// missed.
pub(super) fn requirements(state: &State, stands: &Stands, words: bool) -> (String, bool) {
    if stands.contradicts {
        return (crate::report::log::CONTRADICTS.to_owned(), true);
    }
    let out: Vec<String> = stands.ruled_out_by().map(|met| missed(state, met)).collect();
    if !out.is_empty() {
        return (out.join("; "), true);
    }
    if stands.musts.is_empty() {
        return ("none asked".to_owned(), false);
    }
    let untold: Vec<&str> =
        stands.musts.iter().filter(|m| m.passes.is_none()).map(|m| m.limit.head()).collect();
    if !untold.is_empty() {
        return (format!("can't be told: {}", untold.join(", ")), false);
    }
    let Some(chances) = &stands.chances else {
        let fails: Vec<String> =
            stands.musts.iter().filter(|m| m.passes == Some(false)).map(|m| missed(state, m)).collect();
        let any = !fails.is_empty();
        return (if any { fails.join("; ") } else { "meets all".to_owned() }, any);
    };
    let worst = stands.musts.iter().zip(&chances.each).min_by(|a, b| a.1.passes.total_cmp(&b.1.passes));
    match worst {
        Some((met, passing)) if passing.passes < 0.9 => {
            let said = format!("{} {}", asked(state, met, words), times(passing.passes, words));
            (said, passing.passes < 0.5)
        }
        _ => (format!("meets all {}", times(chances.all.passes, words)), false),
    }
}

/// `in 84`, and in words `in 84 of 100`; `surely`.
fn times(share: f64, words: bool) -> String {
    match of_100(share) {
        word if word.chars().all(char::is_alphabetic) => word,
        number if words => format!("in {number} of 100"),
        number => format!("in {number}"),
    }
}

/// `turnover ≥3`, and in words `turnover at least 3`.
fn asked(state: &State, met: &Met, words: bool) -> String {
    let measure = met.limit.measure;
    let bound = |x: f64| spans::figure(measure, Outcome::Value(x), None, state.units).middle_alone();
    let head = met.limit.head();
    match met.limit.bound {
        Bound::Yes => head.to_owned(),
        Bound::AtLeast(x) => format!("{head} {}{}", if words { "at least " } else { "≥" }, bound(x)),
        Bound::AtMost(x) | Bound::ToSpend(x) => {
            format!("{head} {}{}", if words { "at most " } else { "≤" }, bound(x))
        }
    }
}

/// `bypass dirty 62, at most 30`.
fn missed(state: &State, met: &Met) -> String {
    let measure = met.limit.measure;
    let bound = |x: f64| spans::figure(measure, Outcome::Value(x), None, state.units).middle_alone();
    let (figure, head) =
        (spans::figure(measure, met.figure, None, state.units).middle_alone(), met.limit.head());
    match met.limit.bound {
        Bound::Yes if measure == Measure::FitsCabinet => wording::NO_ROOM.to_owned(),
        Bound::Yes => format!("{head}: no"),
        Bound::AtLeast(x) => format!("{head} {figure}, at least {}", bound(x)),
        Bound::AtMost(x) | Bound::ToSpend(x) => {
            format!("{head} {figure}, at most {}", bound(x))
        }
    }
}

fn heading(said: &str, w: usize, theme: Theme) -> Row {
    let said = text::fit(&format!(" {said} "), w);
    let rule = "─".repeat(w.saturating_sub(text::width(&said)));
    Line::from(vec![bit(said, theme.text()), bit(rule, theme.quiet())])
}

/// Why the build under the cursor stands where it does, and what would be first otherwise; then what to measure next.
fn below(state: &State, stood: &Stood, w: usize, theme: Theme) -> (Vec<Row>, Vec<Row>) {
    let column = Across::new(w).musts.saturating_sub(2);
    let w = if w >= TWO { w / 2 - 1 } else { w };
    let room = w.saturating_sub(1);
    let say = |said: &str| -> Vec<Row> {
        text::wrap(said, room).into_iter().map(|l| row(format!(" {l}"), theme.text())).collect()
    };
    let mut why = Vec::new();
    let order = ranking::rows(state);
    let ranked: Vec<usize> = order.iter().copied().filter(|b| stood.standing.rank(*b).is_some()).collect();
    let here = order.get(state.ranking.list.cursor).copied();
    let other = match (here, ranked.as_slice()) {
        (Some(b), [first, second, ..]) => Some(if b == *first { *second } else { *first }),
        _ => None,
    };
    if let (Some(b), Some(other)) = (here, other) {
        let rank = |b: usize| stood.standing.rank(b).map(|r| rounded(r.mean, 2)).unwrap_or_default();
        if let Some(mut lead) = stood.standing.lead(b, other) {
            let ahead = ranked.first() == Some(&b);
            let head = if ahead { "Why it comes first" } else { "Why not first" };
            why.push(heading(&format!("{head}: {}", name(state, stood, b)), w, theme));
            let (one, two) = (rank(b), rank(other));
            why.extend(say(&format!("its score is {one}, {} has {two}:", name(state, stood, other))));
            // What the table cuts.
            let stands = stood.standing.builds.get(b);
            let cut = |stands: &&Stands| text::width(&requirements(state, stands, false).0) > column;
            if let Some(stands) = stands.filter(cut) {
                why.extend(say(&format!("requirements: {}", requirements(state, stands, true).0)));
            }
            lead.order_by(|a, b| b.1.abs().total_cmp(&a.1.abs()));
            let outcome = |b: usize, m| state.entries.get(*stood.entries.get(b)?)?.outcome(m)?.asked_of();
            let silent = |m: Measure| [b, other].into_iter().any(|b| outcome(b, m).is_some());
            why.extend(bars(&lead, silent, w, theme));
        } else if let Some(stands) = stood.standing.builds.get(b) {
            why.push(heading(&format!("Ruled out: {}", name(state, stood, b)), w, theme));
            why.extend(say(&requirements(state, stands, true).0));
        }
    } else if here.is_some() {
        why.push(heading("One build alone is first whatever it is like", w, theme));
    }
    if stood.standing.none_passes && !stood.entries.is_empty() {
        why.extend(say("No build meets all requirements, so all of them are ranked."));
    }
    if let (Some(first), Some((any, share))) = (ranked.first(), stood.standing.any_weights())
        && stood.standing.samples > 0
        && ranked.len() > 1
    {
        why.extend(say(&under_any(&stood.standing, *first, (any, share), |b| name(state, stood, b))));
    }
    let mut next = vec![heading("Measure next", w, theme)];
    if !stood.settled {
        next.extend(say("once all cases are simulated"));
    } else if stood.next.is_empty() {
        next.extend(say("nothing that can be measured at home would clearly change the choice"));
    }
    for (i, figure) in stood.next.iter().enumerate() {
        let turns = figure
            .changes
            .map_or(String::new(), |share| format!("could turn the choice in {} of 100; ", of_100(share)));
        next.extend(say(&format!("{} {}: {turns}{}", i + 1, text::clean(&figure.what), figure.how)));
    }
    if stood.tops.len() > 1 && ranked.len() > 1 {
        next.push(heading("If one thing counted most", w, theme));
        for (measure, b, share) in &stood.tops {
            let who = text::fit(&name(state, stood, *b), room.saturating_sub(37));
            let said = format!(" {} {who}, {}", text::left(measure.as_priority(), 13), first_in(*share));
            next.push(row(text::fit(&said, w), theme.text()));
        }
    }
    if let Some(nitrate) = nitrate(state) {
        next.extend(say(&nitrate));
    }
    (why, next)
}

/// Behind what the file of one of them is silent about.
const UNTOLD: &str = " not told";

fn bars(lead: &[(Measure, f64)], silent: impl Fn(Measure) -> bool, w: usize, theme: Theme) -> Vec<Row> {
    let most = lead.first().map_or(1.0, |(_, x)| x.abs()).max(f64::MIN_POSITIVE);
    let label = lead.iter().map(|(m, _)| text::width(m.as_priority())).max().unwrap_or(0);
    let behind = if lead.iter().any(|(m, _)| silent(*m)) { UNTOLD.len() } else { 0 };
    let room = w.saturating_sub(label + 14 + behind).min(30);
    let bar = |(measure, x): &(Measure, f64)| {
        let cells = (x.abs() / most * room as f64).round() as usize;
        let (number, arrow) = match rounded(x.abs(), 2).as_str() {
            "0.00" => ("0.00".to_owned(), "≈"),
            number if *x < 0.0 => (format!("−{number}"), "▼"),
            number => (format!("+{number}"), "▲"),
        };
        let mut bar = if arrow == "≈" { String::new() } else { "█".repeat(cells.saturating_sub(1)) };
        if silent(*measure) {
            bar.push_str(UNTOLD);
        }
        Line::from(vec![
            bit(
                format!("  {} {} {arrow}", text::left(measure.as_priority(), label), text::right(&number, 6)),
                theme.text(),
            ),
            bit(bar, theme.quiet()),
        ])
    };
    lead.iter().map(bar).collect()
}

/// The tank's nitrate, which is one figure whichever filter stands there.
fn nitrate(state: &State) -> Option<String> {
    let entry = ranking::here(state).and_then(|i| state.entries.get(i))?;
    let outcome = entry.outcome(Measure::Nitrate).filter(|o| matches!(o, Outcome::Value(_)))?;
    let figure = spans::figure(Measure::Nitrate, outcome, entry.band(Measure::Nitrate), state.units);
    Some(format!("nitrate about {} before a water change, whichever filter", figure.said("mg/l")))
}

pub fn says(_: &State) -> String {
    "Ranking: how often a build is first over all simulated cases, with your priorities. Each counts from 0 at its poor \
     end to 1 at its good end, set by the tank's aims (listed below the keys); what misses a requirement for sure is \
     ruled out and stands below."
        .to_owned()
}
