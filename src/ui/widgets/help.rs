//! Help for the pane in focus, out of the table of actions.

use ratatui::text::Line;
use std::fmt::Write as _;

use super::super::paint::{Row, bit, row};
use super::super::text;
use super::super::theme::{self, Theme};
use crate::app::panes::Pane;
use crate::app::screens::Screen;
use crate::app::state::State;
use crate::app::update::help_rows;
use crate::compare::utility::Ends;
use crate::measures::{Measure, Outcome};
use crate::model::medium::Role;
use crate::model::tank::Tank;
use crate::report::figures::{self, Units};

/// The lines, and at which of them the chosen action stands.
pub fn rows(state: &State, wanted: &str, cursor: usize, w: usize, theme: Theme) -> (Vec<Row>, usize) {
    let mut out = vec![Line::from(vec![
        bit("search: ", theme.strong()),
        bit(format!("{}▏", text::clean(wanted)), theme.text()),
    ])];
    if wanted.is_empty() {
        out.extend(text::wrap(&what(state), w).into_iter().map(|l| row(l, theme.text())));
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
                bit(sign, theme.strong()),
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

/// What the pane shows.
fn what(state: &State) -> String {
    match state.screen {
        Screen::Diff => {
            "Diff: the first build is the one the others are held against. Down the stack, rows follow \
                         the water; the same medium stands beside the same."
                .to_owned()
        }
        Screen::Ranking => {
            "Ranking: the chance that a build is first over all draws of the doubt, with the weights above. Each \
             weighted measure counts from 0 at its poor end to 1 at its good end, set by the tank's aims \
             (listed below the keys); what fails a must is ruled out."
                .to_owned()
        }
        Screen::Restack => state.keys.fill(
            "Restack: a working copy of the build under the cursor on Builds, its layers in the order in which the \
             water meets them, every measure beside the build as it was. A difference is called better only where 80 \
             of 100 draws of the doubt agree. What stands too high is told in millimetres, and figures stay those of \
             the last stack that fitted. The source file is never written; {save} saves a new one. Propose ({propose}) keeps to \
             the order of staging, lays pads in 10, 20, 25, 40 and 50 mm with 0.5 mm of slack, and ranks stacks by \
             the tank's weights less 0.02 a layer. It leaves out chemical media that the build does not hold, as what \
             they bind is not in the model, and grains below 6 mm, such as gravel, unless you have them: they pack, \
             and clog sooner than the model tells.",
        ),
        Screen::Tank => state.keys.fill(
            "Tank: what the builds are judged for. Every field is checked as it is typed, by the reader of files; a \
             sound form is judged at once, a form with problems never is: the figures stay those of the tank as it \
             was, and that is said. A field may be left out: beside it stands what is taken then. \
             measured(…), guessed(…) and between(…, …) say how sure a figure is, and the doubt follows. Food by \
             stocking is an assumption: common practice, no source. Nothing typed is lost: Esc drops only the line \
             being typed, {undo} takes changes back, and leaving with unsaved changes is asked about once.",
        ),
        Screen::Sources => {
            "Sources: everything behind the figures. Published: a formula or figure from a source that is named; \
             from memory: the source was not at hand when it was written down. Common practice: what the trade \
             does, without a source. Ours: chosen by this program. A spread with ± or ×/÷ is two standard \
             deviations, and the doubt of every figure is drawn from it. Your own media, in a file of yours, win \
             over those that ship."
                .to_owned()
        }
        Screen::Builds => format!("{}: {}", state.pane.name(), state.pane.says()),
    }
}

/// Where a measure's mark begins and ends for a tank.
fn ends(measure: Measure, tank: &Tank, units: Units) -> String {
    let head = measure.row().head;
    let Some(ends) = Ends::of(measure, tank) else {
        return format!("{head}: the worst and the best of those compared, so the others matter");
    };
    let shown = |x: f64| figures::show_with_sign(measure, Outcome::Value(x), units);
    format!("{head}: {} to {}; nothing where it cannot be told", shown(ends.poor()), shown(ends.good()))
}

/// What the words in it mean.
fn about(state: &State, out: &mut Vec<Row>, w: usize, theme: Theme) {
    let mut say = |said: &str, style| {
        out.extend(text::wrap(said, w).into_iter().map(|l| row(l, style)));
    };
    if state.screen == Screen::Builds && state.pane == Pane::Section {
        for role in Role::ALL {
            let hatch: String = std::iter::repeat_n(theme::hatch(role), 3).collect();
            say(&format!("  {} {hatch} {}", role.letter(), role.word()), theme.role(role));
        }
        say("  seals: ≡ lip, - worn, none drawn: missing. Arrows beside a pad: slack.", theme.text());
    } else {
        if let (Screen::Ranking, Some(tank)) = (state.screen, &state.tank) {
            say("What counts nothing, and what counts in full:", theme.strong());
            for (measure, _) in &state.ranking.weights {
                say(&format!("  {}", ends(*measure, tank, state.units)), theme.text());
            }
            say("What the words mean:", theme.strong());
        }
        for measure in Measure::ALL {
            let row = measure.row();
            say(
                &format!("  {}: {} ({}, better: {})", row.head, row.says, row.key, row.better.word()),
                theme.text(),
            );
        }
        say(
            "  A figure with ± may lie that much to either side: 90 of 100 draws of the doubt do not pass it.",
            theme.text(),
        );
    }
    say(
        "Unplug before opening. Estimates are no licence to overstock. The maker's instructions and local \
         electrical rules come first.",
        theme.strong(),
    );
}
