//! Lines onto cells: frames, scrolling, cutting at edges. All drawing goes through here.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::theme::{self};
use super::{Theme, text};
use crate::app::Area;

pub type Row = Line<'static>;

pub fn row(text: impl Into<String>, style: Style) -> Row {
    Line::from(Span::styled(text.into(), style))
}

/// Text of one style, broken to so many cells.
pub fn prose(text: &str, cells: usize, style: Style) -> Vec<Row> {
    text::wrap(text, cells).into_iter().map(|line| row(line, style)).collect()
}

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

/// Draws a pane's title on a thin rule, and the rule that parts it from the pane on its left; returns what is left.
pub fn frame(buffer: &mut Buffer, area: Area, title: &[Span<'static>], focus: bool, theme: Theme) -> Area {
    let inner = area.inner();
    if inner.x > area.x {
        for y in 0..area.h {
            line(buffer, area, y, &row("│", theme.quiet()));
        }
    }
    if inner.y > area.y {
        let w = usize::from(inner.w);
        let mut said = vec![bit(if focus { "►" } else { " " }, theme.text())];
        said.extend(title.iter().cloned());
        said.push(bit(format!(" {}", "─".repeat(w)), theme.quiet()));
        line(buffer, Area { y: area.y, ..inner }, 0, &clip(&Line::from(said), w));
    }
    inner
}

/// Draws a thin frame with a title round what lies over a screen; returns what is within.
pub fn boxed(buffer: &mut Buffer, area: Area, title: &[Span<'static>], theme: Theme) -> Area {
    let inner = area.framed();
    if inner == area {
        return area;
    }
    let (w, style) = (usize::from(inner.w), theme.quiet());
    line(buffer, area, 0, &row(format!("┌{}┐", "─".repeat(w)), style));
    line(buffer, area, area.h - 1, &row(format!("└{}┘", "─".repeat(w)), style));
    for y in 1..area.h - 1 {
        line(buffer, area, y, &row(format!("│{}│", " ".repeat(w)), style));
    }
    let mut said = vec![bit(" ", style)];
    said.extend(title.iter().cloned());
    said.push(bit(" ", style));
    line(buffer, Area { x: inner.x, w: inner.w, ..area }, 0, &cut(&Line::from(said), w.saturating_sub(1)));
    inner
}

/// Says at the right end of a pane's title that there is more to scroll to.
pub fn more(buffer: &mut Buffer, area: Area, from: usize, most: usize, theme: Theme) {
    let from = from.min(most);
    let said = match (from > 0, from < most) {
        _ if most == 0 || area.w < 24 || area.h < 3 => return,
        (true, true) => " ↑ more ↓ ",
        (true, false) => " ↑ more ",
        _ => " more ↓ ",
    };
    let w = text::width(said) as u16;
    if let Some(x) = (area.x + area.w).checked_sub(w + 1) {
        line(buffer, Area::new(x, area.y, w, 1), 0, &row(said, theme.text()));
    }
}

/// A line broken off after so many cells: what a rule needs, of which nothing is missed.
fn clip(line: &Line<'static>, cells: usize) -> Row {
    let rule = |span: &Span<'static>| span.content.starts_with(" ─");
    let words: usize = line.spans.iter().filter(|s| !rule(s)).map(|s| text::width(&s.content)).sum();
    let spans = line.spans.iter().map(|span| {
        let left = cells.saturating_sub(words);
        let kept = || span.content.chars().take(left).collect::<String>();
        if rule(span) { bit(kept(), span.style) } else { span.clone() }
    });
    cut(&Line::from(spans.collect::<Vec<_>>()), cells)
}

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

/// Turns every sign into ASCII, cell by cell, so that nothing moves: what takes two signs takes the blank behind it,
/// or the sign before it.
pub fn to_ascii(buffer: &mut Buffer) {
    let w = usize::from(buffer.area.width.max(1));
    for row in buffer.content.chunks_mut(w) {
        let signs: Vec<String> = row.iter().map(|cell| cell.symbol().to_owned()).collect();
        let at = |i: Option<usize>| i.and_then(|i| signs.get(i)).map_or(" ", String::as_str);
        let mut taken = false;
        for (i, symbol) in signs.iter().enumerate() {
            if std::mem::take(&mut taken) || symbol.is_ascii() {
                continue;
            }
            let (before, after) = (at(i.checked_sub(1)), at(i.checked_add(1)));
            let mut put = |i: Option<usize>, sign: &str| {
                if let Some(cell) = i.and_then(|i| row.get_mut(i)) {
                    cell.set_symbol(sign);
                }
            };
            let two = match symbol.as_str() {
                "→" => Some(["-", ">"]),
                "…" => Some([".", "."]),
                _ => None,
            };
            match two {
                // A blank that parts two columns stays.
                Some([first, second])
                    if after == " " && (symbol != "…" || at(i.checked_add(2)) == " ") && i + 1 < w =>
                {
                    put(Some(i), first);
                    put(i.checked_add(1), second);
                    taken = true;
                }
                Some([first, second]) => {
                    put(i.checked_sub(1), first);
                    put(Some(i), second);
                }
                // A wide letter covers two cells; what stands in for it fills them both.
                None if text::width(symbol) > 1 => put(Some(i), "??"),
                None => {
                    let twin = symbol == before || symbol == after;
                    let sign = symbol.chars().next().map_or(' ', |c| theme::ascii(c, twin));
                    put(Some(i), sign.encode_utf8(&mut [0; 4]));
                }
            }
        }
    }
}
