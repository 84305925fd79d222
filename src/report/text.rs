//! A page as plain text: aligned tables, broken prose. Fit for a terminal, a mail or `diff`.

use super::cells::{indented, left, right, width, wrap};
use super::page::Holds;
use super::{Block, Column, Look, Page, Run, Table, escape};

/// Cells between two columns.
const GAP: usize = 2;
/// Prose in a table is not made narrower than this, and names not than that.
const NARROWEST: usize = 16;
const NAME: usize = 29;

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
            Block::Said(runs) => out.extend(wrap(&safe(&Run::plain(runs), look), look.width)),
            Block::List(_, items) => out
                .extend(items.iter().flat_map(|text| indented(&safe(text, look), look.width, "  ", "    "))),
            Block::Table(table) => out.extend(self::table(table, look)),
            Block::Facts(_) | Block::Pictures(_) | Block::Section(_) => {}
        }
    }
    out
}

/// A table, its columns aligned by the cells they take; prose is broken where a line would be too long, and columns for
/// which there is no room follow in a table of their own, below the same first column.
pub fn table(table: &Table, look: Look) -> Vec<String> {
    let columns = &table.columns;
    let mut rows: Vec<Vec<String>> = vec![columns.iter().map(|c| safe(&c.head, look)).collect()];
    if columns.iter().any(|c| !c.unit.is_empty()) {
        rows.push(columns.iter().map(|c| safe(&c.unit, look)).collect());
    }
    rows.extend(table.shown(look.units).map(|row| row.iter().map(|cell| safe(cell, look)).collect()));
    let widest = |i: usize| rows.iter().filter_map(|row| row.get(i)).map(|c| width(c)).max().unwrap_or(0);
    let widths: Vec<usize> = (0..columns.len()).map(widest).collect();
    let least = |i: usize| {
        let own = widths.get(i).copied().unwrap_or(0);
        columns.get(i).and_then(narrowest).map_or(own, |least| least.min(own))
    };
    let mut out = Vec::new();
    let mut next = 1;
    loop {
        let mut those = vec![0];
        let mut room = look.width.saturating_sub(least(0));
        while next < columns.len() && (those.len() == 1 || least(next) + GAP <= room) {
            room = room.saturating_sub(least(next) + GAP);
            those.push(next);
            next += 1;
        }
        if !out.is_empty() {
            out.push(String::new());
        }
        out.extend(some(columns, &rows, &widths, &those, look.width));
        if next >= columns.len() {
            return out;
        }
    }
}

/// Those columns of the rows.
fn some(
    columns: &[Column],
    rows: &[Vec<String>],
    widths: &[usize],
    those: &[usize],
    width: usize,
) -> Vec<String> {
    let columns: Vec<&Column> = those.iter().filter_map(|i| columns.get(*i)).collect();
    let mut widths: Vec<usize> = those.iter().filter_map(|i| widths.get(*i).copied()).collect();
    let all = widths.iter().sum::<usize>() + GAP * columns.len().saturating_sub(1);
    let mut over = all.saturating_sub(width);
    // What is too long is taken off the widest prose first.
    while over > 0 {
        let all = widths.iter_mut().zip(&columns);
        let broken = all.filter(|(w, c)| narrowest(c).is_some_and(|least| **w > least));
        let Some((widest, _)) = broken.max_by_key(|(w, _)| **w) else { break };
        *widest -= 1;
        over -= 1;
    }
    let mut out = Vec::new();
    for row in rows {
        let cells = those.iter().map(|i| row.get(*i).map_or("", String::as_str));
        let parts: Vec<Vec<String>> = cells.zip(&widths).map(|(cell, w)| wrap_to(cell, *w)).collect();
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

/// How narrow a column may become; `None` where its words are never broken.
fn narrowest(column: &Column) -> Option<usize> {
    match column.kind {
        Holds::Prose => Some(NARROWEST),
        Holds::Names => Some(NAME),
        Holds::Words | Holds::Figures => None,
    }
}

fn wrap_to(cell: &str, cells: usize) -> Vec<String> {
    if width(cell) <= cells { vec![cell.to_owned()] } else { wrap(cell, cells) }
}

fn safe(text: &str, look: Look) -> String {
    let text = escape::one_line(text);
    if look.ascii { escape::ascii(&text).into_owned() } else { text.into_owned() }
}
