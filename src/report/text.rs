//! A page as plain text: aligned tables, wrapped prose. Fit for a terminal, a mail or `diff`.

use unicode_width::UnicodeWidthStr;

use super::escape;
use super::page::{Block, Page, Table};

/// Prose is wrapped at this many columns. Fixed, so the bytes do not depend on a terminal.
const WIDTH: usize = 100;

/// The page as text; with `ascii`, in ASCII alone.
pub fn page(page: &Page, ascii: bool) -> String {
    let safe = |text: &str| safe(text, ascii);
    let mut out = String::new();
    for block in &page.blocks {
        if !out.is_empty() && !matches!(block, Block::List(_)) {
            out.push('\n');
        }
        match block {
            Block::Heading(text) => line(&mut out, &safe(text)),
            Block::Paragraph(text) => wrap(&mut out, "", "", &safe(text)),
            Block::List(lines) => {
                for text in lines {
                    wrap(&mut out, "  ", "    ", &safe(text));
                }
            }
            Block::Table(grid) => out.push_str(&self::grid(grid, ascii)),
        }
    }
    out
}

/// A table, its columns aligned by the width of their characters.
pub fn grid(grid: &Table, ascii: bool) -> String {
    let safe = |text: &str| safe(text, ascii);
    let mut table: Vec<Vec<String>> = vec![grid.columns.iter().map(|c| safe(&c.head)).collect()];
    if grid.columns.iter().any(|c| !c.unit.is_empty()) {
        table.push(grid.columns.iter().map(|c| safe(&c.unit)).collect());
    }
    table.extend(grid.rows.iter().map(|row| row.iter().map(|cell| safe(cell)).collect()));
    let widths: Vec<usize> = (0..grid.columns.len())
        .map(|i| table.iter().filter_map(|row| row.get(i)).map(|c| c.width()).max().unwrap_or(0))
        .collect();
    let mut out = String::new();
    for row in &table {
        let mut text = String::new();
        for ((column, &width), i) in grid.columns.iter().zip(&widths).zip(0..) {
            let cell = row.get(i).map_or("", String::as_str);
            let pad = " ".repeat(width.saturating_sub(cell.width()));
            if i > 0 {
                text.push_str("  ");
            }
            if column.right {
                text.push_str(&pad);
                text.push_str(cell);
            } else {
                text.push_str(cell);
                text.push_str(&pad);
            }
        }
        line(&mut out, text.trim_end());
    }
    out
}

fn safe(text: &str, ascii: bool) -> String {
    let text = escape::one_line(text);
    if ascii { escape::ascii(&text).into_owned() } else { text.into_owned() }
}

fn line(out: &mut String, text: &str) {
    out.push_str(text);
    out.push('\n');
}

/// Breaks between words; `first` stands before the first line, `next` before those that follow.
fn wrap(out: &mut String, first: &str, next: &str, text: &str) {
    let mut row = first.to_owned();
    let mut empty = true;
    for word in text.split(' ') {
        if !empty && row.width() + 1 + word.width() > WIDTH {
            line(out, row.trim_end());
            next.clone_into(&mut row);
            empty = true;
        }
        if !empty {
            row.push(' ');
        }
        row.push_str(word);
        empty = false;
    }
    line(out, row.trim_end());
}

#[cfg(test)]
mod tests {
    use super::super::page::Column;
    use super::*;

    #[test]
    fn columns_line_up_whatever_the_letters() {
        let table = Table {
            columns: vec![Column::words("build"), Column::figures("flow", "l/h")],
            rows: vec![
                vec!["水槽 A".to_owned(), "638".to_owned()],
                vec!["Tamsin\u{1b}[2J".to_owned(), "–".to_owned()],
                vec!["short".to_owned()],
            ],
        };
        let text = grid(&table, false);
        assert_eq!(
            text,
            "build            flow\n                  l/h\n水槽 A            638\nTamsin\\u{1b}[2J     –\nshort\n"
        );
        assert!(grid(&table, true).is_ascii());
    }

    #[test]
    fn prose_is_broken_between_words() {
        let mut long = Page::default();
        long.paragraph("word ".repeat(50));
        let text = page(&long, false);
        assert!(text.lines().count() > 1 && text.lines().all(|l| l.width() <= WIDTH));
    }
}
