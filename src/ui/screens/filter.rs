//! Filter: the profile's inputs as a list, each with how it is known.

use ratatui::buffer::Buffer;
use ratatui::text::Line;

use super::super::paint::{self, Row, bit, row};
use super::super::text;
use super::super::theme::Theme;
use crate::app::screens::filter;
use crate::app::state::State;
use crate::compare::align::Field;

/// Cells of a field's name, and of how it is known.
const LABEL: usize = 30;
const KNOWN: usize = 10;
/// Columns of the paper that it is copied on.
const PAPER: usize = 200;

pub fn draw(state: &State, buffer: &mut Buffer, theme: Theme) -> usize {
    let Some(main) = state.parts().main else { return 0 };
    let inner = paint::frame(buffer, main, &[bit(title(state), theme.text())], true, theme);
    let w = usize::from(inner.w);
    if let Err(why) = filter::allowed(state) {
        let said = paint::prose(&state.keys.fill(why), w.saturating_sub(1), theme.text());
        paint::lines(buffer, inner.inset(), &said, 0);
        return 0;
    }
    paint::line(buffer, inner, 0, &head(w, theme));
    let area = filter::rows(state);
    let fields = filter::fields(state);
    let (cursor, top) = (state.filter.cursor, state.filter.top);
    let shown: Vec<Row> = fields
        .iter()
        .enumerate()
        .skip(top)
        .take(usize::from(area.h))
        .map(|(i, f)| line(f, i == cursor, w, theme))
        .collect();
    paint::lines(buffer, area, &shown, 0);
    paint::more(buffer, main, top, fields.len().saturating_sub(usize::from(area.h)), theme);
    let below = inner.rows(area.h + 1, inner.h.saturating_sub(area.h + 1)).inset();
    if let Some(field) = fields.get(cursor) {
        let said = format!("{}: {}", text::clean(&field.path), value(field));
        paint::lines(buffer, below, &paint::prose(&said, usize::from(below.w), theme.quiet()), 0);
    }
    0
}

/// All of it, for copying.
pub fn rows(state: &State, _: usize, theme: Theme) -> Vec<Row> {
    let mut out = vec![row(title(state), theme.text())];
    out.extend(filter::fields(state).iter().map(|f| line(f, false, PAPER, theme)));
    out
}

fn title(state: &State) -> String {
    let of = state.here().map_or(String::new(), |e| {
        let file = e.path.file_name().map_or_else(|| e.path.to_string_lossy(), |n| n.to_string_lossy());
        format!(" · {} · {}", text::clean(&e.name), text::clean(&file))
    });
    format!("Filter{of}")
}

fn value(field: &Field) -> String {
    text::clean(field.values.iter().flatten().next().map_or("–", String::as_str))
}

fn label_cells(w: usize) -> usize {
    LABEL.min(w * 2 / 5)
}

fn head(w: usize, theme: Theme) -> Row {
    let known = if w >= 60 { "how known" } else { "" };
    let rest = w.saturating_sub(label_cells(w) + KNOWN);
    row(format!("{}{}{known}", text::left("", label_cells(w)), text::left(" value", rest)), theme.quiet())
}

/// A field: what the file says, and how it is known where that was said; a bare figure is printed.
fn line(field: &Field, here: bool, w: usize, theme: Theme) -> Row {
    let said = value(field);
    let words = ["measured", "guessed"];
    let split =
        |word: &&'static str| said.strip_suffix(&format!(" ({word})")).map(|rest| (rest.to_owned(), *word));
    let figure = said.starts_with(|c: char| c.is_ascii_digit());
    let (bare, known) =
        words.iter().find_map(split).unwrap_or((said.clone(), if figure { "printed" } else { "" }));
    let label = label_cells(w);
    let room = if w >= 60 { w.saturating_sub(label + KNOWN) } else { w.saturating_sub(label) };
    let sign = if here { "►" } else { " " };
    let mut spans = vec![
        bit(sign, theme.text()),
        bit(
            text::left(&text::clean(&field.path), label.saturating_sub(1)),
            if here { theme.cursor() } else { theme.text() },
        ),
        bit(format!(" {}", text::left(&bare, room.saturating_sub(1))), theme.text()),
    ];
    if w >= 60 {
        spans.push(bit(known, theme.quiet()));
    }
    Line::from(spans)
}

pub fn says(_: &State) -> String {
    "Filter: what the file of the build under the cursor on Builds says, field by field, and how each is known. It is \
     written in the file itself; Restack works in the trays."
        .to_owned()
}
