//! Help for the pane in focus, out of the table of actions.

use ratatui::text::Line;
use std::fmt::Write as _;

use super::super::paint::{self};
use super::super::theme::{self};
use super::super::{Row, Theme, bit, row, screens, text};
use crate::app::panes::Pane;
use crate::app::update::help_rows;
use crate::app::{State, Tab};
use crate::compare::utility::Ends;
use crate::measures::{Measure, Outcome};
use crate::model::{Role, Tank};
use crate::report::figures::{self, Units};

pub fn rows(state: &State, wanted: &str, cursor: usize, w: usize, theme: Theme) -> (Vec<Row>, usize) {
    let mut out = vec![Line::from(vec![
        bit("search: ", theme.text()),
        bit(format!("{}▏", text::clean(wanted)), theme.text()),
    ])];
    if wanted.is_empty() {
        out.extend(paint::prose(&(screens::of(state.screen).says)(state), w, theme.text()));
        out.push(Line::default());
    }
    let actions = help_rows(state, wanted);
    if actions.is_empty() {
        out.push(row("no key does that here", theme.text()));
    }
    let keys = actions.iter().map(|r| text::width(&state.keys.labels(r))).max().unwrap_or(0).min(w / 3 + 1);
    let mut at = 0;
    for (i, action) in actions.iter().enumerate() {
        let here = i == cursor;
        if here {
            at = out.len();
        }
        let mut said = action.says.to_owned();
        let allowed = (action.allowed)(state);
        if let Err(why) = allowed {
            let _ = write!(said, " – not now: {}", state.keys.fill(why));
        }
        let style = match (here, allowed) {
            (true, _) => theme.cursor(),
            (_, Err(_)) => theme.quiet(),
            _ => theme.text(),
        };
        for (n, l) in text::wrap(&said, w.saturating_sub(keys + 4).max(8)).into_iter().enumerate() {
            let lead = if n == 0 { state.keys.labels(action) } else { String::new() };
            let sign = if here && n == 0 { "► " } else { "  " };
            out.push(Line::from(vec![
                bit(sign, theme.text()),
                bit(text::left(&lead, keys), theme.key()),
                bit("  ", theme.text()),
                bit(l, style),
            ]));
        }
    }
    if wanted.is_empty() {
        out.push(Line::default());
        about(state, &mut out, w, theme);
    }
    (out, at)
}

/// Where a measure's mark begins and ends for a tank.
fn ends(measure: Measure, tank: &Tank, units: Units) -> String {
    let head = measure.row().head;
    let Some(ends) = Ends::of(measure, tank) else {
        return format!("{head}: the worst and the best of those compared, so the others matter");
    };
    let shown = |x: f64| figures::show_with_sign(measure, Outcome::Value(x), units);
    format!("{head}: {} to {}; nothing where it cannot be told", shown(ends.poor), shown(ends.good))
}

fn about(state: &State, out: &mut Vec<Row>, w: usize, theme: Theme) {
    let mut say = |said: &str, style| {
        out.extend(paint::prose(said, w, style));
    };
    if state.screen == Tab::Builds && state.pane == Pane::Inside {
        for role in Role::ALL {
            let hatch: String = std::iter::repeat_n(theme::hatch(role), 3).collect();
            say(&format!("  {} {hatch} {}", role.letter(), role.called()), theme.text());
        }
        say("  arrows beside a pad: its edge gap", theme.text());
    } else {
        if let (Tab::Ranking, Some(tank)) = (state.screen, &state.tank) {
            say("What counts nothing, and what counts in full:", theme.text());
            for (measure, _) in &state.ranking.weights {
                say(&format!("  {}", ends(*measure, tank, state.units)), theme.text());
            }
            say("What the words mean:", theme.text());
        }
        for measure in Measure::ALL {
            let row = measure.row();
            say(
                &format!("  {}: {} ({}, better: {})", row.head, row.says, row.key, row.better.word()),
                theme.text(),
            );
        }
        say("  2.3 1.7–2.8 is middle low–high: 9 of 10 simulated cases lie between.", theme.text());
    }
    say(
        "Unplug before opening. Estimates are no licence to overstock. The maker's instructions and local \
         electrical rules come first.",
        theme.text(),
    );
}
