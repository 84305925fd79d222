//! A page as Markdown, with tables as GitHub Flavored Markdown has them (its specification, section 4.10).

use super::escape;
use super::page::{Block, Page, Table};

/// The page as Markdown; with `ascii`, in ASCII alone.
pub fn page(page: &Page, ascii: bool) -> String {
    let mut out = String::new();
    for block in &page.blocks {
        if !out.is_empty() {
            out.push('\n');
        }
        match block {
            Block::Heading(text) => out.push_str(&format!("## {}\n", safe(text, ascii))),
            Block::Paragraph(text) => out.push_str(&format!("{}\n", start(text, ascii))),
            Block::List(lines) => {
                for text in lines {
                    out.push_str(&format!("- {}\n", start(text, ascii)));
                }
            }
            Block::Table(grid) => out.push_str(&self::grid(grid, ascii)),
        }
    }
    out
}

fn grid(grid: &Table, ascii: bool) -> String {
    let row = |cells: Vec<String>| format!("| {} |\n", cells.join(" | "));
    let mut out = row(grid
        .columns
        .iter()
        .map(|c| {
            let head = safe(&c.head, ascii);
            if c.unit.is_empty() { head } else { format!("{head}, {}", safe(&c.unit, ascii)) }
        })
        .collect());
    out.push_str(&row(grid.columns.iter().map(|c| if c.right { "--:" } else { ":--" }.to_owned()).collect()));
    for cells in &grid.rows {
        out.push_str(&row((0..grid.columns.len())
            .map(|i| cells.get(i).map(|cell| safe(cell, ascii)).unwrap_or_default())
            .collect()));
    }
    out
}

/// The same at the start of a paragraph or item, where a dash, a plus or a number with a point would open a list,
/// and spaces a block of code.
fn start(text: &str, ascii: bool) -> String {
    let text = safe(text, ascii);
    let text = text.trim_start();
    let digits = text.bytes().take_while(u8::is_ascii_digit).count();
    let (number, rest) = text.split_at_checked(digits).unwrap_or(("", text));
    let opens = if number.is_empty() { &['-', '+', '=', ':'][..] } else { &['.', ')'] };
    if rest.starts_with(opens) { format!("{number}\\{rest}") } else { text.to_owned() }
}

/// A backslash before every character that could mark something up, so a name cannot bring its own table
/// cell, link, picture or HTML. `://` and `www.` are broken too, else they turn into links by themselves.
fn safe(text: &str, ascii: bool) -> String {
    let text = escape::one_line(text);
    let text = if ascii { escape::ascii(&text) } else { text };
    let mut out = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        if matches!(
            c,
            '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '#' | '|' | '~' | '!' | '&' | '@' | '$'
        ) {
            out.push('\\');
        }
        out.push(c);
    }
    out.replace("://", "\\://").replace("www.", "www\\.")
}

#[cfg(test)]
mod tests {
    use super::super::page::Column;
    use super::*;

    #[test]
    fn a_line_cannot_open_a_list() {
        let lines = ["- dash", "+ plus", "12. twelve", "1) one", "    code", "12 l", "= line"];
        let written = page(&Page { blocks: vec![Block::List(lines.map(str::to_owned).to_vec())] }, false);
        assert_eq!(
            written,
            "- \\- dash\n- \\+ plus\n- 12\\. twelve\n- 1\\) one\n- code\n- 12 l\n- \\= line\n"
        );
    }

    #[test]
    fn a_name_cannot_mark_anything_up() {
        let hostile = "a|b <img src=x> [x](http://x) \u{1b}[2J `c`\n# head";
        let text = page(
            &Page {
                blocks: vec![Block::Table(Table {
                    columns: vec![Column::words("build"), Column::figures("flow", "l/h")],
                    rows: vec![vec![hostile.to_owned(), "1".to_owned()]],
                })],
            },
            false,
        );
        assert_eq!(
            text,
            "| build | flow, l/h |\n| :-- | --: |\n| a\\|b \\<img src=x\\> \\[x\\](http\\://x) \\\\u{1b}\\[2J \\`c\\`\\\\u{a}\\# head | 1 |\n"
        );
    }
}
