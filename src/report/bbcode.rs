//! A page as `BBCode` for a forum post.
//!
//! Boards differ in how they write tables, so a table goes into a `[code]` block, which reads the same on
//! all of them. `BBCode` has no common way to write a bracket that is not a tag: in foreign text `[` and `]`
//! become round brackets.

use super::page::{Block, Page, Table};
use super::{escape, text};

/// The page as `BBCode`; with `ascii`, in ASCII alone.
pub fn page(page: &Page, ascii: bool) -> String {
    let mut out = String::new();
    for block in &page.blocks {
        if !out.is_empty() {
            out.push('\n');
        }
        match block {
            Block::Heading(text) => out.push_str(&format!("[b]{}[/b]\n", safe(text, ascii))),
            Block::Paragraph(text) => out.push_str(&format!("{}\n", safe(text, ascii))),
            Block::List(lines) => {
                out.push_str("[list]\n");
                for text in lines {
                    out.push_str(&format!("[*]{}\n", safe(text, ascii)));
                }
                out.push_str("[/list]\n");
            }
            Block::Table(grid) => {
                out.push_str(&format!("[code]\n{}[/code]\n", text::grid(&round(grid), ascii)));
            }
        }
    }
    out
}

/// The same table with its brackets round: as wide as before, so it stays aligned.
fn round(grid: &Table) -> Table {
    let mut grid = grid.clone();
    for column in &mut grid.columns {
        column.head = brackets(&column.head);
        column.unit = brackets(&column.unit);
    }
    for cell in grid.rows.iter_mut().flatten() {
        *cell = brackets(cell);
    }
    grid
}

fn brackets(text: &str) -> String {
    text.replace('[', "(").replace(']', ")")
}

fn safe(text: &str, ascii: bool) -> String {
    let text = escape::one_line(text);
    let text = if ascii { escape::ascii(&text) } else { text };
    brackets(&text)
}

#[cfg(test)]
mod tests {
    use super::super::page::Column;
    use super::*;

    #[test]
    fn a_name_cannot_close_the_block_or_open_a_tag() {
        let mut post = Page::default();
        post.heading("x[/b][url=http://x]y");
        post.table(Table {
            columns: vec![Column::words("build")],
            rows: vec![vec!["a[/code][img]b\u{202e}".to_owned()]],
        });
        assert_eq!(
            page(&post, false),
            "[b]x(/b)(url=http://x)y[/b]\n\n[code]\nbuild\na(/code)(img)b\\u{202e}\n[/code]\n"
        );
    }
}
