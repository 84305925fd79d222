//! The report's page: well formed, on its own, and safe from whatever a file may call itself.

use std::collections::BTreeSet;

use crate::pictures::{hostile, renamed, sheet, tank};
use cansift::hidden::is_hidden;
use cansift::report::figures::Units;
use cansift::report::overview::{Report, Words, document as page};
use cansift::report::page::{Column, Page, Table};
use cansift::report::{BadFile, BadSpot, Sheet};

/// Elements that have no end tag (HTML Living Standard, section 13.1.2, void elements), those in use here.
const VOID: [&str; 1] = ["meta"];

fn extra(name: &str) -> Page {
    let mut page = Page::default();
    page.heading(name);
    page.paragraph(name);
    page.list(vec![name.to_owned()]);
    let columns = vec![Column::words(name), Column::figures("first", name)];
    page.table(Table::new(columns, [vec![name.to_owned(), name.to_owned()]]));
    page
}

fn written(sheet: &Sheet, extra: Option<&Page>) -> String {
    let tank = tank();
    page(&Report {
        sheet,
        tank: Some(&tank),
        units: Units::Metric,
        ranking: extra,
        top_two: extra,
        verdict: "",
        order: &[],
        words: &Words { top: 200, ..Words::default() },
    })
}

/// Names and attributes of every tag, after checking that each that opens is closed in turn.
fn tags(page: &str) -> Vec<(String, String)> {
    let mut open: Vec<String> = Vec::new();
    let mut found = Vec::new();
    let mut rest = page.strip_prefix("<!DOCTYPE html>").expect("it says what it is");
    while let Some(at) = rest.find('<') {
        assert!(
            !rest[..at].contains('>') || open.last().is_some_and(|o| o == "style"),
            "a stray > before {}",
            &rest[..at]
        );
        let end = rest[at..].find('>').expect("a tag ends") + at;
        let tag = &rest[at + 1..end];
        rest = &rest[end + 1..];
        if let Some(name) = tag.strip_prefix('/') {
            assert_eq!(open.pop().as_deref(), Some(name));
            continue;
        }
        let closed = tag.ends_with('/');
        let tag = tag.trim_end_matches('/');
        let (name, attributes) = tag.split_once(' ').unwrap_or((tag, ""));
        assert!(name.chars().all(|c| c.is_ascii_alphanumeric()) && !name.is_empty(), "{tag}");
        assert!(attributes.matches('"').count() % 2 == 0, "{tag}");
        if !closed && !VOID.contains(&name) {
            open.push(name.to_owned());
        }
        found.push((name.to_owned(), attributes.to_owned()));
    }
    assert!(open.is_empty(), "{open:?}");
    found
}

/// Attributes that a browser acts upon.
fn attribute(attributes: &str, name: &str) -> Option<String> {
    let lead = format!("{name}=\"");
    let at = if attributes.starts_with(&lead) { 0 } else { attributes.find(&format!(" {lead}"))? + 1 };
    attributes[at + lead.len()..].split('"').next().map(str::to_owned)
}

fn assert_alone(page: &str) {
    let allowed: BTreeSet<&str> = [
        "html",
        "head",
        "meta",
        "title",
        "style",
        "body",
        "header",
        "main",
        "footer",
        "nav",
        "section",
        "article",
        "h1",
        "h2",
        "h3",
        "h4",
        "p",
        "ul",
        "ol",
        "li",
        "dl",
        "dt",
        "dd",
        "div",
        "small",
        "span",
        "bdi",
        "a",
        "table",
        "caption",
        "thead",
        "tbody",
        "tr",
        "th",
        "td",
        "figure",
        "figcaption",
        "details",
        "summary",
        "svg",
        "desc",
        "defs",
        "pattern",
        "rect",
        "path",
        "circle",
        "text",
        "g",
    ]
    .into();
    for (name, attributes) in tags(page) {
        assert!(allowed.contains(name.as_str()), "<{name}>");
        for odd in [" on", "src=", "style=", "xlink", "srcset", "action=", "ping="] {
            let outside_values: String = attributes.split('"').step_by(2).collect();
            assert!(!format!(" {outside_values}").contains(odd), "<{name} {attributes}>");
        }
        if let Some(to) = attribute(&attributes, "href") {
            assert!(to.starts_with('#'), "{to}");
        }
        if let Some(fill) = attribute(&attributes, "fill") {
            assert!(fill.starts_with("url(#"), "{fill}");
        }
    }
    assert!(!page.chars().any(|c| c != '\n' && is_hidden(c)));
}

#[test]
fn a_page_of_its_own_that_fetches_nothing_and_runs_nothing() {
    let page = written(&sheet(), None);
    assert_alone(&page);
    for word in ["http:", "https:", "<script", "javascript:", "@import", "src=", "<link", "<iframe", "<img"] {
        assert!(!page.contains(word), "{word}");
    }
    for (at, _) in page.match_indices("url(") {
        assert!(page[at..].starts_with("url(#"), "{}", &page[at..at + 40]);
    }
}

#[test]
fn everything_of_every_build_is_there() {
    let mut sheet = sheet();
    sheet.broken.push(BadFile {
        file: "wherry.ron".to_owned(),
        problems: vec![BadSpot {
            line: 3,
            column: 9,
            message: "a brand".to_owned(),
            help: Some("mend it".to_owned()),
        }],
    });
    let page = written(&sheet, Some(&extra("who comes first")));
    for row in &sheet.rows {
        assert!(page.contains(&row.title()), "{}", row.title());
        for fault in &row.faults {
            assert!(page.contains(&fault.at), "{}", fault.at);
        }
        for leak in &row.leaks {
            assert!(page.contains(&leak.at), "{}", leak.at);
        }
    }
    for said in [
        "wherry.ron",
        "line 3, column 9: a brand (mend it)",
        "who comes first",
        "id=\"ranking\"",
        "id=\"top-two\"",
        "Never look at a lit UV-C lamp",
    ] {
        assert!(page.contains(said), "{said}");
    }
    let count = |what: &str| page.matches(what).count();
    assert_eq!(count("<article"), sheet.rows.len());
    assert!(count("<svg") > 3 * sheet.rows.len() && count("<svg") <= 4 * sheet.rows.len());
}

#[test]
fn headings_tables_and_pictures_speak_to_those_who_listen() {
    let page = written(&sheet(), Some(&extra("ranking")));
    let tags = tags(&page);
    let mut level = 0;
    let mut ids = BTreeSet::new();
    let mut wanted = Vec::new();
    for (name, attributes) in &tags {
        if let Some(next) = name.strip_prefix('h').and_then(|n| n.parse::<u32>().ok()) {
            assert!(next <= level + 1, "h{next} after h{level}");
            level = next;
        }
        if let Some(id) = attribute(attributes, "id") {
            assert!(ids.insert(id.clone()), "two things are called {id}");
        }
        for names in ["aria-labelledby", "href"] {
            if let Some(list) = attribute(attributes, names) {
                wanted.extend(list.split(' ').map(|id| id.trim_start_matches('#').to_owned()));
            }
        }
        if name == "th" {
            assert!(attribute(attributes, "scope").is_some(), "a head says of what");
        }
        if name == "svg" {
            assert_eq!(attribute(attributes, "role").as_deref(), Some("img"));
        }
        if let Some(fill) = attribute(attributes, "fill") {
            wanted.push(fill.trim_start_matches("url(#").trim_end_matches(')').to_owned());
        }
    }
    for id in wanted {
        assert!(ids.contains(&id), "nothing is called {id}");
    }
    assert_eq!(
        tags.iter().filter(|(n, _)| n == "table").count(),
        tags.iter().filter(|(n, _)| n == "caption").count()
    );
    assert_eq!(tags.iter().filter(|(n, _)| n == "h1").count(), 1);
    assert!(tags.iter().any(|(n, a)| n == "html" && attribute(a, "lang").as_deref() == Some("en")));
}

#[test]
fn hostile_names_are_harmless() {
    let plain = sheet();
    let tag_names = |page: &str| -> Vec<String> { tags(page).into_iter().map(|(name, _)| name).collect() };
    let with = |name: &str| {
        let mut sheet = plain.clone();
        sheet.rows = plain.rows.iter().take(3).map(|row| renamed(row, name)).collect();
        sheet.tank = Some(name.to_owned());
        name.clone_into(&mut sheet.currency);
        sheet.broken = vec![BadFile {
            file: name.to_owned(),
            problems: vec![BadSpot {
                line: 1,
                column: 1,
                message: name.to_owned(),
                help: Some(name.to_owned()),
            }],
        }];
        let mut tank = tank();
        name.clone_into(&mut tank.name);
        name.clone_into(&mut tank.currency);
        tank.on_hand.iter_mut().for_each(|owned| name.clone_into(&mut owned.medium));
        let extra = extra(name);
        page(&Report {
            sheet: &sheet,
            tank: Some(&tank),
            units: Units::Us,
            ranking: Some(&extra),
            top_two: Some(&extra),
            verdict: name,
            order: &[],
            words: &Words {
                title: Some(name.to_owned()),
                author: Some(name.to_owned()),
                date: Some(name.to_owned()),
                introduction: Some(name.to_owned()),
                top: 200,
            },
        })
    };
    let before = tag_names(&with("plain"));
    for name in hostile() {
        let page = with(&name);
        assert_alone(&page);
        // An empty unit or cost takes its own small element with it; nothing else may come or go.
        if !name.is_empty() {
            assert_eq!(tag_names(&page), before, "{name}");
        }
    }
}

#[test]
fn the_same_builds_give_the_same_bytes() {
    assert_eq!(written(&sheet(), None), written(&sheet(), None));
}
