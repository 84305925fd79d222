//! Spreadsheets in: rows as profiles, and whatever else a file may hold.

use crate::mutate::Chance;
use cansift::library::Library;
use cansift::profile::import::{Imported, import, map_text, mapped, propose};
use cansift::profile::read_filter;
use cansift::profile::store::{deep, rows_of};
use std::path::Path;

const SHOP: &str = "\
Model;Flow (l/h);Lift m;Width mm;Depth mm;Height mm;Baskets;Hose bore;Price;Colour
Marl 900;900;1,5;220;220;390;3;16 mm;89,90;grey
Tarn 1400;320 gal/h;;235;200;410;4;;;black
Nameless;;1.2;;;;;;;
Odd one;12 kg;;;;;;;;
Beck 500;~500;;;;;2;about a thumb;40;
";

fn shop() -> (Vec<Vec<String>>, Imported) {
    let rows = rows_of(SHOP.as_bytes()).unwrap();
    let columns = propose(&rows[0]);
    let done = import(&rows, &columns);
    (rows, done)
}

#[test]
fn rows_become_profiles_and_what_is_not_understood_is_told() {
    let (rows, done) = shop();
    let fields: Vec<String> = propose(&rows[0]).into_iter().map(|column| column.field).collect();
    assert_eq!(
        fields,
        [
            "name",
            "label/flow",
            "pump/curve/head",
            "body/outside/width",
            "body/outside/depth",
            "body/outside/height",
            "trays",
            "hose/bore",
            "unit/asking",
            ""
        ]
    );
    let names: Vec<&str> = done.files.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(names, ["marl-900.ron", "tarn-1400.ron", "beck-500.ron"]);
    insta::assert_snapshot!(format!("{}\n{}", done.files[0].1, done.told.join("\n")));
    for (name, text) in &done.files {
        let sound = read_filter(Path::new(name), text, Library::shipped()).unwrap();
        assert!(sound.filter.pump.curve.is_some(), "{name} judges");
    }
    // 320 US gallons an hour of 3.785411784 l each (NIST Handbook 44).
    let tarn = read_filter(Path::new("t.ron"), &done.files[1].1, Library::shipped()).unwrap().filter;
    let flow = tarn.label.as_ref().unwrap().flow.as_ref().unwrap().si() * 3.6e6;
    assert!((flow - 320.0 * 3.785_411_784).abs() < 1e-6, "{flow}");
    assert_eq!(tarn.trays.len(), 4);
}

#[test]
fn columns_are_said_in_a_file() {
    let (rows, _) = shop();
    let proposed = propose(&rows[0]);
    assert_eq!(
        mapped(&map_text(&proposed), &rows[0]).unwrap(),
        proposed,
        "what is proposed says what it does"
    );
    let by_hand = mapped("Model = name\nFlow (l/h) = label/flow\nColour = variant\n", &rows[0]).unwrap();
    let done = import(&rows, &by_hand);
    assert!(
        done.files[0].1.contains("variant: \"grey\"") && !done.files[0].1.contains("asking"),
        "{}",
        done.files[0].1
    );
    for (map, said) in [
        ("Model", "head = field"),
        ("Model = nome", "there is no field nome"),
        ("Modell = name", "no column Modell"),
    ] {
        assert!(mapped(map, &rows[0]).unwrap_err().contains(said), "{map}");
    }
}

/// A ZIP archive with these files, none of them compressed (APPNOTE 6.3, from memory).
fn zip(files: &[(&str, &str)]) -> Vec<u8> {
    fn crc(bytes: &[u8]) -> u32 {
        !bytes.iter().fold(!0_u32, |crc, byte| {
            (0..8).fold(crc ^ u32::from(*byte), |crc, _| {
                if crc & 1 == 1 { (crc >> 1) ^ 0xedb8_8320 } else { crc >> 1 }
            })
        })
    }
    let (mut out, mut directory) = (Vec::new(), Vec::new());
    for (name, text) in files {
        let (at, size) = (out.len() as u32, text.len() as u32);
        let mut head = vec![20, 0, 0, 0, 0, 0, 0, 0, 0, 0];
        for word in [crc(text.as_bytes()), size, size] {
            head.extend(word.to_le_bytes());
        }
        head.extend((name.len() as u16).to_le_bytes());
        head.extend([0, 0]);
        out.extend(b"PK\x03\x04");
        out.extend(&head);
        out.extend(name.as_bytes());
        out.extend(text.as_bytes());
        directory.extend(b"PK\x01\x02\x14\x00");
        directory.extend(&head);
        directory.extend([0; 10]);
        directory.extend(at.to_le_bytes());
        directory.extend(name.as_bytes());
    }
    let (count, size, at) = (files.len() as u16, directory.len() as u32, out.len() as u32);
    out.extend(directory);
    out.extend(b"PK\x05\x06\0\0\0\0");
    out.extend([count.to_le_bytes(), count.to_le_bytes()].concat());
    out.extend([size.to_le_bytes(), at.to_le_bytes()].concat());
    out.extend([0, 0]);
    out
}

/// A workbook of one sheet (ECMA-376 part 1, from memory): texts inline, numbers as they are.
fn workbook() -> Vec<u8> {
    let cell = |(i, value): (usize, &str)| {
        let name = char::from(b'A' + i as u8);
        match value.parse::<f64>() {
            Ok(number) => format!("<c r=\"{name}@\"><v>{number}</v></c>"),
            Err(_) => format!("<c r=\"{name}@\" t=\"inlineStr\"><is><t>{value}</t></is></c>"),
        }
    };
    let row = |(i, line): (usize, &str)| {
        let cells: String = line.split(';').enumerate().map(cell).collect();
        format!("<row r=\"{}\">{}</row>", i + 1, cells.replace('@', &(i + 1).to_string()))
    };
    let rows: String = ["Model;Flow l/h;Outside size", "Marl 900;900;220x220x390"]
        .into_iter()
        .enumerate()
        .map(row)
        .collect();
    let main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
    let office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
    let package = "http://schemas.openxmlformats.org/package/2006";
    zip(&[
        (
            "[Content_Types].xml",
            &format!(
                "<?xml version=\"1.0\"?><Types xmlns=\"{package}/content-types\"><Default Extension=\"rels\" ContentType=\"application/vnd.openxmlformats-package.relationships+xml\"/><Default Extension=\"xml\" ContentType=\"application/xml\"/><Override PartName=\"/xl/workbook.xml\" ContentType=\"application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml\"/></Types>"
            ),
        ),
        (
            "_rels/.rels",
            &format!(
                "<?xml version=\"1.0\"?><Relationships xmlns=\"{package}/relationships\"><Relationship Id=\"rId1\" Type=\"{office}/officeDocument\" Target=\"xl/workbook.xml\"/></Relationships>"
            ),
        ),
        (
            "xl/_rels/workbook.xml.rels",
            &format!(
                "<?xml version=\"1.0\"?><Relationships xmlns=\"{package}/relationships\"><Relationship Id=\"rId1\" Type=\"{office}/worksheet\" Target=\"worksheets/sheet1.xml\"/></Relationships>"
            ),
        ),
        (
            "xl/workbook.xml",
            &format!(
                "<?xml version=\"1.0\"?><workbook xmlns=\"{main}\" xmlns:r=\"{office}\"><sheets><sheet name=\"Filters\" sheetId=\"1\" r:id=\"rId1\"/></sheets></workbook>"
            ),
        ),
        (
            "xl/worksheets/sheet1.xml",
            &format!(
                "<?xml version=\"1.0\"?><worksheet xmlns=\"{main}\"><sheetData>{rows}</sheetData></worksheet>"
            ),
        ),
    ])
}

#[test]
fn a_workbook_is_read_as_a_csv_file_is() {
    let rows = rows_of(&workbook()).unwrap();
    assert_eq!(rows, [["Model", "Flow l/h", "Outside size"], ["Marl 900", "900", "220x220x390"]]);
    let done = import(&rows, &propose(&rows[0]));
    assert!(done.told.is_empty(), "{:?}", done.told);
    assert!(
        done.files[0].1.contains("outside: (width: mm(220), depth: mm(220), height: mm(390))"),
        "{}",
        done.files[0].1
    );
}

#[test]
fn mutated_spreadsheets_are_understood_or_refused() {
    let quiet = std::panic::take_hook();
    // A fault of the library that reads workbooks is caught and told: its words need not be seen here.
    std::panic::set_hook(Box::new(|_| {}));
    let seeds = [SHOP.as_bytes().to_vec(), workbook(), SHOP.replace(';', ",").into_bytes()];
    let (mut read, mut refused) = (0, 0);
    let mut wrong = Vec::new();
    for case in 0..1_000_u64 {
        let mut chance = Chance::new(15, case);
        let mut bytes = seeds[chance.below(seeds.len())].clone();
        for _ in 0..=chance.below(6) {
            let at = chance.below(bytes.len());
            match chance.below(4) {
                0 => bytes[at] = chance.below(256) as u8,
                1 => drop(bytes.remove(at)),
                2 => bytes.insert(at, [b';', b'"', b'\n', 0xff][chance.below(4)]),
                _ => bytes.truncate(at.max(8)),
            }
        }
        match rows_of(&bytes) {
            Err(why) => {
                refused += 1;
                if why.len() < 10 {
                    wrong.push(why);
                }
            }
            Ok(rows) => {
                read += 1;
                let Some(heads) = rows.first() else { continue };
                let done = import(&rows, &propose(heads));
                let told = |row: &&Vec<String>| row.iter().any(|cell| !cell.trim().is_empty());
                let count = rows.iter().skip(1).filter(told).count();
                let lost = done.told.iter().filter(|said| said.contains("no profile: ")).count();
                if done.rows != count || done.files.len() + lost != count {
                    wrong.push(format!(
                        "case {case}: {count} rows, {} profiles, {lost} told",
                        done.files.len()
                    ));
                }
            }
        }
    }
    std::panic::set_hook(quiet);
    assert!(wrong.is_empty(), "{wrong:?}");
    assert!(read > 200 && refused > 50, "{read} {refused}");
}

#[test]
fn folders_in_folders_are_found_in_name_order_and_hidden_ones_are_not() {
    let place = tempfile::tempdir().unwrap();
    for folder in ["b/c", "a", ".git/x"] {
        std::fs::create_dir_all(place.path().join(folder)).unwrap();
    }
    let found = deep(&[place.path().to_owned()]);
    let names: Vec<String> = found
        .iter()
        .map(|path| path.strip_prefix(place.path()).unwrap().to_string_lossy().into_owned())
        .collect();
    assert_eq!(names, ["", "a", "b", "b/c"]);
}
