//! A page as plain text: aligned tables, broken prose. Fit for a terminal, a mail or `diff`.

use super::cells::{indented, left, right, width, wrap};
use super::escape;
use super::page::{Block, Holds, Look, Page, Table};

/// Cells between two columns.
const GAP: usize = 2;
/// Prose in a table is not made narrower than this.
const NARROWEST: usize = 16;

pub fn page(page: &Page, look: Look) -> String {
    let mut out = String::new();
    for line in lines(page, look) {
        out.push_str(&line);
        out.push('\n');
    }
    out
}

/// The page line by line, no line's end blank.
pub fn lines(page: &Page, look: Look) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for block in page.flat() {
        if !out.is_empty() && !matches!(block, Block::List(..)) {
            out.push(String::new());
        }
        match &block {
            Block::Heading(text) => out.push(safe(text, look)),
            Block::Paragraph(text) => out.extend(wrap(&safe(text, look), look.width)),
            Block::List(_, items) => out
                .extend(items.iter().flat_map(|text| indented(&safe(text, look), look.width, "  ", "    "))),
            Block::Table(table) => out.extend(self::table(table, look)),
            Block::Facts(_) | Block::Pictures(_) | Block::Section(_) => {}
        }
    }
    out
}

/// A table, its columns aligned by the cells they take; prose is broken where a line would be too long.
pub fn table(table: &Table, look: Look) -> Vec<String> {
    let columns = &table.columns;
    let mut rows: Vec<Vec<String>> = vec![columns.iter().map(|c| safe(&c.head, look)).collect()];
    if columns.iter().any(|c| !c.unit.is_empty()) {
        rows.push(columns.iter().map(|c| safe(&c.unit, look)).collect());
    }
    rows.extend(table.shown(look.units).map(|row| row.iter().map(|cell| safe(cell, look)).collect()));
    let widest = |i: usize| rows.iter().filter_map(|row| row.get(i)).map(|c| width(c)).max().unwrap_or(0);
    let mut widths: Vec<usize> = (0..columns.len()).map(widest).collect();
    let all = widths.iter().sum::<usize>() + GAP * columns.len().saturating_sub(1);
    let mut over = all.saturating_sub(look.width);
    // What is too long is taken off the widest prose first.
    while over > 0 {
        let prose = widths.iter_mut().zip(columns).filter(|(w, c)| c.kind == Holds::Prose && **w > NARROWEST);
        let Some((widest, _)) = prose.max_by_key(|(w, _)| **w) else { break };
        *widest -= 1;
        over -= 1;
    }
    let mut out = Vec::new();
    for row in &rows {
        let parts: Vec<Vec<String>> = row.iter().zip(&widths).map(|(cell, w)| wrap_to(cell, *w)).collect();
        for at in 0..parts.iter().map(Vec::len).max().unwrap_or(0) {
            let cells: Vec<String> = columns
                .iter()
                .zip(&widths)
                .zip(&parts)
                .map(|((column, w), part)| {
                    let cell = part.get(at).map_or("", String::as_str);
                    if column.is_figures() { right(cell, *w) } else { left(cell, *w) }
                })
                .collect();
            out.push(cells.join(&" ".repeat(GAP)).trim_end().to_owned());
        }
    }
    out
}

fn wrap_to(cell: &str, cells: usize) -> Vec<String> {
    if width(cell) <= cells { vec![cell.to_owned()] } else { wrap(cell, cells) }
}

fn safe(text: &str, look: Look) -> String {
    let text = escape::one_line(text);
    if look.ascii { escape::ascii(&text).into_owned() } else { text.into_owned() }
}
