//! How builds stand for a tank, as lines of a given width for the screen.

use super::figures::{self, Units};
use super::ranking::{Ranked, key_words, musts, summary};
use crate::compare::standing::Standing;

/// Cells of a full bar.
const BAR: f64 = 16.0;
/// Cells of what stands beside a name.
const BESIDE: usize = 47;

/// The lines: ranks, what rules out, how clear it is, what to measure first (where it was worked out).
pub fn lines(ranked: &Ranked<'_>, settled: bool, units: Units, width: usize) -> Vec<String> {
    let standing = ranked.standing;
    let mut out = Vec::new();
    let name_width = width.saturating_sub(BESIDE).clamp(12, 60);
    let order = standing.order();
    let all = |ranks: bool| {
        let chosen = order.iter().enumerate().filter(move |(_, b)| standing.rank(**b).is_some() == ranks);
        chosen.flat_map(|(place, b)| of_build(ranked, standing, place, *b, name_width, units, width))
    };
    out.extend(all(true));
    if standing.none_passes {
        out.push("No build passes every must, so all of them are ranked.".to_owned());
    }
    out.push(String::new());
    out.extend(wrap(&summary(ranked), width, ""));
    out.push(String::new());
    out.push("Measure this first".to_owned());
    if !settled {
        out.push("   once the doubt of every build is worked out".to_owned());
    } else if ranked.first.top.is_empty() {
        out.extend(wrap(
            "nothing that can be measured at home would clearly change the choice",
            width,
            "   ",
        ));
    }
    for gain in &ranked.first.top {
        let words = key_words(gain.key.name(), ranked.names);
        let said =
            format!("{words}: could change the choice in {}; {}", figures::share(gain.changes), gain.how);
        out.extend(wrap(&said, width, "   "));
    }
    for gain in &ranked.first.not_at_home {
        let words = key_words(gain.key.name(), ranked.names);
        let said = format!("{words}: as much, but nobody can measure it at home");
        out.extend(wrap(&said, width, "   "));
    }
    let mut ruled_out = all(false).peekable();
    if ruled_out.peek().is_some() {
        out.push(String::new());
        out.push("Ruled out".to_owned());
    }
    out.extend(ruled_out);
    out
}

fn of_build(
    ranked: &Ranked<'_>,
    standing: &Standing,
    place: usize,
    build: usize,
    name_width: usize,
    units: Units,
    width: usize,
) -> Vec<String> {
    let (Some(row), Some(stands)) = (ranked.sheet.rows.get(build), standing.builds.get(build)) else {
        return Vec::new();
    };
    let name = fit(&row.title(), name_width);
    let musts = musts(stands, ranked.sheet, units);
    let mut out = Vec::new();
    if let Some(rank) = standing.rank(build) {
        let (low, high) = rank.range();
        let bar = "█".repeat((rank.first() * BAR).round() as usize);
        let range = if low == high { low.to_string() } else { format!("{low}–{high}") };
        out.push(format!(
            "{:>2} {name}  first {:>5}  {bar:<16}  rank {range:<5}",
            place + 1,
            figures::share(rank.first())
        ));
    } else {
        out.push(format!(" – {}", name.trim_end()));
    }
    let all_well = stands.musts.is_empty() || musts == "passes every must in 100 %";
    if !all_well {
        let why = musts.strip_prefix("ruled out: ").unwrap_or(&musts);
        out.extend(wrap(why, width, "     "));
    }
    if let Some(by) = stands.dominated_by.and_then(|by| ranked.sheet.rows.get(by)) {
        out.extend(wrap(&format!("{} is no worse in anything weighted", by.title()), width, "     "));
    }
    out
}

/// Cut or filled to so many cells.
fn fit(text: &str, cells: usize) -> String {
    let count = text.chars().count();
    if count <= cells {
        format!("{text}{}", " ".repeat(cells - count))
    } else {
        let kept: String = text.chars().take(cells.saturating_sub(1)).collect();
        format!("{kept}…")
    }
}

/// Broken into lines at spaces, each after `margin`.
fn wrap(text: &str, width: usize, margin: &str) -> Vec<String> {
    let room = width.saturating_sub(margin.len()).max(10);
    let mut out: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        if !line.is_empty() && line.chars().count() + 1 + word.chars().count() > room {
            out.push(format!("{margin}{line}"));
            line.clear();
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    if !line.is_empty() {
        out.push(format!("{margin}{line}"));
    }
    out
}
