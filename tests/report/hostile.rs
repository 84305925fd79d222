//! Names from strangers through every command and every format: each output is read by a parser of its format,
//! and has to have the very structure that it has with a tame name, with the name standing in it as text.
//!
//! Parsers: pulldown-cmark (`CommonMark` and GitHub tables), roxmltree (XML 1.0), `serde_json`, csv. `BBCode` has no
//! standard and no parser of repute; its tags are counted here. The page's HTML is read by tests/report/html.rs too.

use cansift::assess::Assessment;
use std::fs;
use std::path::Path;
use std::sync::Arc;

use crate::binary::{self, told};
use crate::pictures;
use cansift::hidden::is_hidden;
use cansift::measures::Measure;
use cansift::model::filter::Filter;
use cansift::report::answer::{Asked, Kind};
use cansift::report::escape::one_line;
use cansift::report::figures::Units;
use cansift::report::page::{Look, Page};
use cansift::report::reasons::Reasoned;
use cansift::report::{Sheet, answer, bbcode, builds, differences, grid, json, markdown, text};
use cansift::uncertainty::sampling::Draws;
use pulldown_cmark::{Event, Options, Parser, Tag};

/// Fits the door: no more than 120 characters, none of them hidden.
const TAME: &str = "Plain name";

fn accepted() -> Vec<String> {
    [
        "<script>alert(1)</script>",
        "\"><img src=x onerror=alert(1)>",
        "a|b| c ||",
        "[b]x[/b][url=http://example.org]y[/url][/code][/list]",
        "[link](http://example.org) ![pic](x) <http://example.org> http://example.org www.example.org",
        "`code` ``` ~~~ **bold** _it_ ~~gone~~ $x$ @name #1 &amp; \\",
        "1. first",
        "- dash",
        "+ plus",
        "> quoted",
        "# head #",
        "=SUM(A1:A9)",
        "@cmd, \"quoted\"",
        "====",
        "{{x}} %s ${HOME} $(id) {0}",
        "מסנן גדול · مرشح كبير",
        "水槽のフィルター",
    ]
    .iter()
    .map(|name| (*name).to_owned())
    .chain([format!("{}z", "W".repeat(119))])
    .collect()
}

/// The two units whose names are replaced, and a tank.
fn folder(name: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data");
    let quoted = format!("\"{}\"", name.replace('\\', "\\\\").replace('"', "\\\""));
    for file in ["tamsin-1100", "pelworth-1000-market"] {
        let text = fs::read_to_string(demo.join(format!("{file}.ron"))).unwrap();
        let first = text.lines().find(|l| l.starts_with("    name: ")).unwrap();
        let text = text
            .replace(first, &format!("    name: {quoted},"))
            .replace("\"restacked\"", &quoted)
            .replace("\"restacked with what came along\"", &quoted)
            .replace("\"tray seal set\"", &quoted)
            .replace("notes: \"", "notes: \"<b>[b]`x`| ");
        fs::write(folder.path().join(format!("{file}.ron")), text).unwrap();
    }
    let tank = fs::read_to_string(demo.join("tanks/reading-room.ron")).unwrap();
    let tank = tank.replace("\"reading-room tank\"", &quoted);
    fs::create_dir(folder.path().join("tanks")).unwrap();
    fs::write(folder.path().join("tanks/t.ron"), tank).unwrap();
    folder
}

const COMMANDS: [&[&str]; 4] = [
    &["table", "tamsin-1100.ron", "pelworth-1000-market.ron"],
    &["rank", "tamsin-1100.ron", "pelworth-1000-market.ron"],
    &["answer", "tamsin-1100.ron", "pelworth-1000-market.ron"],
    &["diff"],
];

/// A build's name is part of the keys of its figures, so the draws differ with it; the structure is compared
/// without them.
fn command(words: &[&str], name: &str, format: &str, samples: &str) -> Vec<String> {
    let mut args: Vec<String> = words.iter().map(|w| (*w).to_owned()).collect();
    if words == ["diff"] {
        args.extend(["tamsin-1100.ron", "pelworth-1000-market.ron"].map(|f| format!("{f}#{name}")));
    }
    args.extend(["--tank", "tanks/t.ron", "--samples", samples, "--format", format].map(str::to_owned));
    args
}

fn run(folder: &Path, words: &[&str], name: &str, format: &str) -> String {
    run_with(folder, words, name, format, "0")
}

fn run_with(folder: &Path, words: &[&str], name: &str, format: &str, samples: &str) -> String {
    let args = command(words, name, format, samples);
    told(folder, &args.iter().map(String::as_str).collect::<Vec<_>>())
}

/// The structure of a Markdown document, and all its text. Everything that a page here never holds is a breach.
fn markdown_parts(text: &str) -> (Vec<String>, String) {
    let mut structure = Vec::new();
    let mut said = String::new();
    // Everything but the turning of quotes, which changes no structure and would hide the name.
    let options = Options::all() - Options::ENABLE_SMART_PUNCTUATION;
    for event in Parser::new_ext(text, options) {
        match event {
            Event::Text(text) => said.push_str(&text),
            Event::SoftBreak => said.push(' '),
            Event::Start(tag) => {
                let known = matches!(
                    tag,
                    Tag::Paragraph
                        | Tag::Heading { .. }
                        | Tag::List(None)
                        | Tag::Item
                        | Tag::Table(_)
                        | Tag::TableHead
                        | Tag::TableRow
                        | Tag::TableCell
                        | Tag::Strong
                );
                assert!(known, "{tag:?} in {text}");
                structure.push(format!("{tag:?}"));
            }
            Event::End(tag) => structure.push(format!("end {tag:?}")),
            other => panic!("{other:?} in {text}"),
        }
    }
    (structure, said)
}

/// The tags of a `BBCode` post in their order; anything else in square brackets is a breach.
fn bbcode_tags(text: &str) -> Vec<String> {
    let mut tags = Vec::new();
    let mut open: Vec<String> = Vec::new();
    for part in text.split('[').skip(1) {
        let tag = part.split(']').next().unwrap();
        match tag {
            "*" => {}
            "b" | "list" | "code" => open.push(tag.to_owned()),
            "/b" | "/list" | "/code" => {
                assert_eq!(open.pop().as_deref(), tag.strip_prefix('/'), "{text}");
            }
            _ => panic!("[{tag}] in {text}"),
        }
        tags.push(tag.to_owned());
    }
    assert!(open.is_empty(), "{open:?} left open in {text}");
    tags
}

fn without_space(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).collect()
}

/// In sentences the first letter may be large.
fn holds(text: &str, name: &str) -> bool {
    without_space(&text.to_lowercase()).contains(&without_space(&name.to_lowercase()))
}

#[test]
fn markdown_and_bbcode_keep_their_structure_whatever_the_name() {
    let tame = folder(TAME);
    let before: Vec<_> = COMMANDS
        .iter()
        .map(|words| {
            let markdown = markdown_parts(&run(tame.path(), words, TAME, "markdown")).0;
            (markdown, bbcode_tags(&run(tame.path(), words, TAME, "bbcode")))
        })
        .collect();
    for name in accepted() {
        let folder = folder(&name);
        for (words, (markdown, tags)) in COMMANDS.iter().zip(&before) {
            let (structure, said) = markdown_parts(&run(folder.path(), words, &name, "markdown"));
            assert!(structure == *markdown, "{words:?} with `{name}`: {structure:?}");
            assert!(holds(&said, &name), "{words:?}: `{name}` in {said}");
            // With doubt there is more to read, and nothing that is no part of a page.
            if words[0] != "table" {
                markdown_parts(&run_with(folder.path(), words, &name, "markdown", "16"));
                bbcode_tags(&run_with(folder.path(), words, &name, "bbcode", "16"));
            }
            let post = run(folder.path(), words, &name, "bbcode");
            assert_eq!(bbcode_tags(&post), *tags, "{words:?} with `{name}`");
            let round = name.replace('[', "(").replace(']', ")");
            assert!(holds(&post, &round), "{words:?}: `{name}` in {post}");
        }
    }
}

#[test]
fn text_and_what_has_no_format_tell_the_name_and_drive_nothing() {
    for name in accepted() {
        let folder = folder(&name);
        for words in COMMANDS {
            assert!(holds(&run(folder.path(), words, &name, "text"), &name), "{words:?}: `{name}`");
        }
        let build = format!("tamsin-1100.ron#{name}");
        let tank = ["--tank", "tanks/t.ron", "--samples", "8"];
        for args in [
            &["explain", &build, "filtered_flow"][..],
            &["restack", &build, "--with", "foam-10,foam-20,foam-30,sintered-lump-12", "--top", "1"],
            &["wear", "tamsin-1100.ron", "--bucket", "10", "--seconds", "60"],
        ] {
            let text = told(folder.path(), &[args, &tank[..]].concat());
            assert!(holds(&text, &name), "{args:?}: `{name}` in {text}");
        }
        told(folder.path(), &["check", "tamsin-1100.ron", "tanks"]);
        assert!(told(folder.path(), &["table", "tamsin-1100.ron", "--ascii", "--samples", "0"]).is_ascii());
    }
}

#[test]
fn json_and_csv_give_the_name_back() {
    for name in accepted() {
        let folder = folder(&name);
        for words in [COMMANDS[0], COMMANDS[1], COMMANDS[3]] {
            let json: serde_json::Value =
                serde_json::from_str(&run(folder.path(), words, &name, "json")).unwrap();
            assert_eq!(json["tank"], name, "{words:?}");
            let builds = json["builds"].as_array().unwrap();
            assert!(builds.iter().all(|b| b["filter"] == name), "{words:?}: {name}");
            assert!(builds.iter().any(|b| b["build"] == name), "{words:?}: {name}");
        }
        for words in [COMMANDS[0], COMMANDS[1]] {
            let text = run(folder.path(), words, &name, "csv");
            let mut reader = csv::Reader::from_reader(text.as_bytes());
            let head = reader.headers().unwrap().clone();
            let at = head.iter().position(|h| h == "filter").unwrap();
            let rows: Vec<_> = reader.records().map(Result::unwrap).collect();
            assert_eq!(rows.len(), 4);
            for row in rows {
                let cell = &row[at];
                assert_eq!(cell.strip_prefix('\'').unwrap_or(cell), name);
                assert!(!cell.starts_with(['=', '+', '-', '@']), "{cell}");
            }
        }
    }
}

/// The tags of a page in their order. A comment, a declaration or a quote that does not end is a breach.
fn html_tags(page: &str) -> Vec<String> {
    let mut tags = Vec::new();
    let mut rest = page;
    while let Some(at) = rest.find('<') {
        let inside = &rest[at + 1..];
        let mut quote = None;
        let end = inside
            .char_indices()
            .find(|(_, c)| match quote {
                Some(q) => {
                    if *c == q {
                        quote = None;
                    }
                    false
                }
                None if matches!(c, '"' | '\'') => {
                    quote = Some(*c);
                    false
                }
                None => *c == '>',
            })
            .expect("every tag ends")
            .0;
        tags.push(inside[..end].split_whitespace().next().unwrap().to_owned());
        rest = &inside[end..];
    }
    tags
}

#[test]
fn report_and_pictures_keep_their_structure() {
    let written = |name: &str| {
        let folder = folder(name);
        let args = ["report", ".", "--tank", "tanks/t.ron", "--to", "r", "--samples", "8"];
        let files: Vec<&str> = args.iter().map(|a| if *a == "." { "tamsin-1100.ron" } else { a }).collect();
        told(folder.path(), &files);
        let page = fs::read_to_string(folder.path().join("r/report.html")).unwrap();
        let data = fs::read_to_string(folder.path().join("r/data.json")).unwrap();
        assert_eq!(serde_json::from_str::<serde_json::Value>(&data).unwrap()["tank"], name);
        let build = format!("tamsin-1100.ron#{name}");
        let pictures: Vec<String> = ["section", "curve", "timeline", "budget"]
            .iter()
            .map(|what| {
                let to = format!("{what}.svg");
                told(folder.path(), &["draw", &build, "--what", what, "--tank", "tanks/t.ron", "--to", &to]);
                fs::read_to_string(folder.path().join(to)).unwrap()
            })
            .collect();
        (page, pictures)
    };
    let elements = |picture: &str| -> Vec<String> {
        let document = roxmltree::Document::parse(picture).unwrap();
        document
            .descendants()
            .filter(roxmltree::Node::is_element)
            .map(|n| n.tag_name().name().to_owned())
            .collect()
    };
    let (page, pictures) = written(TAME);
    let (page, pictures): (_, Vec<_>) = (html_tags(&page), pictures.iter().map(|p| elements(p)).collect());
    for name in accepted() {
        let (html, drawn) = written(&name);
        assert_eq!(html_tags(&html), page, "`{name}`");
        assert!(!html.chars().any(|c| c != '\n' && is_hidden(c)));
        for (picture, before) in drawn.iter().zip(&pictures) {
            assert_eq!(elements(picture), *before, "`{name}`");
            let document = roxmltree::Document::parse(picture).unwrap();
            let title =
                document.descendants().find(|n| n.has_tag_name(("http://www.w3.org/2000/svg", "title")));
            let title = title.and_then(|n| n.text().map(str::to_owned)).unwrap();
            assert!(title.contains(&name), "`{name}` in {title}");
        }
    }
}

/// What the door turns away still reaches the reader as a message.
#[test]
fn a_name_that_is_refused_is_told_without_harm() {
    for name in ["a\u{1b}]52;c;x\u{7}", "\u{202e}turned", "\u{200f}right", &"W".repeat(300)] {
        let folder = tempfile::tempdir().unwrap();
        let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data/orrin-900.ron");
        let text = fs::read_to_string(demo).unwrap();
        fs::write(folder.path().join("good.ron"), &text).unwrap();
        fs::write(folder.path().join("bad.ron"), text.replace("Orrin 900", name)).unwrap();
        for format in ["text", "markdown", "bbcode", "csv", "json"] {
            let output = binary::run(folder.path(), &["table", ".", "--samples", "0", "--format", format]);
            assert_eq!(output.status.code(), Some(1), "{name:?}");
            for stream in [&output.stdout, &output.stderr] {
                let text = std::str::from_utf8(stream).unwrap();
                assert!(!text.chars().any(|c| c != '\n' && is_hidden(c)), "{name:?} {format}: {text}");
            }
            assert!(!output.stdout.is_empty());
        }
    }
}

/// A filter of the demo with every name in it replaced, past the door.
fn renamed(filter: &Filter, name: &str) -> Arc<Filter> {
    let mut filter = filter.clone();
    name.clone_into(&mut filter.name);
    for (i, build) in filter.builds.iter_mut().enumerate() {
        build.name = format!("{name}{i}");
        for layer in build.floor.iter_mut().chain(build.trays.iter_mut().flatten()) {
            let mut medium = (*layer.medium).clone();
            name.clone_into(&mut medium.name);
            layer.medium = Arc::new(medium);
        }
    }
    if let Some(unit) = &mut filter.unit {
        for repair in &mut unit.to_fix {
            repair.part = cansift::model::filter::Part::Other { part: name.to_owned() };
        }
    }
    Arc::new(filter)
}

/// Every page that holds names, written from two units whose names are all `name`.
fn pages(name: &str) -> (Vec<Page>, Sheet) {
    let demo = cansift::library::demo();
    let mut tank = pictures::tank();
    name.clone_into(&mut tank.name);
    name.clone_into(&mut tank.currency);
    let filters: Vec<Arc<Filter>> = demo
        .filters
        .iter()
        .filter(|s| ["tamsin-1100", "pelworth-1000-attic"].contains(&s.filter.id.as_str()))
        .map(|s| renamed(&s.filter, name))
        .collect();
    let each: Vec<(Arc<Filter>, usize)> =
        filters.iter().flat_map(|f| (0..f.builds.len()).map(|b| (Arc::clone(f), b))).collect();
    let rows: Vec<Assessment> = each
        .iter()
        .map(|(filter, b)| {
            let mut row = cansift::assess::judge(filter, *b, Some(&tank));
            name.clone_into(&mut row.file);
            row
        })
        .collect();
    let sheet =
        Sheet { rows, tank: Some(name.to_owned()), currency: name.to_owned(), seed: 1, ..Sheet::default() };
    let draws = Draws::new(0, 1);
    let asked =
        Asked { builds: &each, sheet: &sheet, draws: &draws, tank: &tank, top: 3, units: Units::Metric };
    let replies = Kind::ALL.map(|kind| answer::reply(asked, kind));
    let table = builds::page(&sheet, &Measure::ALL, Units::Us);
    let diff = differences::page(&sheet, &Measure::ALL, &Reasoned::default(), Units::Uk);
    ([replies.to_vec(), vec![table, diff]].concat(), sheet)
}

/// The writers themselves, given what the door would refuse.
#[test]
fn the_writers_stand_without_the_door() {
    let (before, _) = pages(TAME);
    let before: Vec<_> = before
        .iter()
        .map(|p| {
            (
                markdown_parts(&markdown::page(p, Look::default())).0,
                bbcode_tags(&bbcode::page(p, Look::default())),
            )
        })
        .collect();
    for name in pictures::hostile().into_iter().chain(accepted()).filter(|name| !name.is_empty()) {
        let (pages, sheet) = pages(&name);
        for (page, (structure, tags)) in pages.iter().zip(&before) {
            for ascii in [false, true] {
                let look = Look { ascii, ..Look::default() };
                let written = [text::page(page, look), markdown::page(page, look), bbcode::page(page, look)];
                for text in &written {
                    assert!(!text.chars().any(|c| c != '\n' && is_hidden(c)), "{name:?} in {text}");
                    assert!(!ascii || text.is_ascii(), "{text}");
                }
                assert!(markdown_parts(&written[1]).0 == *structure, "{name:?}: {}", written[1]);
                assert_eq!(bbcode_tags(&written[2]), *tags, "{name:?}");
            }
        }
        let data: serde_json::Value =
            serde_json::from_str(&json::table(&sheet, &Measure::ALL).unwrap()).unwrap();
        assert_eq!(data["builds"][0]["filter"], name, "whole once it is read back");
        let table = grid::table(&sheet, &Measure::ALL).csv();
        let mut reader = csv::Reader::from_reader(table.as_bytes());
        let row = reader.records().next().unwrap().unwrap();
        let cell = &row[1];
        assert!(cell == one_line(&name) || cell.strip_prefix('\'') == Some(&*one_line(&name)), "{cell}");
    }
}
