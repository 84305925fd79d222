//! How builds stand for a tank, as lines of a given width for the screen.

use super::cells;
use super::figures::{self, Units};
use super::ranking::{Ranked, key_words, requirements, summary};

/// Cells of a full bar, and of one where room is short.
const BAR: usize = 16;
const SHORT_BAR: usize = 6;
/// Width from which a bar is a full one.
const WIDE: usize = 70;
/// Cells of what stands beside a name, without the bar.
const BESIDE: usize = 31;

/// How far the doubt that chances come from is worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Doubt {
    /// For every build.
    Known,
    /// Not yet for every build.
    Coming,
    /// Not asked for.
    Never,
}

/// The lines: ranks, how clear it is, what to measure first (where it was worked out), what is ruled out.
pub fn lines(ranked: &Ranked<'_>, doubt: Doubt, units: Units, width: usize) -> Vec<String> {
    let standing = ranked.standing;
    let mut out = match doubt {
        Doubt::Known => Vec::new(),
        Doubt::Coming => wrap("nominal figures so far; chances come with the doubt", width, ""),
        Doubt::Never => wrap("nominal figures alone, without draws: an order, no chances", width, ""),
    };
    let bar = if width < WIDE { SHORT_BAR } else { BAR };
    let layout = Layout { name: width.saturating_sub(BESIDE + bar).clamp(12, 60), bar, width, units };
    let order = standing.order();
    let all = |ranks: bool| {
        let chosen = order.iter().enumerate().filter(move |(_, b)| standing.rank(**b).is_some() == ranks);
        chosen.flat_map(|(place, b)| of_build(ranked, place, *b, layout))
    };
    out.extend(all(true));
    if standing.none_passes {
        out.push("No build passes every must, so all of them are ranked.".to_owned());
    }
    out.push(String::new());
    out.extend(wrap(&summary(ranked), width, ""));
    out.push(String::new());
    out.push("Measure this first".to_owned());
    if doubt == Doubt::Coming {
        out.push("   once the doubt of every build is worked out".to_owned());
    } else if doubt == Doubt::Never {
        out.push("   needs draws: start without --samples 0".to_owned());
    } else if ranked.first.top.is_empty() {
        out.extend(wrap(
            "nothing that can be measured at home would clearly change the choice",
            width,
            "   ",
        ));
    }
    for gain in &ranked.first.top {
        let words = key_words(&gain.key, ranked.names);
        let said =
            format!("{words}: could change the choice in {}; {}", figures::share(gain.changes), gain.how());
        out.extend(wrap(&said, width, "   "));
    }
    for gain in &ranked.first.not_at_home {
        let words = key_words(&gain.key, ranked.names);
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

/// How wide things are, and the units.
#[derive(Clone, Copy)]
struct Layout {
    name: usize,
    bar: usize,
    width: usize,
    units: Units,
}

fn of_build(ranked: &Ranked<'_>, place: usize, build: usize, layout: Layout) -> Vec<String> {
    let Layout { name, bar, width, units } = layout;
    let standing = ranked.standing;
    let (Some(row), Some(stands)) = (ranked.sheet.rows.get(build), standing.builds.get(build)) else {
        return Vec::new();
    };
    let name_width = name;
    let name = cells::left(&row.title(), name_width);
    let musts = requirements(stands, ranked.sheet, units);
    let mut out = Vec::new();
    if let Some(rank) = standing.rank(build) {
        let (low, high) = rank.range();
        let full = "█".repeat((rank.first() * bar as f64).round() as usize);
        let range = if low == high { low.to_string() } else { format!("{low}–{high}") };
        out.push(format!(
            "{:>2} {name}  first {:>5}  {full:<bar$}  rank {range:<5}",
            place + 1,
            figures::share(rank.first())
        ));
    } else {
        out.push(format!(" – {}", name.trim_end()));
    }
    if !stands.musts.is_empty() {
        let why = musts.strip_prefix("ruled out: ").unwrap_or(&musts);
        out.extend(wrap(why, width, "     "));
    }
    if let Some(by) = stands.dominated_by.and_then(|by| ranked.sheet.rows.get(by)) {
        out.extend(wrap(&format!("{} is no worse in anything weighted", by.title()), width, "     "));
    }
    out
}

/// Broken into lines at spaces, each after `margin`.
fn wrap(text: &str, width: usize, margin: &str) -> Vec<String> {
    let room = width.saturating_sub(margin.len()).max(10);
    cells::wrap(text, room).into_iter().map(|line| format!("{margin}{line}")).collect()
}
