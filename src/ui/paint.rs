//! Lines onto cells: frames, scrolling, cutting at edges. All drawing goes through here.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::text;
use super::theme::{self, Theme};
use crate::app::layout::Area;

/// One styled line.
pub type Row = Line<'static>;

/// A line of one style.
pub fn row(text: impl Into<String>, style: Style) -> Row {
    Line::from(Span::styled(text.into(), style))
}

/// Text of one style, broken to so many cells.
pub fn prose(text: &str, cells: usize, style: Style) -> Vec<Row> {
    text::wrap(text, cells).into_iter().map(|line| row(line, style)).collect()
}

/// A piece of a line.
pub fn bit(text: impl Into<String>, style: Style) -> Span<'static> {
    Span::styled(text.into(), style)
}

/// Draws a line, cut at the area's right edge, on one of its rows.
pub fn line(buffer: &mut Buffer, area: Area, y: u16, line: &Line<'_>) {
    let whole = buffer.area;
    if y < area.h && area.y + y < whole.height && area.x < whole.width {
        let room = area.w.min(whole.width - area.x);
        buffer.set_line(area.x, area.y + y, line, room);
    }
}

/// Draws lines from `from` on, as many as there is room for. Returns how far they can scroll.
pub fn lines(buffer: &mut Buffer, area: Area, lines: &[Row], from: usize) -> usize {
    let most = lines.len().saturating_sub(usize::from(area.h));
    for (y, l) in (0..area.h).zip(lines.iter().skip(from.min(most))) {
        line(buffer, area, y, l);
    }
    most
}

/// Draws a frame with a title, doubled when in focus; returns what is within. Small areas have no frame.
pub fn frame(buffer: &mut Buffer, area: Area, title: &[Span<'static>], focus: bool, theme: Theme) -> Area {
    if !area.framed() {
        return area;
    }
    let (across, down, corners) = if focus {
        ("═", "║", ["╔", "╗", "╚", "╝"])
    } else {
        ("─", "│", ["┌", "┐", "└", "┘"])
    };
    let style = if focus { theme.strong() } else { theme.quiet() };
    let [tl, tr, bl, br] = corners;
    let inside = usize::from(area.w) - 2;
    line(buffer, area, 0, &row(format!("{tl}{}{tr}", across.repeat(inside)), style));
    line(buffer, area, area.h - 1, &row(format!("{bl}{}{br}", across.repeat(inside)), style));
    for y in 1..area.h - 1 {
        line(buffer, area, y, &row(down, style));
        line(buffer, Area::new(area.x + area.w - 1, area.y, 1, area.h), y, &row(down, style));
    }
    let mut said = vec![bit(" ", style)];
    said.extend(title.iter().cloned());
    said.push(bit(" ", style));
    let said = cut(&Line::from(said), inside.saturating_sub(1));
    line(buffer, Area::new(area.x + 1, area.y, area.w - 2, 1), 0, &said);
    area.inner()
}

/// Says on the frame's lower edge that there is more to scroll to.
pub fn more(buffer: &mut Buffer, area: Area, from: usize, most: usize, theme: Theme) {
    if most == 0 || !area.framed() {
        return;
    }
    let from = from.min(most);
    let said = match (from > 0, from < most) {
        (true, true) => " ↑ more ↓ ",
        (true, false) => " ↑ more ",
        _ => " more ↓ ",
    };
    let w = text::width(said) as u16;
    if let Some(x) = (area.x + area.w).checked_sub(w + 2) {
        line(buffer, Area::new(x, area.y + area.h - 1, w, 1), 0, &row(said, theme.strong()));
    }
}

/// A line cut to so many cells, styles kept.
pub fn cut(line: &Line<'static>, cells: usize) -> Row {
    let mut out: Vec<Span<'static>> = Vec::new();
    let mut left = cells;
    for span in &line.spans {
        let w = text::width(&span.content);
        if w <= left {
            out.push(span.clone());
            left -= w;
        } else {
            out.push(Span::styled(text::fit(&span.content, left), span.style));
            break;
        }
    }
    Line::from(out)
}

/// Wipes an area, for what lies over the screen.
pub fn wipe(buffer: &mut Buffer, area: Area) {
    let rect = Rect::new(area.x, area.y, area.w, area.h).intersection(buffer.area);
    for y in rect.top()..rect.bottom() {
        for x in rect.left()..rect.right() {
            if let Some(cell) = buffer.cell_mut((x, y)) {
                cell.reset();
            }
        }
    }
}

/// Turns every sign into ASCII, cell by cell, so that nothing moves.
pub fn to_ascii(buffer: &mut Buffer) {
    for cell in &mut buffer.content {
        let symbol = cell.symbol();
        if !symbol.is_ascii() {
            let sign = symbol.chars().next().map_or(' ', theme::ascii);
            // A wide letter covers two cells; what stands in for it fills them both.
            if text::width(symbol) > 1 {
                cell.set_symbol("??")
            } else {
                cell.set_char(sign)
            };
        }
    }
}
