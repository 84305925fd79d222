//! A page being written: every tag that is opened is closed, and every text passes the one door.

use super::super::escape;
use super::super::page::{Block, Page, Table};

/// A page being written.
#[derive(Debug, Default)]
pub struct Doc {
    out: String,
}

impl Doc {
    /// What was written.
    pub fn finish(self) -> String {
        self.out
    }
    /// An element with more elements in it. `open` is a tag of our own making with its attributes.
    pub fn within(&mut self, open: &str, inside: impl FnOnce(&mut Self)) {
        let name = open.split(' ').next().unwrap_or(open);
        self.out.push_str(&format!("<{open}>\n"));
        inside(self);
        self.out.push_str(&format!("</{name}>\n"));
    }
    /// An element with a line of text in it.
    pub fn line(&mut self, open: &str, text: &str) {
        let name = open.split(' ').next().unwrap_or(open);
        self.out.push_str(&format!("<{open}>{}</{name}>\n", escape::markup(text)));
    }
    /// Markup of our own making: a picture, an element without an end.
    pub fn raw(&mut self, markup: &str) {
        self.out.push_str(markup);
    }
    /// A name on its own in running text, its reading direction kept to itself.
    pub fn name(&mut self, text: &str) {
        self.out.push_str(&format!("<bdi>{}</bdi>", escape::markup(text)));
    }
    /// A list, unless it is empty.
    pub fn list(&mut self, open: &str, items: &[String]) {
        if items.is_empty() {
            return;
        }
        self.within(open, |doc| items.iter().for_each(|item| doc.line("li", item)));
    }
    /// A table, unless it has no rows: the first cell of a row is its head. A row of `links` leads its head there.
    pub fn table(&mut self, caption: &str, grid: &Table, links: &[String]) {
        let wide = if links.is_empty() { "table" } else { "table class=\"wide\"" };
        if grid.rows.is_empty() {
            return;
        }
        let label = escape::markup(caption).into_owned();
        self.within(
            &format!("div class=\"scroll\" role=\"region\" tabindex=\"0\" aria-label=\"{label}\""),
            |doc| {
                doc.within(wide, |doc| {
                    doc.line("caption", caption);
                    doc.within("thead", |doc| {
                        doc.within("tr", |doc| {
                            for column in &grid.columns {
                                let class = if column.right { " class=\"n\"" } else { "" };
                                let head = escape::markup(&column.head);
                                let unit = if column.unit.is_empty() {
                                    String::new()
                                } else {
                                    format!(" <span class=\"unit\">{}</span>", escape::markup(&column.unit))
                                };
                                doc.raw(&format!("<th scope=\"col\"{class}>{head}{unit}</th>\n"));
                            }
                        });
                    });
                    doc.within("tbody", |doc| {
                        for (row, i) in grid.rows.iter().zip(0..) {
                            doc.within("tr", |doc| doc.cells(grid, row, links.get(i)));
                        }
                    });
                });
            },
        );
    }

    fn cells(&mut self, grid: &Table, row: &[String], link: Option<&String>) {
        for (column, i) in grid.columns.iter().zip(0..) {
            let cell = row.get(i).map_or("", String::as_str);
            let text = escape::markup(cell);
            let class = if column.right { " class=\"n\"" } else { "" };
            match (i, link) {
                (0, Some(to)) => {
                    self.raw(&format!("<th scope=\"row\"><a href=\"#{to}\"><bdi>{text}</bdi></a></th>\n"));
                }
                (0, None) => self.raw(&format!("<th scope=\"row\"{class}>{text}</th>\n")),
                _ => {
                    // The doubt in brackets stands below its figure.
                    let parts =
                        if column.right { cell.split_once(" (").zip(cell.strip_suffix(')')) } else { None };
                    match parts.and_then(|((figure, _), whole)| Some((figure, whole.split_once(" (")?.1))) {
                        Some((figure, doubt)) => self.raw(&format!(
                            "<td{class}>{} <small>{}</small></td>\n",
                            escape::markup(figure),
                            escape::markup(doubt)
                        )),
                        None => self.raw(&format!("<td{class}>{text}</td>\n")),
                    }
                }
            }
        }
    }

    /// A page of blocks, its headings one level below `level`.
    pub fn blocks(&mut self, page: &Page, level: u8, caption: &str) {
        let mut named = caption.to_owned();
        for block in &page.blocks {
            match block {
                Block::Heading(text) => {
                    self.line(&format!("h{}", level + 1), text);
                    named.clone_from(text);
                }
                Block::Paragraph(text) => self.line("p", text),
                Block::List(lines) => self.list("ul", lines),
                Block::Table(grid) => self.table(&named, grid, &[]),
            }
        }
    }
}
