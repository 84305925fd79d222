//! A page as `BBCode` for a forum post.
//!
//! Boards differ in how they write tables, so a table goes into a `[code]` block, which reads the same on
//! all of them. `BBCode` has no common way to write a bracket that is not a tag: in foreign text `[` and `]`
//! become round brackets.

use super::{Block, Look, Page, Run, escape, text};

pub fn page(page: &Page, look: Look) -> String {
    let safe = |text: &str| {
        let text = escape::one_line(text);
        round(&if look.ascii { escape::ascii(&text) } else { text })
    };
    let items = |items: &Vec<String>| items.iter().map(|t| format!("[*]{}\n", safe(t))).collect::<String>();
    let strong = |runs: &[Run]| -> String {
        let run =
            |run: &Run| if run.strong { format!("[b]{}[/b]", safe(&run.text)) } else { safe(&run.text) };
        runs.iter().map(run).collect()
    };
    let parts: Vec<String> = page
        .flat()
        .iter()
        .map(|block| match block {
            Block::Heading(text) => format!("[b]{}[/b]\n", safe(text)),
            Block::Paragraph(text) => format!("{}\n", safe(text)),
            Block::Said(runs) => format!("{}\n", strong(runs)),
            Block::List(_, lines) => format!("[list]\n{}[/list]\n", items(lines)),
            // Round brackets are as wide, so it stays aligned.
            Block::Table(table) => {
                format!("[code]\n{}\n[/code]\n", round(&text::table(table, look).join("\n")))
            }
            Block::Facts(_) | Block::Pictures(_) | Block::Section(_) => String::new(),
        })
        .collect();
    parts.join("\n")
}

fn round(text: &str) -> String {
    text.replace('[', "(").replace(']', ")")
}
