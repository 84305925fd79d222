//! Logs of readings come through the door, are written as they were read, and are refused at their place.

use std::path::Path;

use cansift::library::Library;
use cansift::model::Day;
use cansift::model::filter::Filter;
use cansift::model::log::{Lay, Reading, When};
use cansift::profile::write::write;
use cansift::profile::{read_filter, read_tank};

const LOG: &str = r#"packed: "2026-03-01", hoses: left, kept_on: "reading-room tank", log: [
    Bucket(on: "2026-03-01", volume: measured(l(10)), time: s(55)),
    Bucket(on: 21, volume: l(10), time: s(71), end: cm(15)),
    Opened(on: "2026-04-12", why: flow_fell, most_muck: [(1, 1), floor], muck: l(0.9), cleaned: media),
    Weighed(on: 42, mass: kg(13.4), with: bathroom), Meter(on: 42, power: w(17), trust: false),
    Loss(on: 42, head: cm(14)), Opened(on: 50, why: other, flow: fine, cleaned: nothing),
    Bucket(on: 60, volume: l(10), time: s(50), media: out),
]"#;

fn filter(kept: &str, unit: &str) -> String {
    format!(
        r#"Filter(format: 1, name: "Marl 900", label: Label(flow: l_h(900)), {unit}
        body: Body(outside: (width: mm(220), depth: mm(220), height: mm(390))), trays: count(3),
        builds: [Build(name: "as it came", trays: [[Layer(media: "foam-20", depth: mm(40))], [], []],
            {kept})])"#
    )
}

fn read(text: &str) -> Result<Filter, Vec<(usize, String)>> {
    read_filter(Path::new("marl-900.ron"), text, Library::shipped())
        .map(|sound| (*sound.filter).clone())
        .map_err(|broken| broken.problems.into_iter().map(|p| (p.line, p.message)).collect())
}

#[test]
fn a_log_is_read_and_written_as_it_stood() {
    let filter = read(&filter(LOG, "")).unwrap();
    let kept = &filter.builds[0].kept;
    assert_eq!((kept.packed, kept.log.len()), (Day::read("2026-03-01"), 8));
    assert_eq!(kept.log[1].on, When::Since(21));
    let days: Vec<i64> = kept.log.iter().map(|entry| kept.days(entry).unwrap()).collect();
    assert_eq!(days, [0, 21, 42, 42, 42, 42, 50, 60]);
    let Reading::Opened { most_muck, muck, .. } = &kept.log[2].what else { panic!("{:?}", kept.log[2]) };
    assert_eq!(
        (most_muck.as_slice(), *muck),
        (&[Lay::Layer { tray: 0, layer: 0 }, Lay::Floor][..], Some(0.9))
    );
    assert!(!kept.log[4].trusted && kept.log[3].trusted);
    let written = write(&filter, &filter.builds, "");
    let again = read(&written).unwrap_or_else(|told| panic!("{told:?}\n{written}"));
    assert_eq!(kept, &again.builds[0].kept, "{written}");
    assert_eq!(written, write(&again, &again.builds, ""));
    // What was measured is no figure of the filter: what is known of it stays.
    let plain = read(&self::filter("", "")).unwrap();
    let known = |f: &Filter| cansift::assess::assessment::Known::of(f, &f.builds[0]);
    assert_eq!(known(&filter), known(&plain));
}

#[test]
fn a_tank_s_tests_are_read() {
    let of = |tests: &str| {
        let text = format!(
            "Tank(format: 1, name: \"t\", volume: l(180), standing: \"Marl 900#as it came\", tests: [{tests}])"
        );
        read_tank(Path::new("t.ron"), &text, Library::shipped())
            .map(|tank| tank.tank.tests.len())
            .map_err(|broken| broken.problems.into_iter().map(|p| p.message).collect::<Vec<_>>())
    };
    let nitrate =
        "Nitrate(on: \"2026-04-10\", reads: 50, card: [0, 5, 10, 25, 50, 100, 250], since_change: day(6))";
    assert_eq!(of(&format!("{nitrate}, Ammonia(on: \"2026-04-10\", reads: 0, as: nh4)")), Ok(2));
    assert_eq!(
        of(&nitrate.replace("reads: 50", "reads: 30")),
        Err(vec!["30 is not a colour of this card".into()])
    );
    assert_eq!(of("Nitrate(on: 3, reads: 50)"), Err(vec!["days since what?".into()]));
    assert_eq!(
        of("Ammonia(on: \"2026-04-10\", reads: 1, as: n, card: [0, 2, 1])"),
        Err(vec!["the colours of this card do not rise".into()])
    );
}

#[test]
fn what_cannot_be_is_refused_at_its_place() {
    let bucket = |on: &str, seconds: u32| format!("Bucket(on: {on}, volume: l(10), time: s({seconds}))");
    let log = |entries: &str| format!("packed: \"2026-03-01\", log: [{entries}]");
    let sixty_one = format!("{},", bucket("3", 55)).repeat(61);
    let cases: [(String, &str); 14] = [
        (format!("log: [{}]", bucket("\"2026-03-01\"", 55)), "a log needs `packed`"),
        (log(&bucket("\"2180-03-01\"", 55)), "1 March is after today"),
        ("packed: \"2180-03-01\"".into(), "packed after today"),
        (log(&bucket("\"2026-02-28\"", 55)), "28 February is before `packed`"),
        (
            log(&format!("{}, {}", bucket("\"2026-04-12\"", 55), bucket("21", 60))),
            "22 March follows 12 April",
        ),
        // 900 l/h on the box, a tenth more at most.
        (log(&bucket("3", 25)), "1440 l/h is above what this pump can give (990)"),
        (log("Opened(on: 9, why: other, most_muck: [(1, 4)])"), "tray 1 has no layer 4"),
        (log("Opened(on: 9, why: other, most_muck: [(7, 1)])"), "there is no tray 7"),
        (log("Opened(on: 9, why: other, most_muck: [floor, floor])"), "this place is named twice"),
        (log("Opened(on: 9, why: flow_fell, flow: fine)"), "the flow had fallen and was fine"),
        (log(&bucket("3", 0)), "time of a bucket test of 0 s: expected 1 to 7200 s"),
        (log("Meter(on: 3, power: w(-4))"), "power on a meter of -4 W: expected 0.1 to 1000 W"),
        (log(&bucket("-3", 55)), "the day of a reading of -3: expected 0 to 3650"),
        (log(&sixty_one), "`log` holds 61 entries: expected at most 60"),
    ];
    for (kept, wrong) in cases {
        let told = read(&filter(&kept, "")).expect_err(wrong);
        assert_eq!(told.iter().map(|(_, message)| message.as_str()).collect::<Vec<_>>(), [wrong]);
        assert_eq!(told[0].0, 4, "{wrong}");
    }
    let unit = "unit: Unit(bucket: Bucket(volume: l(10), time: s(62), intake: m(1), return: m(1))),";
    let twice = log("Bucket(on: 3, volume: l(10), time: s(62), media: out)");
    assert_eq!(read(&filter(&twice, unit)).unwrap_err()[0].1, "this bucket test also stands in `unit`");
}
