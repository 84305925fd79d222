//! Proposals: how far the search is, and what each stack gains, gives up and asks to be bought.

use crate::place::Space;
use ratatui::text::Line;

use super::super::super::paint::{Row, bit, row};
use super::super::super::text;
use super::super::super::theme::Theme;
use super::told_of;
use crate::app::screens::restack::list;
use crate::app::state::State;
use crate::app::state::work::Work;
use crate::model::edit::Workpiece;
use crate::propose::Proposal;
use crate::report::{figures, restack};

const BAR: usize = 20;

/// The lines, and from which of them on the chosen one is in view.
pub fn rows(state: &State, work: &Work, w: usize, theme: Theme) -> (Vec<Row>, usize) {
    let Some(open) = &state.restack.proposals else { return (Vec::new(), 0) };
    let among = if open.on_hand { "what is on hand" } else { "all media" };
    let mut out = Vec::new();
    let say = |out: &mut Vec<Row>, said: &str, lead: &str, style| {
        let room = w.saturating_sub(text::width(lead)).max(4);
        out.extend(text::wrap(said, room).into_iter().map(|l| row(format!("{lead}{l}"), style)));
    };
    let status = match open.searching {
        Some(share) => {
            let full = ((share.clamp(0.0, 1.0) * BAR as f64) as usize).min(BAR);
            let bar = format!("{}{}", "█".repeat(full), "▁".repeat(BAR - full));
            let stops = state.keys.fill("({back} stops)");
            format!("looking among {among} {bar} {} {stops}", figures::share(share.clamp(0.0, 0.99)))
        }
        None if open.stopped => state.keys.fill("the search was stopped ({back} goes back to the list)"),
        None if open.found.is_empty() => format!(
            "no stack without a fault of order can be made of {among}: a coarse or medium pad must come first"
        ),
        None => format!("found among {among}, against the build as it was:"),
    };
    say(&mut out, &status, "", theme.quiet());
    let title = work.title();
    let Some(told) = told_of(state, work, &title) else {
        say(&mut out, "the build as it was is being judged", "", theme.quiet());
        return (out, 0);
    };
    let mut at = 0;
    for (i, proposal) in open.found.iter().enumerate() {
        let here = i == open.list.cursor;
        if here {
            at = out.len().saturating_sub(1);
        }
        let sign = if here { "► " } else { "  " };
        let style = if here { theme.cursor() } else { theme.text() };
        let head = text::fit(&text::clean(&restack::head(told, proposal, i + 1)), w.saturating_sub(2));
        out.push(Line::from(vec![bit(sign, theme.text()), bit(head, style)]));
        for line in stack(state, work, proposal) {
            say(&mut out, &line, "    ", theme.text());
        }
        if here {
            for line in restack::words(told, proposal) {
                say(&mut out, &text::clean(&line), "    ", theme.text());
            }
        }
    }
    for limit in open.found.first().iter().flat_map(|p| restack::dropped(told, p)) {
        say(&mut out, &format!("! {}", text::clean(&limit)), "", theme.warn());
    }
    (out, at)
}

/// A stack along the water, one space a line.
fn stack(state: &State, work: &Work, proposal: &Proposal) -> Vec<String> {
    let filter = std::sync::Arc::clone(&work.piece.filter);
    let piece = Workpiece::new(filter, proposal.build.clone(), None);
    list::spaces(&piece)
        .iter()
        .filter(|space| !space.layers.is_empty())
        .map(|space| {
            let place = Space::of(space.tray).to_string();
            let layers: Vec<String> = space
                .layers
                .iter()
                .map(|l| {
                    let high = figures::length(l.mm.round(), state.units);
                    format!("{} {} {high}", l.role.letter(), text::clean(&l.name))
                })
                .collect();
            format!("{place}: {}", layers.join("; "))
        })
        .collect()
}
