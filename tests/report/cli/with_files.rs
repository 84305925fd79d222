//! What needs the reader, the library and the judge.

use super::*;

fn table(args: &[&str]) -> Value {
    let mut all = vec!["table", "builds", "--format", "json"];
    all.extend(args);
    let output = cansift(&all);
    assert_eq!(status(&output), 0, "{}", err(&output));
    serde_json::from_slice(&output.stdout).unwrap()
}

fn column(table: &Value, key: &str) -> Vec<Option<f64>> {
    let builds = table["builds"].as_array().unwrap();
    builds.iter().map(|b| b["measures"][key]["value"].as_f64()).collect()
}

fn order(table: &Value) -> Vec<String> {
    let builds = table["builds"].as_array().unwrap();
    builds
        .iter()
        .map(|b| format!("{}#{}", b["file"].as_str().unwrap(), b["build"].as_str().unwrap()))
        .collect()
}

#[test]
fn json_keeps_its_schema_with_and_without_a_tank() {
    for args in
        [&[][..], &["--tank", "tank.ron"], &["--samples", "0"], &["--tank", "tank.ron", "--samples", "0"]]
    {
        let json = table(args);
        assert_eq!(schema::breaches(&schema::of("table"), &json), Vec::<String>::new(), "{args:?}");
        assert_eq!(json["builds"].as_array().unwrap().len(), 4);
        for build in json["builds"].as_array().unwrap() {
            let measures = build["measures"].as_object().unwrap();
            assert_eq!(measures.len(), Measure::ALL.len());
            for measure in Measure::ALL {
                assert_eq!(measures[measure.key()]["unit"], measure.row().unit.sign());
            }
        }
    }
    let json = table(&["--tank", "tank.ron", "--samples", "0"]);
    assert_eq!(json["tank"], "reading-room tank");
    assert_eq!(json["samples"], 0);
    let first = &json["builds"][0]["measures"];
    assert_eq!(first["flow"]["low"], Value::Null);
    assert_eq!(first["fits_cabinet"]["value"], true);
    // The lamp is put right, with its price, unless the unit is judged as it is.
    assert_eq!(json["builds"][0]["state"], "after repair");
    assert!(first["uv_dose"]["value"].as_f64().unwrap() > 1.0, "{first}");
    let found = table(&["--tank", "tank.ron", "--samples", "0", "--as-found"]);
    assert_eq!(found["builds"][0]["state"], "as found");
    assert_eq!(found["builds"][0]["measures"]["uv_dose"]["why"], "the lamp is burnt out");
    assert_eq!(first["bypass_chance"]["value"], Value::Null);
    let strait = &json["builds"][3]["measures"];
    assert_eq!(strait["fits_cabinet"]["why"], "the profile does not give the outside box");
    assert_eq!(table(&["--samples", "0"])["builds"][0]["measures"]["nitrate"]["why"], "no tank is given");
}

#[test]
fn builds_stand_in_name_order_then_in_the_order_of_the_file() {
    let files: Vec<String> =
        order(&table(&[])).iter().map(|name| name.split_once('#').unwrap().0.to_owned()).collect();
    assert_eq!(files, ["1-harbour.ron", "1-harbour.ron", "2-quay.ron", "3-strait.ron"]);
    assert!(order(&table(&[]))[0].ends_with("as bought"));
    let turned = cansift(&["table", "builds/2-quay.ron", "builds/1-harbour.ron", "--format", "csv"]);
    assert!(out(&turned).lines().nth(1).unwrap().starts_with("1-harbour.ron,"), "whatever the order given");
}

#[test]
fn sorting_goes_by_value_and_what_cannot_be_told_stands_last() {
    for key in ["flow", "media", "bypass", "first_year_cost"] {
        for down in [false, true] {
            let by = if down { format!("-{key}") } else { key.to_owned() };
            let values = column(&table(&["--tank", "tank.ron", "--sort", &by]), key);
            let told: Vec<f64> = values.iter().copied().flatten().collect();
            assert!(values.iter().take(told.len()).all(Option::is_some), "{by}: {values:?}");
            let rising = told.windows(2).all(|w| w[0] <= w[1]);
            let falling = told.windows(2).all(|w| w[0] >= w[1]);
            assert!(if down { falling } else { rising }, "{by}: {values:?}");
        }
    }
    let weights = column(&table(&["--sort", "full_weight"]), "full_weight");
    assert_eq!(weights.iter().filter(|v| v.is_some()).count(), 3, "one has no outside: {weights:?}");
    assert!(weights[3].is_none());
    assert!(weights[0] < weights[2], "figures differ, so the order says something: {weights:?}");
}

#[test]
fn same_seed_same_bytes_whatever_the_threads() {
    let args = |threads| ["table", "builds", "--tank", "tank.ron", "--format", "json", "--threads", threads];
    let one = cansift(&args("1"));
    assert_eq!(status(&one), 0);
    for threads in ["2", "7"] {
        assert_eq!(out(&cansift(&args(threads))), out(&one));
    }
}

#[test]
fn one_broken_file_hides_no_good_one() {
    let output = cansift(&["table", "builds", "broken", "--format", "json"]);
    assert_eq!(status(&output), 1, "{}", err(&output));
    let json: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(schema::breaches(&schema::of("table"), &json), Vec::<String>::new());
    assert_eq!(json["builds"].as_array().unwrap().len(), 4);
    let broken = &json["broken"][0];
    assert_eq!(broken["file"], "4-reef.ron");
    let lines: Vec<u64> =
        broken["problems"].as_array().unwrap().iter().map(|p| p["line"].as_u64().unwrap()).collect();
    assert!(lines.contains(&5) && lines.contains(&7), "all problems at once: {lines:?}");
    let told = err(&output);
    assert!(told.contains("4-reef.ron") && told.contains("hose"), "{told}");

    let text = cansift(&["table", "builds", "broken"]);
    assert_eq!(status(&text), 1);
    assert!(out(&text).contains("Harbour 900 · restacked") && !out(&text).contains("Reef"));

    let alone = cansift(&["table", "broken", "--format", "json"]);
    assert_eq!(status(&alone), 3, "nothing usable");
    let json: Value = serde_json::from_slice(&alone.stdout).unwrap();
    assert_eq!(json["broken"][0]["file"], "4-reef.ron", "but JSON still tells why");
    assert_eq!(status(&cansift(&["table", "broken"])), 3);
    assert_eq!(status(&cansift(&["table", "builds", "--tank", "broken/4-reef.ron"])), 3);
}

#[test]
fn check_says_what_each_file_is() {
    let good = cansift(&["check", "builds", "tank.ron"]);
    assert_eq!(status(&good), 0, "{}{}", out(&good), err(&good));
    assert!(out(&good).contains("1-harbour.ron: filter with 2 builds"), "{}", out(&good));
    assert!(out(&good).contains("tank.ron: tank"), "{}", out(&good));
    let bad = cansift(&["check", "broken"]);
    assert_eq!(status(&bad), 1);
    assert!(out(&bad).contains("4-reef.ron:7") && out(&bad).contains("broken, "), "{}", out(&bad));
    assert!(err(&bad).is_empty());
}

#[test]
fn a_name_cannot_mark_anything_up() {
    for format in ["text", "markdown", "bbcode", "csv", "json"] {
        let output = cansift(&["table", "builds", "--format", format]);
        assert_tame(&output);
        let text = out(&output);
        assert!(text.contains("Strait"), "{format}");
        match format {
            "markdown" => {
                assert!(text.contains("=Strait\\|\\[b\\]") && text.contains("\\<i\\>"), "{text}");
            }
            "bbcode" => assert!(text.contains("=Strait|(b)"), "{text}"),
            "csv" => assert!(text.contains("'=Strait|[b]"), "{text}"),
            _ => {}
        }
    }
}

#[test]
fn what_would_drive_a_terminal_is_told_but_never_sent() {
    let folder = tempfile::tempdir().unwrap();
    let good =
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cli/builds/3-strait.ron"))
            .unwrap();
    let raw = "\u{1b}]52;c;eA==\u{7}\u{9b}31m\u{202e}\r";
    for (file, from, to) in [
        ("1-name.ron", "=Strait", format!("x{raw}")),
        ("2-build.ron", "<i>", "\\u{1b}[2J\\u{202e}".to_owned()),
        ("3-field.ron", "way: rising", format!("way{raw}: rising")),
        ("4-comment.ron", "way: rising", format!("/* {raw} */ wya: rising")),
        ("5-medium.ron", "foam-20", format!("foam{raw}")),
    ] {
        std::fs::write(folder.path().join(file), good.replace(from, &to)).unwrap();
    }
    #[cfg(unix)]
    std::fs::write(folder.path().join("6-\u{1b}[31m\u{202e}.ron"), &good).unwrap();
    #[cfg(unix)]
    std::fs::write(folder.path().join("7-\u{1b}[31m\u{202e}.ron"), "Filter(").unwrap();
    let path = folder.path().to_str().unwrap();
    for format in ["text", "markdown", "bbcode", "csv", "json"] {
        assert_tame(&cansift(&["table", path, "--format", format]));
    }
    let check = cansift(&["check", path]);
    assert_eq!(status(&check), 1);
    assert_tame(&check);
    assert!(out(&check).contains("7-\\u{1b}[31m"), "{}", out(&check));
    for file in std::fs::read_dir(folder.path()).unwrap() {
        let file = file.unwrap().path();
        let name = file.to_str().unwrap();
        assert_tame(&cansift(&["explain", name, "media"]));
        assert_tame(&cansift(&["explain", &format!("{name}#\u{1b}[31m"), "media"]));
        assert_tame(&cansift(&["diff", name, "builds/2-quay.ron"]));
        assert_tame(&cansift(&["table", "builds", "--tank", name]));
    }
}

#[test]
fn csv_has_a_column_a_measure_and_every_row_the_same_count() {
    let output = cansift(&["table", "builds", "--tank", "tank.ron", "--format", "csv", "--samples", "0"]);
    let text = out(&output);
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let head: Vec<String> = reader.headers().unwrap().iter().map(str::to_owned).collect();
    let keys: Vec<&str> = head.iter().map(|h| h.split(" (").next().unwrap()).collect();
    let measures = Measure::ALL.map(Measure::key);
    assert_eq!(keys, [&["file", "filter", "build"], &measures[..], &["state", "tank"]].concat());
    for (said, measure) in head[3..].iter().zip(Measure::ALL) {
        let unit = measure.row().unit;
        let money = unit == cansift::measures::Unit::Money;
        assert!(money || said.ends_with(&format!("({})", unit.sign())) || !said.contains('('), "{said}");
    }
    let json = table(&["--tank", "tank.ron", "--samples", "0"]);
    for (record, build) in reader.records().zip(json["builds"].as_array().unwrap()) {
        let record = record.unwrap();
        for (field, key) in record.iter().zip(&keys).skip(3).take(measures.len()) {
            let value = &build["measures"][key]["value"];
            let written = value.as_bool().map(|yes| yes.to_string()).unwrap_or_default();
            if let Some(x) = value.as_f64() {
                assert_eq!(field.parse::<f64>().unwrap(), x, "{key}");
            } else {
                assert_eq!(field, written, "{key}");
            }
        }
    }
    let imperial = cansift(&[
        "table",
        "builds",
        "--tank",
        "tank.ron",
        "--format",
        "csv",
        "--samples",
        "0",
        "--units",
        "us",
    ]);
    assert_eq!(out(&imperial), text, "units change what people read, never CSV");
}

#[test]
fn columns_are_those_asked_for_and_dashes_give_their_reason() {
    let output = cansift(&["table", "builds", "--columns", "tray_space,nitrate"]);
    let text = out(&output);
    let head: Vec<&str> = text.lines().next().unwrap().split_whitespace().collect();
    assert_eq!(head, ["build", "tray", "space", "nitrate"]);
    assert!(text.contains("– nitrate: no tank is given"), "{text}");
    let us = out(&cansift(&["table", "builds", "--columns", "tray_space", "--units", "us"]));
    assert!(us.contains("US gal"), "{us}");
    assert!(out(&cansift(&["table", "builds", "--ascii"])).is_ascii());
}

#[test]
fn without_a_terminal_the_bare_program_prints_the_table() {
    let bare = cansift(&["builds", "--tank", "tank.ron"]);
    assert_eq!(status(&bare), 0);
    assert!(err(&bare).contains("no terminal for screens here"));
    let asked = cansift(&["table", "builds", "--tank", "tank.ron"]);
    assert_eq!(out(&bare), out(&asked));
    assert!(err(&asked).is_empty());
}

#[test]
fn without_a_path_the_demo_is_shown() {
    let output = cansift(&["table"]);
    assert_eq!(status(&output), 0, "{}", err(&output));
    assert!(err(&output).contains("built-in demo"));
    assert!(err(&output).contains("no --tank given"), "{}", err(&output));
    assert!(out(&output).lines().count() > 8);
    // What the demo shows can be named without a file of that name.
    let csv = out(&cansift(&["table", "--format", "csv"]));
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let first = reader.records().next().unwrap().unwrap();
    let name = format!("{}#{}", &first[0], &first[2]);
    let explained = cansift(&["explain", &name, "nitrate"]);
    assert_eq!(status(&explained), 0, "{}", err(&explained));
    assert!(err(&explained).contains("no --tank given"), "{}", err(&explained));
}

#[test]
fn a_build_is_named_by_file_and_name() {
    let both = cansift(&["explain", "builds/1-harbour.ron", "flow"]);
    assert_eq!(status(&both), 2);
    assert!(err(&both).contains("1-harbour.ron#as bought") && err(&both).contains("#restacked"));
    let slip = cansift(&["explain", "builds/1-harbour.ron#restaked", "flow"]);
    assert_eq!(status(&slip), 2);
    assert!(err(&slip).contains("did you mean `restacked`?"), "{}", err(&slip));
    let only = cansift(&["explain", "builds/2-quay.ron", "turnover", "--tank", "tank.ron"]);
    assert_eq!(status(&only), 0, "{}", err(&only));
    let text = out(&only);
    assert!(
        text.contains("Quay 400 · as sold: turnover") && text.contains("turnover = flow / water in the tank"),
        "{text}"
    );
    let broken = cansift(&["explain", "broken/4-reef.ron", "flow"]);
    assert_eq!(status(&broken), 3);
    assert!(err(&broken).contains("4-reef.ron"));
}

#[test]
fn diff_sets_builds_side_by_side() {
    let (a, b) = ("builds/1-harbour.ron#as bought", "builds/1-harbour.ron#restacked");
    let output = cansift(&["diff", a, b, "--tank", "tank.ron", "--format", "json"]);
    assert_eq!(status(&output), 0, "{}", err(&output));
    let json: Value = serde_json::from_slice(&output.stdout).unwrap();
    let value = |i: usize, key: &str| json["builds"][i]["measures"][key]["value"].as_f64().unwrap();
    let rows = json["differences"].as_array().unwrap();
    assert_eq!(rows.len(), Measure::ALL.len());
    let worked = rows.iter().find(|r| r["measure"] == "filtered_flow").unwrap();
    let apart = worked["to_first"][0].as_f64().unwrap();
    assert!((apart - (value(1, "filtered_flow") - value(0, "filtered_flow"))).abs() < 0.01);
    assert!(apart > 0.0, "restacked and with its pads cut to size, more water is worked");
    let text = out(&cansift(&["diff", a, b, "--tank", "tank.ron"]));
    assert!(
        text.contains("B is")
            && text.contains("how sure")
            && text.contains("tray 2")
            && text.contains("empty"),
        "{text}"
    );
    let same = out(&cansift(&["diff", a, a, "--measure", "flow", "--format", "json"]));
    let same: Value = serde_json::from_str(&same).unwrap();
    assert_eq!(same["differences"][0]["to_first"][0], 0.0);
}

#[test]
fn the_media_library_is_listed_and_a_slip_understood() {
    let all = cansift(&["media"]);
    assert_eq!(status(&all), 0);
    assert!(out(&all).contains("foam-20"));
    let one = cansift(&["media", "foam-20"]);
    assert!(out(&one).contains("Source ("), "{}", out(&one));
    let slip = cansift(&["media", "foam20"]);
    assert_eq!(status(&slip), 2);
    assert!(err(&slip).contains("did you mean `foam-20`?"), "{}", err(&slip));
}

#[test]
fn a_new_profile_passes_the_check_and_has_no_staging_fault() {
    let folder = tempfile::tempdir().unwrap();
    for way in ["rising", "falling"] {
        for trays in ["1", "3", "6"] {
            let path = folder.path().join(format!("{way}-{trays}.ron"));
            let name = path.to_str().unwrap();
            assert_eq!(status(&cansift(&["new", name, "--trays", trays, "--way", way])), 0);
            let check = cansift(&["check", name]);
            assert_eq!(status(&check), 0, "{}", out(&check));
            let json = cansift(&["table", name, "--format", "json"]);
            let json: Value = serde_json::from_slice(&json.stdout).unwrap();
            let build = &json["builds"][0];
            assert_eq!(build["order_faults"], serde_json::json!([]), "{way} {trays}");
            assert!(build["measures"]["filtered_flow"]["value"].as_f64().unwrap() > 0.0);
        }
    }
}

#[test]
fn a_sheet_holds_what_is_not_known_in_the_order_of_the_bench() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let (filter, page) = (at("box.ron"), at("sheet.html"));
    cansift(&["new", &filter, "--flow", "1200", "--trays", "2", "--outside", "235x200x410"]);
    let sheet = cansift(&["sheet", &filter, "--to", "-", "--samples", "64"]);
    assert_eq!(status(&sheet), 0, "{}", err(&sheet));
    insta::assert_snapshot!(out(&sheet));
    let text = out(&sheet);
    let places: Vec<usize> = ["Hoses off", "Open and empty", "Gaps", "from a jug", "Weight", "Running"]
        .iter()
        .map(|p| text.find(p).unwrap_or_else(|| panic!("{p}")))
        .collect();
    assert!(places.is_sorted(), "{places:?}");
    assert!(text.contains("Unplug") && !text.contains("printed flow"), "what is known is not asked for");
    assert_eq!(status(&cansift(&["sheet", "--to", &page, "--samples", "0"])), 0);
    let html = std::fs::read_to_string(&page).unwrap();
    assert!(html.starts_with("<!DOCTYPE html>") && html.contains("Unplug"));
}

#[test]
fn a_spreadsheet_becomes_a_folder_of_profiles() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let (csv, map, to) = (at("shop.csv"), at("columns.txt"), at("filters"));
    std::fs::write(
        &csv,
        "Model,Flow (l/h),Trays,Size\nMarl 900,900,3,220x220x390\nBeck 500,~500,,\nOdd,12 kg,,\n",
    )
    .unwrap();
    assert_eq!(status(&cansift(&["import", &csv, "--to", &to, "--map", &map])), 0);
    assert!(std::fs::read_to_string(&map).unwrap().contains("Flow (l/h) = label/flow"));
    let done = cansift(&["import", &csv, "--to", &to, "--map", &map]);
    assert_eq!(
        (status(&done), out(&done).starts_with("2 of 3 rows")),
        (1, true),
        "{}{}",
        out(&done),
        err(&done)
    );
    assert!(err(&done).contains("row 4: Flow (l/h): `12 kg` is left out"), "{}", err(&done));
    assert_eq!(status(&cansift(&["table", &to])), 0);
    // A folder in a folder is read when that is asked for.
    let above = folder.path().to_str().unwrap();
    assert_eq!(status(&cansift(&["table", above])), 3);
    let deep = cansift(&["table", above, "--deep"]);
    assert!(out(&deep).contains("Marl 900"), "{}{}", out(&deep), err(&deep));
    assert_eq!(status(&cansift(&["import", &csv, "--to", &to])), 2, "nothing is written over");
}

#[test]
fn three_numbers_make_a_profile_and_two_a_tank() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let (filter, tank) = (at("found-in-the-shed.ron"), at("180.ron"));
    let made = cansift(&["new", &filter, "--flow", "1200", "--trays", "3", "--outside", "235x200x410"]);
    assert_eq!((status(&made), err(&made).contains("invented")), (0, false), "{}", err(&made));
    let made = cansift(&["new", "--tank", &tank, "--volume", "40 gal", "--stocking", "normal"]);
    assert_eq!(status(&made), 0, "{}", err(&made));
    let text = std::fs::read_to_string(&tank).unwrap();
    assert!(text.contains("volume: gal_us(40)") && text.contains("stock: normal"), "{text}");
    let json = cansift(&["table", &filter, "--tank", &tank, "--format", "json"]);
    assert_eq!(status(&json), 0, "{}", err(&json));
    let json: Value = serde_json::from_slice(&json.stdout).unwrap();
    let build = &json["builds"][0];
    assert_eq!(build["filter"], "found in the shed");
    for (key, measure) in build["measures"].as_object().unwrap() {
        assert!(
            !measure["value"].is_null() || measure["why"].is_string(),
            "{key} is neither told nor explained"
        );
    }
    for measure in ["clearing", "bypass_dirty", "opening_interval", "ammonia_capacity", "flow"] {
        assert!(build["measures"][measure]["value"].is_number(), "{measure}");
    }
    let slip = cansift(&["new", &at("x.ron"), "--flow", "12 kg"]);
    assert_eq!(status(&slip), 2);
    assert!(err(&slip).contains("printed flow: `kg` is no unit of flow"), "{}", err(&slip));
    assert!(!folder.path().join("x.ron").exists());
}

#[test]
fn a_closed_pipe_is_no_error_for_a_table_either() {
    let (reader, writer) = std::io::pipe().unwrap();
    drop(reader);
    let output = command(&["table", "builds"]).stdout(writer).output().unwrap();
    assert_eq!(status(&output), 0);
    assert_eq!(err(&output), "");
}
