//! A page of its own in HTML: no script, nothing fetched, pictures inside. It reads on light and dark, on a phone
//! and on paper, and to those who listen to it. Every tag that is opened is closed, and every text is escaped.

use super::escape::markup;
use super::page::{Holds, Kind, List, Section};
use super::{Block, Cell, Column, Look, Page, Run, Table, figures, spans, svg};

/// A whole document: its sections can be led to from its head.
#[derive(Clone, Copy, Debug)]
pub struct Document<'a> {
    pub title: &'a str,
    /// Empty where nobody is named.
    pub author: &'a str,
    pub lead: &'a [String],
    pub page: &'a Page,
    pub foot: &'a str,
}

/// The document. The same page gives the same bytes.
pub fn document(of: &Document<'_>, look: Look) -> String {
    let mut doc = Doc { out: String::new(), named: Vec::new(), look };
    let link = |block: &Block| match block {
        Block::Section(s) => Some(format!("<li><a href=\"#{}\">{}</a></li>\n", s.id, markup(&s.title))),
        _ => None,
    };
    let links: String = of.page.blocks.iter().filter_map(link).collect();
    doc.raw("<!DOCTYPE html>\n");
    doc.within("html lang=\"en\"", |doc| {
        doc.within("head", |doc| {
            // Should a name ever get through as markup, a browser still runs and fetches nothing.
            doc.raw(
                "<meta charset=\"utf-8\">\n<meta http-equiv=\"Content-Security-Policy\" \
                 content=\"default-src 'none'; style-src 'unsafe-inline'\">\n\
                 <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
                 <meta name=\"color-scheme\" content=\"light dark\">\n",
            );
            doc.line("title", of.title);
            if let Some(lead) = of.lead.first() {
                doc.raw(&format!("<meta name=\"description\" content=\"{}\">\n", markup(lead)));
            }
            if !of.author.is_empty() {
                doc.raw(&format!("<meta name=\"author\" content=\"{}\">\n", markup(of.author)));
            }
            doc.raw(concat!(
                "<meta name=\"generator\" content=\"",
                env!("CARGO_PKG_NAME"),
                " ",
                env!("CARGO_PKG_VERSION"),
                "\">\n"
            ));
            doc.raw(&format!("<style>\n{}{}\n</style>\n", STYLE, svg::style()));
        });
        doc.within("body", |doc| {
            doc.raw("<a class=\"skip\" href=\"#table\">To the table</a>\n");
            doc.within("header", |doc| {
                doc.name("h1", of.title);
                of.lead.iter().for_each(|lead| doc.line("p class=\"lead\"", lead));
                doc.raw(&format!("<nav aria-label=\"Contents\">\n<ul>\n{links}</ul>\n</nav>\n"));
            });
            doc.within("main", |doc| doc.blocks(of.page, 1, of.title));
            doc.within("footer", |doc| doc.line("p", of.foot));
        });
    });
    doc.out
}

struct Doc {
    out: String,
    /// Regions so far: those who listen tell them apart by their names.
    named: Vec<String>,
    look: Look,
}

impl Doc {
    /// Markup of our own making.
    fn raw(&mut self, markup: &str) {
        self.out.push_str(markup);
    }
    fn within(&mut self, open: &str, inside: impl FnOnce(&mut Self)) {
        let name = open.split(' ').next().unwrap_or(open);
        self.raw(&format!("<{open}>\n"));
        inside(self);
        self.raw(&format!("</{name}>\n"));
    }
    fn line(&mut self, open: &str, text: &str) {
        let name = open.split(' ').next().unwrap_or(open);
        self.raw(&format!("<{open}>{}</{name}>\n", markup(text)));
    }
    /// A name on its own, its reading direction kept to itself.
    fn name(&mut self, open: &str, text: &str) {
        let name = open.split(' ').next().unwrap_or(open);
        self.raw(&format!("<{open}><bdi>{}</bdi></{name}>\n", markup(text)));
    }
    /// What is wider than a phone is scrolled in its own place.
    fn scrolled(&mut self, label: &str, inside: impl FnOnce(&mut Self)) {
        let before = self.named.iter().filter(|name| *name == label).count();
        self.named.push(label.to_owned());
        let number = if before == 0 { String::new() } else { format!(" ({})", before + 1) };
        let label = markup(&format!("{label}{number}")).into_owned();
        self.within(
            &format!("div class=\"scroll\" role=\"region\" tabindex=\"0\" aria-label=\"{label}\""),
            inside,
        );
    }

    /// Blocks below a heading of that level, which names tables without a caption.
    fn blocks(&mut self, page: &Page, level: u8, title: &str) {
        let mut named = title;
        for block in &page.blocks {
            match block {
                Block::Heading(text) => {
                    self.name(&format!("h{}", level + 1), text);
                    named = text;
                }
                Block::Paragraph(text) => self.line("p", text),
                Block::Said(runs) => {
                    let run = |run: &Run| {
                        if run.strong {
                            format!("<strong>{}</strong>", markup(&run.text))
                        } else {
                            markup(&run.text).into_owned()
                        }
                    };
                    self.raw(&format!("<p>{}</p>\n", runs.iter().map(run).collect::<String>()));
                }
                Block::List(kind, lines) => self.list(*kind, lines),
                Block::Table(table) => self.table(table, named, title),
                Block::Facts(facts) => self.within("dl class=\"facts\"", |doc| {
                    for fact in facts {
                        let small = |note: &str| format!("<small>{}</small>", markup(note));
                        let note = if fact.note.is_empty() { String::new() } else { small(&fact.note) };
                        let (name, value) = (markup(&fact.name), markup(&fact.value));
                        doc.raw(&format!("<div><dt>{name}</dt><dd>{value}{note}</dd></div>\n"));
                    }
                }),
                Block::Pictures(all) => self.within("div class=\"pictures\"", |doc| {
                    for (what, drawn) in all {
                        doc.within("figure", |doc| match drawn {
                            Ok(svg) => doc.scrolled(&format!("{what} of {title}"), |doc| doc.raw(svg)),
                            Err(why) => doc.line("figcaption", &format!("No {what} to draw: {why}.")),
                        });
                    }
                }),
                Block::Section(section) => self.section(section, level + 1),
            }
        }
    }

    fn section(&mut self, Section { kind, id, title, page }: &Section, level: u8) {
        let open = match kind {
            Kind::Part => format!("section id=\"{id}\" aria-labelledby=\"{id}-head\""),
            Kind::Card => format!("article class=\"card\" id=\"{id}\" aria-labelledby=\"{id}-head\""),
            Kind::Fold => "details".to_owned(),
        };
        self.within(&open, |doc| {
            match kind {
                Kind::Fold => doc.line("summary", title),
                _ => doc.name(&format!("h{level} id=\"{id}-head\""), title),
            }
            // What is folded away has no head of its own.
            doc.blocks(page, if *kind == Kind::Fold { level - 1 } else { level }, title);
        });
    }

    fn list(&mut self, kind: List, lines: &[String]) {
        let open = match kind {
            List::Lines => "ul",
            List::Numbered => "ol",
            List::Quiet => "ul class=\"quiet\"",
            List::Cautions => "ul class=\"cautions\"",
            List::Stages => "ol class=\"stages\"",
        };
        self.within(open, |doc| lines.iter().for_each(|line| doc.line("li", line)));
    }

    /// The first cell of a row is its head; `title` is that of the part it stands in.
    fn table(&mut self, table: &Table, named: &str, title: &str) {
        let caption = if table.caption.is_empty() { named } else { &table.caption };
        let class = |column: &Column| match column {
            column if column.is_figures() => " class=\"n\"",
            column if column.kind == Holds::Prose => " class=\"p\"",
            _ => "",
        };
        let label =
            if caption == title { format!("{caption}, a table") } else { format!("{caption}: {title}") };
        self.scrolled(&label, |doc| {
            doc.within("table", |doc| {
                doc.line("caption", caption);
                doc.raw("<thead>\n<tr>\n");
                for column in &table.columns {
                    let unit = match column.unit.as_str() {
                        "" => String::new(),
                        unit => format!(" <span class=\"unit\">{}</span>", markup(unit)),
                    };
                    let head = markup(&column.head);
                    // What has no head is no head either to those who listen.
                    let (tag, scope) = if head.is_empty() && unit.is_empty() {
                        ("td", "")
                    } else {
                        ("th", " scope=\"col\"")
                    };
                    doc.raw(&format!("<{tag}{scope}{}>{head}{unit}</{tag}>\n", class(column)));
                }
                doc.raw("</tr>\n</thead>\n");
                doc.within("tbody", |doc| {
                    for row in &table.rows {
                        doc.within("tr", |doc| {
                            for (i, column) in table.columns.iter().enumerate() {
                                let cell = row.get(i).map(|cell| doc.cell(cell)).unwrap_or_default();
                                let (tag, scope) = if i == 0 { ("th", " scope=\"row\"") } else { ("td", "") };
                                doc.raw(&format!("<{tag}{scope}{}>{cell}</{tag}>\n", class(column)));
                            }
                        });
                    }
                });
            });
        });
    }

    /// The doubt of a figure stands below it.
    fn cell(&self, cell: &Cell) -> String {
        match cell {
            Cell::Words(words) => markup(words).into_owned(),
            Cell::Bar(share) => {
                let width = figures::rounded(share * 100.0, 0);
                format!(
                    "<svg class=\"bar\" viewBox=\"0 0 100 8\" aria-hidden=\"true\"><rect width=\"{width}\" height=\"8\"/></svg>"
                )
            }
            Cell::Link(name, to) => format!("<a href=\"#{to}\"><bdi>{}</bdi></a>", markup(name)),
            Cell::Figure(measure, outcome, band) => {
                let figure = spans::figure(*measure, *outcome, *band, self.look.units);
                let middle = markup(&figure.middle_alone()).into_owned();
                match &figure.span {
                    Some(span) => format!("{middle} <small>{}</small>", markup(span)),
                    None => middle,
                }
            }
        }
    }
}

/// The style sheet, without that of the pictures.
pub const STYLE: &str = "\
:root{color-scheme:light dark;--paper:#f3f5f8;--card:#fff;--ink:#17222e;--quiet:#51606f;--rule:#d5dce3;--link:#1767a8;--warn:#b84a00;--tint:#e3f0fa}
*{box-sizing:border-box}
body{margin:0;background:var(--paper);color:var(--ink);font:16px/1.5 system-ui,sans-serif;overflow-wrap:anywhere}
main,header,footer{max-width:84rem;margin:0 auto;padding:0 1.25rem}
header{padding-top:2.5rem}
h1{font-size:2rem;line-height:1.2;margin:0 0 .5rem}
h2{font-size:1.45rem;margin:3rem 0 .75rem;padding-top:.75rem;border-top:2px solid var(--rule)}
h3{font-size:1.25rem;margin:0 0 .25rem}
h4{font-size:1rem;margin:1.5rem 0 .4rem}
p,ul,ol,dl{margin:.4rem 0 .8rem}
.lead{font-size:1.1rem;max-width:48rem}
.quiet{list-style:none;padding:0}
.quiet,caption,.unit,figcaption{color:var(--quiet)}
a{color:var(--link)}
a:focus-visible,.scroll:focus-visible,summary:focus-visible{outline:3px solid var(--link);outline-offset:2px}
nav ul{list-style:none;padding:0;display:flex;flex-wrap:wrap;gap:.25rem 1.25rem}
.skip{position:absolute;left:-100vw}
.skip:focus{position:static}
.scroll{overflow-x:auto;max-width:100%}
table{border-collapse:collapse;width:100%;font-size:.92rem;font-variant-numeric:tabular-nums;background:var(--card);overflow-wrap:normal}
caption{text-align:left;padding:.25rem 0 .5rem}
th,td{padding:.4rem .7rem;text-align:left;vertical-align:top;border-bottom:1px solid var(--rule)}
thead th,thead td{border-bottom:2px solid var(--ink);vertical-align:bottom}
tbody th{font-weight:600}
.n{text-align:right;white-space:nowrap}
thead .n{white-space:normal}
th .unit{display:block;font-weight:400;font-size:.85em}
tbody tr:hover{background:var(--tint)}
.bar{width:6rem;height:.5rem;fill:var(--link)}
.n small{display:block;color:var(--quiet);font-size:.85em}
#table tbody th{min-width:12rem}
.p{min-width:14rem}
.card{background:var(--card);border:1px solid var(--rule);border-radius:12px;padding:1.2rem;margin:1.5rem 0}
.card table{background:none}
.facts{display:grid;grid-template-columns:repeat(auto-fit,minmax(8rem,1fr));gap:.6rem;margin:1rem 0}
.facts div{border-left:4px solid var(--link);padding:.1rem .8rem}
.facts dt{color:var(--quiet);font-size:.88rem}
.facts dd{margin:0;font-size:1.35rem;font-weight:600;line-height:1.25}
.facts small{display:block;font-size:.8rem;font-weight:400;color:var(--quiet)}
#tank .facts dd{font-size:1rem}
#tank .facts div{border-left-color:var(--rule)}
.pictures{display:grid;grid-template-columns:minmax(0,1fr);gap:.8rem}
figure{margin:0}
figure .scroll{border:1px solid var(--rule);border-radius:10px}
figure svg{display:block;width:100%;height:auto;min-width:34rem}
figcaption{font-size:.88rem;padding:.35rem .2rem}
.stages{list-style:none;padding:0;display:flex;flex-wrap:wrap;gap:.4rem;counter-reset:s}
.stages li{border:1px solid var(--quiet);border-radius:99px;padding:.1rem .8rem}
.cautions li{margin:.35rem 0}
.cautions{border-left:4px solid var(--warn);padding-left:2rem}
summary{cursor:pointer;font-weight:600;padding:.4rem 0}
footer{padding:2rem 1.25rem 3rem;color:var(--quiet)}
@media (min-width:68rem){.pictures{grid-template-columns:minmax(0,1.13fr) minmax(0,1fr)}.pictures figure:first-child{grid-row:span 3}}
@media screen and (prefers-color-scheme:dark){:root{--paper:#0b0f14;--card:#12181f;--ink:#e8eef4;--quiet:#a6b4c2;--rule:#2c3742;--link:#74b8f2;--warn:#ff9d4d;--tint:#17293a}}
@media (max-width:40rem){td:has(>.bar),thead td:not(:first-child){display:none}th,td{padding:.4rem}}
@media print{:root{--paper:#fff;--tint:none}@page{size:A4;margin:15mm}body{font-size:9.5pt}p,li{orphans:3;widows:3}main,header,footer{max-width:none;padding:0}nav,.skip{display:none}
.card{border:0;padding:0;margin:0;break-before:page}#builds-head{display:none}figure,tr,.facts,li,#tank .facts div{break-inside:avoid}#tank .facts{break-inside:auto}
.pictures{grid-template-columns:minmax(0,1.13fr) minmax(0,1fr)}.pictures figure:first-child{grid-row:span 3}h2,h3,h4{break-after:avoid}
thead{display:table-header-group}.scroll{overflow:visible}figure svg{min-width:0;max-height:9cm}
details:not([open]),#sources{display:none}a{color:inherit;text-decoration:none}}
@media (prefers-reduced-motion:no-preference){html{scroll-behavior:smooth}}
";
