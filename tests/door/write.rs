//! A profile written and read again is the same profile: values, doubts and judgements.

use std::path::Path;

use crate::said::{said, without_id};
use cansift::assess::judge;
use cansift::library::{Library, demo, demo_tanks};
use cansift::model::filter::{Build, Filter};
use cansift::profile::write::write;
use cansift::profile::{Broken, read_filter};
use proptest::prelude::*;

fn read(text: &str) -> Result<Filter, String> {
    let told = |broken: Broken| {
        broken.problems.into_iter().map(|problem| problem.rendered).collect::<Vec<_>>().join("\n")
    };
    let sound = read_filter(Path::new("again.ron"), text, Library::shipped()).map_err(told)?;
    Ok((*sound.filter).clone())
}

fn profiles() -> Vec<(String, String)> {
    let folders = ["demo-data", "profiles/templates", "tests/good_input"];
    let mut out = Vec::new();
    for folder in folders {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
        for entry in std::fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|e| e == "ron") {
                let text = std::fs::read_to_string(&path).unwrap();
                out.push((path.display().to_string(), text));
            }
        }
    }
    out
}

#[test]
fn what_ships_is_read_the_same_after_it_was_written() {
    let mut count = 0;
    for (name, text) in profiles() {
        let Ok(first) = read(&text) else { continue };
        count += 1;
        let written = write(&first, &first.builds, "written again");
        let second = read(&written).unwrap_or_else(|told| panic!("{name}:\n{told}\n{written}"));
        assert_eq!(said(&first), said(&second), "{name}\n{written}");
        let again = write(&second, &second.builds, "written again");
        assert_eq!(written, again, "{name}");
        for tank in demo_tanks() {
            for build in 0..first.builds.len() {
                let (mut a, b) =
                    (judge(&first, build, Some(&tank.tank)), judge(&second, build, Some(&tank.tank)));
                // Fittings that were called by a name are the file's own now.
                assert!(a.known.printed <= b.known.printed, "{name}");
                a.known.printed = b.known.printed;
                assert_eq!(format!("{a:?}"), format!("{b:?}"), "{name}");
            }
        }
    }
    assert!(count >= 14, "{count}");
}

#[test]
fn it_reads_well() {
    let demo = demo();
    let tamsin = &demo.filters.iter().find(|s| s.filter.id == "tamsin-1100").unwrap().filter;
    let text = write(tamsin, &tamsin.builds, "From tamsin-1100.ron.\nSecond line.");
    for line in [
        "// From tamsin-1100.ron.",
        "// Second line.",
        "    hose: Hose(bore: mm(16)),",
        "        Tray(shape: dee(width: mm(185), depth: mm(160)), height: mm(80), grid: 0.45, seal: worn(gap: guessed(mm(0.4)))),",
        "                    Layer(media: \"foam-30\", depth: mm(25), slack: mm(0.5), dimples: down),",
        "                [Layer(media: \"sintered-lump-20\", fill: rest)],",
        "                [],",
        "        to_fix: [(seals([2, 3]), 9), (lamp, 18)],",
    ] {
        assert!(text.lines().any(|l| l == line), "{line}\n{text}");
    }
    assert!(!text.contains("taken") && !text.contains("smooth") && !text.contains("000000"), "{text}");
}

#[test]
fn media_of_ones_own_travel_and_hostile_text_stays_text() {
    let demo = demo();
    let shed = &demo.filters.iter().find(|s| s.filter.id == "shed-tub").unwrap().filter;
    let mut odd = (**shed).clone();
    odd.name = "a \"quoted\" \\ name".into();
    odd.notes = "// no comment ), Filter(".into();
    let text = write(&odd, &odd.builds, "line\n)]}\u{1b}[31m \u{202e}");
    assert!(text.contains("id: \"mattress-foam\"") && !text.contains('\u{1b}') && !text.contains('\u{202e}'));
    let again = read(&text).unwrap();
    assert_eq!(said(&without_id(odd.clone())), said(&without_id(again)));
    // A medium that came with the unit, described by no build that is written, is told in a remark.
    odd.unit = Some(cansift::model::filter::Unit {
        asking: None,
        spares: None,
        age: None,
        impeller: cansift::model::filter::Impeller::New,
        lamp: cansift::model::filter::Lamp::Working,
        to_fix: Vec::new(),
        includes: vec!["mattress-foam".into(), "foam-20".into()],
    });
    let empty = Build { name: "empty".into(), ..Build::empty(1) };
    let text = write(&odd, &[empty], "");
    assert!(text.contains("// also came with media that no build holds: mattress-foam"), "{text}");
    assert_eq!(read(&text).unwrap().unit.unwrap().includes, ["foam-20"]);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever number in whatever unit a person writes: the figures come back bit for bit.
    #[test]
    fn any_figure_comes_back(
        digits in 1_u32..99_999,
        places in 0_i32..4,
        unit in 0_usize..6,
        wrap in 0_usize..4,
        flow_unit in 0_usize..5,
    ) {
        let number = f64::from(digits) / 10_f64.powi(places);
        let in_unit = |unit: &str, x: f64| format!("{unit}({x})");
        let wrapped = |inner: String| match wrap {
            0 => inner,
            1 => format!("measured({inner})"),
            2 => format!("guessed({inner})"),
            _ => format!("stated({inner})"),
        };
        // Into the range of a bore, 3 to 60 mm, whatever the unit.
        let mm = 3.0 + number % 57.0;
        let (name, per) = [("mm", 1.0), ("um", 1e3), ("cm", 0.1), ("m", 1e-3), ("inch", 0.04), ("ft", 0.0034)][unit];
        let bore = wrapped(in_unit(name, (mm * per * 1e4).round() / 1e4));
        prop_assume!((mm * per * 1e4).round() > 0.0);
        let (name, per) =
            [("l_h", 1.0), ("l_min", 0.017), ("m3_h", 0.001), ("gal_us_h", 0.264), ("gal_uk_h", 0.22)][flow_unit];
        let flow = wrapped(in_unit(name, ((50.0 + number % 5000.0) * per * 1e3).round() / 1e3));
        let between = format!("between(mm({}), mm({}))", mm / 4.0, mm / 4.0 + 0.37);
        let text = format!(
            "Filter(format: 1, name: \"x\", pump: Pump(curve: ends(flow: {flow}, head: m(1.5))), way: falling, \
             hose: Hose(bore: {bore}, wall: ribbed(pitch: {between})), builds: [Build(name: \"b\", trays: [])])"
        );
        let first = read(&text);
        prop_assume!(first.is_ok());
        let first = first.unwrap();
        let written = write(&first, &first.builds, "");
        let second = read(&written).unwrap();
        prop_assert_eq!(said(&first), said(&second), "{}\n{}", text, written);
    }
}
