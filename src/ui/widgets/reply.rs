//! A reply to paste: which of them, in which format, how long, and its text.

use ratatui::text::{Line, Span};

use super::super::{Row, Theme, bit, row, text};
use crate::app::State;
use crate::app::overlay::Reply;
use crate::report::answer::Kind;

pub fn title(state: &State, reply: &Reply, theme: Theme) -> Vec<Span<'static>> {
    let (kind, format) = state.reply;
    let mut out = vec![bit("Reply ·", theme.text())];
    for k in Kind::ALL {
        out.push(bit(" ", theme.text()));
        out.push(bit(k.word(), if k == kind { theme.cursor() } else { theme.text() }));
    }
    let words = reply.text.as_deref().map_or(0, |t| t.split_whitespace().count());
    out.push(bit(format!(" · {} · {words} words", format.name()), theme.text()));
    out
}

pub fn rows(reply: &Reply, w: usize, theme: Theme) -> Vec<Row> {
    let Some(said) = &reply.text else { return vec![row("being written", theme.quiet())] };
    let mut lines = text::clean_lines(said);
    // Lines that were broken for wider paper are prose, and broken anew.
    if lines.iter().any(|l| text::width(l) + 2 > w) && !said.contains(['|', '`', '[']) {
        lines = said.split("\n\n").map(|prose| text::clean(prose.trim_end())).collect();
    }
    let broken = lines.iter().flat_map(|l| match text::wrap(l, w.saturating_sub(2)) {
        lines if lines.is_empty() => vec![String::new()],
        lines => lines,
    });
    broken.map(|l| Line::from(bit(format!(" {l}"), theme.text()))).collect()
}
