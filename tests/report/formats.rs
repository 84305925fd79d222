//! Every format of `table`, `rank` and `compare` says the same: JSON keeps its schema by a JSON Schema library, CSV
//! goes through a CSV library and back, and the figures read out of text, Markdown, `BBCode`, CSV and JSON agree.

// The lint's leave for tests covers only what stands inside a test function.

use std::fs;

use crate::binary;
use crate::schema;
use cansift::measures::{Measure, Unit};
use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};
use serde_json::Value;

const TANK: &str = "demo-data/tanks/reading-room.ron";
const TAMSIN: [&str; 2] = ["demo-data/tamsin-1100.ron#as bought", "demo-data/tamsin-1100.ron#restacked"];

fn said(args: &[&str], status: i32) -> String {
    binary::said(binary::ROOT, args, status)
}

/// With `INSTA_UPDATE=always` the files are written, as snapshots are.
#[test]
fn the_schemas_in_the_documentation_are_those_of_the_program() {
    for (name, text) in cansift::report::json::schemas() {
        let path = schema::path(name);
        if std::env::var("INSTA_UPDATE").is_ok_and(|how| how == "always") {
            std::fs::write(&path, &text).unwrap();
        }
        assert_eq!(std::fs::read_to_string(&path).unwrap(), text, "{}", path.display());
    }
}

#[test]
fn json_of_table_rank_and_diff_keeps_the_schema() {
    let (table, rank) = (schema::of("table"), schema::of("rank"));
    let broken = ["demo-data", "demo-data/broken"];
    let third = "demo-data/marrick-1800.ron#restacked";
    for more in [
        &["--samples", "0"][..],
        &["--samples", "16"],
        &["--samples", "0", "--tank", TANK],
        &["--samples", "16", "--tank", TANK],
        &["--samples", "16", "--tank", "demo-data/tanks/cafe-window.ron"],
    ] {
        let json = [&["--format", "json"][..], more].concat();
        let check = |schema: &Value, words: &[&str], status: i32| {
            let document: Value = serde_json::from_str(&said(&[words, &json[..]].concat(), status)).unwrap();
            assert_eq!(schema::breaches(schema, &document), Vec::<String>::new(), "{words:?} {json:?}");
            document
        };
        check(&table, &[&["table"][..], &broken].concat(), 1);
        let diff = check(&table, &["compare", TAMSIN[0], TAMSIN[1], third], 0);
        assert_eq!(diff["differences"].as_array().unwrap().len(), Measure::ALL.len());
        assert_eq!(diff["differences"][0]["verdicts"].as_array().unwrap().len(), 2);
        check(&table, &["compare", TAMSIN[0], third, "--measure", "uv_dose"], 0);
        if more.contains(&"--tank") {
            let ranked = check(&rank, &[&["rank"][..], &broken].concat(), 1);
            assert_eq!(ranked["broken"].as_array().unwrap().len(), 5);
        }
    }
}

#[test]
fn the_schemas_refuse_what_breaks_them() {
    let (table, rank) = (schema::of("table"), schema::of("rank"));
    let of = |words: &[&str]| -> Value {
        let args = [words, &["--tank", TANK, "--samples", "16", "--format", "json"]].concat();
        serde_json::from_str(&said(&args, 0)).unwrap()
    };
    let diff = of(&["compare", TAMSIN[0], TAMSIN[1], "--as-found"]);
    let ranked = of(&["rank", "demo-data/tamsin-1100.ron"]);
    for (schema, good, path, value) in [
        (&table, &diff, "/schema", "1"),
        (&table, &diff, "/builds/0/measures/flow/value", "null"),
        (&table, &diff, "/builds/0/measures/fits_cabinet/value", "1"),
        (&table, &diff, "/builds/0/measures/uv_dose/why", "7"),
        (&table, &diff, "/builds/0/state", "\"mended\""),
        (&table, &diff, "/builds/0/stages/0", "\"coarser\""),
        (&table, &diff, "/differences/0/verdicts/0/called", "\"surely\""),
        (&table, &diff, "/differences/0/verdicts/0/sure", "1.2"),
        (&table, &diff, "/builds/0/suits/0/stocking", "\"crowded\""),
        (&table, &diff, "/why/0/shares/0", "{\"group\": \"pump\"}"),
        (&table, &diff, "/differences/0/to_first", "[\"NaN\"]"),
        (&rank, &ranked, "/builds/0/place", "0"),
        (&rank, &ranked, "/builds/0/first", "1.5"),
        (&rank, &ranked, "/builds/0/requirements/0", "{\"measure\": \"fits_cabinet\"}"),
        (&rank, &ranked, "/priorities", "{}"),
        (&rank, &ranked, "/tank", "null"),
    ] {
        assert_eq!(schema::breaches(schema, good), Vec::<String>::new());
        let mut bad = good.clone();
        *bad.pointer_mut(path).unwrap_or_else(|| panic!("{path}")) = serde_json::from_str(value).unwrap();
        assert!(!schema::breaches(schema, &bad).is_empty(), "{path} as {value} must be refused");
    }
}

#[test]
fn csv_goes_through_a_library_and_back() {
    for words in [&["table"][..], &["rank"]] {
        for samples in ["0", "16"] {
            let args = [words, &["demo-data", "--tank", TANK, "--samples", samples, "--format", "csv"]];
            let text = said(&args.concat(), 0);
            let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
            let terminator = csv::Terminator::Any(b'\n');
            let mut writer = csv::WriterBuilder::new().terminator(terminator).from_writer(Vec::new());
            let mut rows = 0;
            for record in reader.records() {
                writer.write_record(&record.unwrap()).unwrap();
                rows += 1;
            }
            assert_eq!(String::from_utf8(writer.into_inner().unwrap()).unwrap(), text, "{words:?}");
            assert_eq!(rows, 23);
        }
    }
}

/// What CSV says an XLSX says, read by another library: numbers as numbers, text as text.
#[test]
fn xlsx_holds_what_csv_holds() {
    use calamine::{Data, Reader, Xlsx};
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    for (sheet, words) in [("builds", "table"), ("ranking", "rank")] {
        let args = [words, "demo-data", "--tank", TANK, "--samples", "16", "--format"];
        let (one, two) = (at(&format!("{words}.xlsx")), at(&format!("{words}-again.xlsx")));
        for to in [&one, &two] {
            said(&[&args[..], &["xlsx", "--to", to]].concat(), 0);
        }
        assert!(fs::read(&one).unwrap() == fs::read(&two).unwrap(), "the same bytes");
        let mut book: Xlsx<_> = calamine::open_workbook(&one).unwrap();
        let range = book.worksheet_range(sheet).unwrap();
        let text = said(&[&args[..], &["csv"]].concat(), 0);
        let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
        let mut cells = 0;
        for (line, record) in reader.records().enumerate() {
            let record = record.unwrap();
            for (column, field) in record.iter().enumerate() {
                let cell = range.get((line, column)).unwrap_or(&Data::Empty);
                let same = match cell {
                    Data::Float(x) => field.parse::<f64>().is_ok_and(|told| told == *x),
                    Data::Bool(yes) => yes.to_string() == field,
                    Data::String(told) => told == field,
                    Data::Empty => field.is_empty(),
                    _ => false,
                };
                assert!(same, "{words}, line {line}, column {column}: {cell:?} against {field}");
                cells += 1;
            }
        }
        assert!(cells > 250, "{cells}");
        let about = book.worksheet_range("about").unwrap();
        let about: Vec<String> = about.rows().map(|row| format!("{} {}", row[0], row[1])).collect();
        assert!(about.iter().any(|row| row == "tank reading-room tank"), "{about:?}");
        assert!(about.iter().any(|row| row == "currency EUR"), "{about:?}");
    }
    let to = at("two.xlsx");
    let two = ["compare", TAMSIN[0], TAMSIN[1], "--tank", TANK, "--samples", "16", "--format", "xlsx"];
    said(&[&two[..], &["--to", &to]].concat(), 0);
    let mut book: Xlsx<_> = calamine::open_workbook(&to).unwrap();
    let apart = book.worksheet_range("differences").unwrap();
    let is = |measure: &str| {
        let row = apart.rows().find(|row| row[0] == Data::String(measure.to_owned())).unwrap();
        row[4].to_string()
    };
    assert_eq!(is("opening_interval"), "better");
    // Never over what is there, and never to nowhere; what is text stays on standard output.
    said(&[&two[..], &["--to", &to]].concat(), 2);
    said(&two, 2);
    said(&["table", "demo-data", "--samples", "0", "--to", &at("x.csv")], 2);
}

/// Rows of a table: title, then cells.
type Rows = Vec<(String, Vec<String>)>;

/// Columns apart by two spaces at least, no cell empty.
/// Rows of the first table, which is told in several of them, one below the other, where it is too wide; a name that is
/// too long goes on in the next line.
fn text_rows(text: &str) -> Rows {
    let mut all: Rows = Vec::new();
    for part in text.trim_start_matches('\n').split("\n\n") {
        if !part.lines().next().is_some_and(|head| head.starts_with("build ")) {
            break;
        }
        let mut rows: Rows = Vec::new();
        for line in part.lines().skip(2) {
            let mut cells =
                line.split("  ").map(str::trim).filter(|cell| !cell.is_empty()).map(str::to_owned);
            let (name, cells): (String, Vec<String>) = (cells.next().unwrap(), cells.collect());
            match rows.last_mut() {
                Some((known, _)) if cells.is_empty() => known.push_str(&format!(" {name}")),
                _ => rows.push((name, cells)),
            }
        }
        if all.is_empty() {
            all = rows;
        } else {
            all.iter_mut().zip(rows).for_each(|((_, cells), (_, more))| cells.extend(more));
        }
    }
    all
}

fn markdown_rows(text: &str) -> Rows {
    let mut rows: Vec<Vec<String>> = Vec::new();
    let (mut row, mut cell, mut done) = (Vec::new(), String::new(), false);
    for event in Parser::new_ext(text, Options::ENABLE_TABLES) {
        match event {
            Event::Start(Tag::TableRow) => row = Vec::new(),
            Event::Start(Tag::TableCell) => cell = String::new(),
            Event::Text(text) => cell.push_str(&text),
            Event::End(TagEnd::TableCell) => row.push(cell.clone()),
            Event::End(TagEnd::TableRow) if !done => rows.push(row.clone()),
            Event::End(TagEnd::Table) => done = true,
            _ => {}
        }
    }
    rows.into_iter().map(|mut row| (row.remove(0), row)).collect()
}

fn bbcode_rows(text: &str) -> Rows {
    text_rows(text.split("[code]\n").nth(1).unwrap().split("[/code]").next().unwrap())
}

/// A shown figure read back: from and to where the true value lies, by the rounding of what is shown.
fn read_back(cell: &str, measure: Measure) -> (f64, f64) {
    let unit = ["wk", "d"].into_iter().find(|sign| cell.ends_with(&format!(" {sign}"))).unwrap_or("");
    let figure = cell.strip_suffix(unit).unwrap().split(" (").next().unwrap().trim();
    let (bound, figure) = match figure.chars().next().unwrap() {
        sign @ ('<' | '>') => (Some(sign), &figure[1..]),
        _ if figure.ends_with('+') => (Some('>'), &figure[..figure.len() - 1]),
        _ => (None, figure),
    };
    let number = figure.strip_suffix(" %").unwrap_or(figure);
    let shown: f64 = number.parse().unwrap_or_else(|_| panic!("`{cell}`"));
    let decimals = number.split_once('.').map_or(0, |(_, d)| d.len());
    let scale = match (unit, measure.row().unit) {
        ("wk", _) => 7.0,
        ("d", _) => 1.0,
        (_, Unit::Share | Unit::Probability) => 0.01,
        _ => 1.0,
    };
    let half = 0.5001 * 10_f64.powi(-i32::try_from(decimals).unwrap()) * scale;
    match bound {
        Some('<') => (0.0, shown * scale),
        Some(_) => (shown * scale, f64::INFINITY),
        None => (shown * scale - half, shown * scale + half),
    }
}

#[test]
fn every_format_of_the_table_carries_the_same_figures() {
    let keys: Vec<&str> = Measure::ALL.iter().map(|m| m.key()).collect();
    let columns = keys.join(",");
    let args = |format| {
        let words = ["table", "demo-data", "--tank", TANK, "--samples", "16", "--columns", &columns];
        said(&[&words[..], &["--format", format]].concat(), 0)
    };
    let json: Value = serde_json::from_str(&args("json")).unwrap();
    let text = text_rows(&args("text"));
    assert_eq!(markdown_rows(&args("markdown")), text);
    let round = |rows: &Rows| -> Rows {
        let names =
            rows.iter().map(|(title, cells)| (title.replace('[', "(").replace(']', ")"), cells.clone()));
        names.collect()
    };
    assert_eq!(bbcode_rows(&args("bbcode")), round(&text));
    let csv_text = args("csv");
    let mut reader = csv::Reader::from_reader(csv_text.as_bytes());
    let head = reader.headers().unwrap().clone();
    let rows: Vec<_> = reader.records().map(Result::unwrap).collect();
    let builds = json["builds"].as_array().unwrap();
    assert!(builds.len() == 22 && rows.len() == 22 && text.len() == 22);
    let mut compared = 0;
    for ((build, row), (title, cells)) in builds.iter().zip(&rows).zip(&text) {
        let name = format!("{} · {}", build["filter"].as_str().unwrap(), build["build"].as_str().unwrap());
        assert_eq!(*title, name);
        assert_eq!(cells.len(), keys.len(), "{name}");
        for (measure, cell) in Measure::ALL.into_iter().zip(cells) {
            let told = &build["measures"][measure.key()];
            // A head is a key and its unit: `clearing (1/h)`.
            let column =
                |key: &str| &row[head.iter().position(|h| h.split(' ').next() == Some(key)).unwrap()];
            if let Some(flag) = told["value"].as_bool() {
                assert_eq!(
                    (cell.as_str(), column(measure.key())),
                    (if flag { "yes" } else { "no" }, if flag { "true" } else { "false" })
                );
                continue;
            }
            let Some(value) = told["value"].as_f64() else {
                assert_eq!((cell.as_str(), column(measure.key())), ("–", ""), "{name} {}", measure.key());
                continue;
            };
            assert_eq!(column(measure.key()).parse::<f64>().unwrap(), value, "{name} {}", measure.key());
            for end in ["low", "high"] {
                let cell = column(&format!("{}_{end}", measure.key()));
                assert_eq!(cell.parse::<f64>().ok(), told[end].as_f64(), "{name} {} {end}", measure.key());
            }
            let (low, high) = read_back(cell, measure);
            assert!((low..=high).contains(&value), "{name} {}: {value} is shown as `{cell}`", measure.key());
            compared += 1;
        }
    }
    assert!(compared > 300, "{compared}");
}

#[test]
fn every_format_of_the_ranking_carries_the_same_figures() {
    let args =
        |format| said(&["rank", "demo-data", "--tank", TANK, "--samples", "64", "--format", format], 0);
    let json: Value = serde_json::from_str(&args("json")).unwrap();
    let ranked: Vec<&Value> =
        json["builds"].as_array().unwrap().iter().filter(|b| b["place"].is_u64()).collect();
    let markdown = args("markdown");
    let rows = markdown_rows(&markdown);
    assert_eq!(rows.len(), ranked.len());
    let (text, bbcode) = (args("text"), args("bbcode"));
    let csv_text = args("csv");
    let mut reader = csv::Reader::from_reader(csv_text.as_bytes());
    let records: Vec<_> = reader.records().map(Result::unwrap).collect();
    for (((place, cells), build), record) in rows.iter().zip(&ranked).zip(&records) {
        assert_eq!(*place, build["place"].to_string());
        let title = format!("{} · {}", build["filter"].as_str().unwrap(), build["build"].as_str().unwrap());
        assert_eq!(cells[0], title);
        let first = build["first"].as_f64().unwrap();
        let (low, high) = read_back(&cells[1], Measure::BypassChance);
        assert!((low..=high).contains(&first), "{title}: {first} as {}", cells[1]);
        let (low, high) = read_back(&cells[4], Measure::AmmoniaCapacity);
        assert!((low..=high).contains(&build["score"].as_f64().unwrap()), "{title}: {}", cells[4]);
        assert_eq!(record[0], *place);
        assert_eq!(&record[2], build["filter"].as_str().unwrap());
        assert_eq!(record[6].parse::<f64>().unwrap(), first);
        // The same line in text and `BBCode`: its words in their order.
        for page in [&text, &bbcode] {
            // What is long goes on in the next line.
            let (start, long) = (title.split(" · ").next().unwrap(), cells.last().unwrap());
            let line = page
                .lines()
                .find(|l| l.trim_start().starts_with(&format!("{place}  {start}")))
                .expect("a line");
            assert!(long.split(' ').all(|word| page.contains(word)), "`{long}` in {page}");
            let mut rest = line;
            for cell in cells[1..cells.len() - 1].iter().filter(|cell| !cell.is_empty()) {
                let at = rest.find(cell.as_str()).unwrap_or_else(|| panic!("`{cell}` in `{line}`"));
                rest = &rest[at + cell.len()..];
            }
        }
    }
}

#[test]
fn every_format_of_a_difference_carries_the_same_figures() {
    let args = |format| {
        said(&["compare", TAMSIN[0], TAMSIN[1], "--tank", TANK, "--samples", "64", "--format", format], 0)
    };
    let json: Value = serde_json::from_str(&args("json")).unwrap();
    let rows = markdown_rows(&args("markdown"));
    let (text, bbcode) = (args("text"), args("bbcode"));
    let mut compared = 0;
    for measure in Measure::ALL {
        let Some((_, cells)) = rows.iter().find(|(head, _)| head == measure.row().head) else { continue };
        for (build, cell) in [(0, &cells[1]), (1, &cells[2])] {
            let told = &json["builds"][build]["measures"][measure.key()]["value"];
            if let Some(value) = told.as_f64() {
                let (low, high) = read_back(cell, measure);
                assert!((low..=high).contains(&value), "{}: {value} as {cell}", measure.key());
                compared += 1;
            }
        }
        for page in [&text, &bbcode] {
            let line = page
                .lines()
                .find(|l| l.starts_with(measure.row().head) && l.contains(&cells[1]))
                .unwrap_or_else(|| panic!("{}", measure.key()));
            assert!(cells.iter().all(|cell| line.contains(cell.as_str())), "{line}: {cells:?}");
        }
    }
    assert!(compared > 30, "{compared}");
}

/// Of a row printed as not sure, nine of ten cases never lie on one side: ties at the end of the timeline are on none.
#[test]
fn how_sure_it_is_is_counted_alike_on_the_page_and_in_every_file() {
    let tie = ["demo-data/marrick-1800.ron#all lumps", "demo-data/pelworth-1000-market.ron#as it ran"];
    let args = |format| {
        said(&["compare", tie[0], tie[1], "--tank", TANK, "--samples", "256", "--format", format], 0)
    };
    let json: Value = serde_json::from_str(&args("json")).unwrap();
    let rows = markdown_rows(&args("markdown"));
    let mut unsure = 0;
    for told in json["differences"].as_array().unwrap() {
        let measure = Measure::from_key(told["measure"].as_str().unwrap()).unwrap();
        let verdict = &told["verdicts"][0];
        let Some((_, cells)) = rows.iter().find(|(head, _)| head == measure.row().head) else { continue };
        let (Some(sure), Some(called)) = (verdict["sure"].as_f64(), verdict["called"].as_str()) else {
            continue;
        };
        assert!(cells[3].ends_with(called), "{cells:?} {verdict}");
        match cells[5].as_str() {
            "" => assert_eq!(called, "same"),
            "surely" => assert!(sure > 0.995, "{cells:?} {verdict}"),
            "by little" => assert!(sure >= 0.9 && called == "unsure", "{cells:?} {verdict}"),
            said => {
                let of_100: f64 = said.strip_suffix(" of 100").unwrap().parse().unwrap();
                assert!((sure * 100.0 - of_100).abs() < 1.0, "{cells:?} {verdict}");
                assert_eq!(called == "unsure", of_100 < 90.0, "{cells:?} {verdict}");
                unsure += usize::from(called == "unsure");
            }
        }
        if measure == Measure::OpeningInterval {
            assert!(called == "unsure" && sure < 0.9, "some are alike in many cases: {verdict}");
        }
    }
    assert!(unsure > 1, "{unsure}");
}
