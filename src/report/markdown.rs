//! A page as Markdown, with tables as GitHub Flavored Markdown has them (its specification, section 4.10).

use super::{Block, Look, Page, Run, Table, escape};

pub fn page(page: &Page, look: Look) -> String {
    let safe = |text: &str| safe(text, look.ascii);
    let lines = |text: &Vec<String>| text.iter().map(|t| format!("- {}\n", start(&safe(t)))).collect();
    let strong = |runs: &[Run]| -> String {
        let run = |run: &Run| if run.strong { format!("**{}**", safe(&run.text)) } else { safe(&run.text) };
        runs.iter().map(run).collect()
    };
    let parts: Vec<String> = page
        .flat()
        .iter()
        .map(|block| match block {
            Block::Heading(text) => format!("## {}\n", safe(text)),
            Block::Paragraph(text) => format!("{}\n", start(&safe(text))),
            Block::Said(runs) => format!("{}\n", start(&strong(runs))),
            Block::List(_, items) => lines(items),
            Block::Table(table) => self::table(table, look),
            Block::Facts(_) | Block::Pictures(_) | Block::Section(_) => String::new(),
        })
        .collect();
    parts.join("\n")
}

fn table(table: &Table, look: Look) -> String {
    let row = |cells: Vec<String>| format!("| {} |\n", cells.join(" | "));
    let safe = |text: &str| safe(text, look.ascii);
    let head = table.columns.iter().map(|c| match c.unit.as_str() {
        "" => safe(&c.head),
        unit => format!("{}, {}", safe(&c.head), safe(unit)),
    });
    let rule = table.columns.iter().map(|c| if c.is_figures() { "--:" } else { ":--" }.to_owned());
    let mut out = row(head.collect()) + &row(rule.collect());
    out.extend(table.shown(look.units).map(|cells| row(cells.iter().map(|cell| safe(cell)).collect())));
    out
}

/// Text at the start of a paragraph or item, where a dash, a plus or a number with a point would open a list, and
/// spaces a block of code.
fn start(text: &str) -> String {
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
