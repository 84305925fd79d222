//! `rank`, `diff` with reasons, and `wear`, through the real binary.

use std::process::Output;

use crate::binary::{self, ROOT};
use serde_json::Value;

const TANK: &str = "demo-data/tanks/reading-room.ron";
const ATTIC: &str = "demo-data/pelworth-1000-attic.ron#restacked";
const MARKET: &str = "demo-data/pelworth-1000-market.ron#restacked with what came along";

fn cansift(args: &[&str]) -> Output {
    binary::run(ROOT, args)
}

fn told(args: &[&str]) -> String {
    binary::told(ROOT, args)
}

fn json(args: &[&str]) -> Value {
    serde_json::from_str(&told(args)).unwrap()
}

fn pelworths<'a>(more: &[&'a str]) -> Vec<&'a str> {
    let both = ["demo-data/pelworth-1000-attic.ron", "demo-data/pelworth-1000-market.ron"];
    [&["rank"], &both[..], &["--tank", TANK], more].concat()
}

#[test]
fn ranks_are_chances_that_add_up() {
    // The built-in demo.
    let told = json(&["rank", "--tank", TANK, "--format", "json", "--samples", "64"]);
    assert_eq!(told["schema"], 2);
    assert_eq!(told["samples"], 64);
    assert_eq!(told["tank"], "reading-room tank");
    // It gives no priorities, so the usual seven count.
    let priorities = told["priorities"].as_object().unwrap();
    assert_eq!(priorities.len(), 7, "{priorities:?}");
    assert!(priorities.values().all(|weight| *weight == 1.0) && priorities.contains_key("clearing"));
    let builds = told["builds"].as_array().unwrap();
    assert_eq!(builds.len(), 22);
    let ranked: Vec<&Value> = builds.iter().filter(|b| b["place"].is_u64()).collect();
    assert!(ranked.len() >= 2 && ranked.len() < builds.len());
    let sum: f64 = ranked.iter().map(|b| b["first"].as_f64().unwrap()).sum();
    assert!((sum - 1.0).abs() < 1e-4, "{sum}");
    for (place, build) in ranked.iter().enumerate() {
        assert_eq!(build["place"], place + 1);
        assert_eq!(build["ruled_out"], false);
        let ranks = build["ranks"].as_array().unwrap();
        assert_eq!(ranks.len(), ranked.len());
        let sum: f64 = ranks.iter().map(|r| r.as_f64().unwrap()).sum();
        assert!((sum - 1.0).abs() < 1e-4);
        assert!(build["rank_low"].as_u64() <= build["rank_high"].as_u64());
    }
    let out: Vec<&Value> = builds.iter().filter(|b| b["ruled_out"] == true).collect();
    assert_eq!(out.len() + ranked.len(), builds.len());
    for build in out {
        assert_eq!(build["first"], Value::Null);
        let musts = build["requirements"].as_array().unwrap();
        assert!(
            musts.iter().any(|m| m["passes"] == false && m["chance"].as_f64().unwrap() <= 0.2),
            "{build}"
        );
    }
    assert!(
        builds
            .iter()
            .any(|b| b["filter"] == "Marrick 1800" && b["requirements"][0]["measure"] == "fits_cabinet")
    );
}

#[test]
fn the_same_seed_gives_the_same_bytes_whatever_the_threads() {
    for format in ["json", "text", "csv"] {
        let one = told(&pelworths(&["--format", format, "--threads", "1"]));
        assert_eq!(told(&pelworths(&["--format", format, "--threads", "1"])), one);
        assert_eq!(told(&pelworths(&["--format", format, "--threads", "2"])), one);
    }
    let one = told(&["diff", ATTIC, MARKET, "--tank", TANK, "--format", "json", "--threads", "1"]);
    assert_eq!(told(&["diff", ATTIC, MARKET, "--tank", TANK, "--format", "json", "--threads", "2"]), one);
    let other = told(&pelworths(&["--format", "json", "--seed", "2"]));
    assert_ne!(other, told(&pelworths(&["--format", "json"])), "another seed, other draws");
}

#[test]
fn every_format_says_the_same_order() {
    let csv = told(&pelworths(&["--format", "csv"]));
    assert_eq!(csv.lines().count(), 5);
    let first = csv.lines().nth(1).unwrap();
    assert!(first.starts_with("1,pelworth-1000-market.ron,"), "{csv}");
    assert!(told(&pelworths(&["--format", "markdown"])).contains("| 1 | Pelworth 1000 (market)"));
    assert!(told(&pelworths(&["--format", "bbcode"])).contains("[code]"));
    assert!(told(&pelworths(&["--ascii"])).is_ascii());
    let bare = json(&pelworths(&["--format", "json", "--samples", "0"]));
    assert_eq!(bare["samples"], 0);
    assert_eq!(bare["builds"][0]["failed_cases"], Value::Null);
    assert_eq!(bare["measure_next"], serde_json::json!([]));
}

#[test]
fn a_rank_needs_a_tank() {
    let output = cansift(&["rank", "demo-data/orrin-900.ron"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("--tank"));
    assert_eq!(cansift(&["rank", "no/such.ron", "--tank", TANK]).status.code(), Some(3));
    let broken = cansift(&["rank", "demo-data", "demo-data/broken", "--tank", TANK, "--samples", "8"]);
    assert_eq!(broken.status.code(), Some(1), "some files are broken: the rest is ranked");
    assert!(String::from_utf8_lossy(&broken.stdout).contains("With any priorities at all"));
}

#[test]
fn copies_cannot_be_told_apart() {
    for seed in ["1", "2", "99"] {
        let diff = json(&["diff", ATTIC, ATTIC, "--tank", TANK, "--format", "json", "--seed", seed]);
        for row in diff["differences"].as_array().unwrap() {
            assert!(row["to_first"][0].is_null() || row["to_first"][0] == 0.0, "{row}");
            let better = &row["better"][0];
            assert!(
                better.is_null() || (better["called"] == "can't tell" && better["chance"] == 0.5),
                "{row}"
            );
        }
        assert_eq!(diff["why"][0]["shares"], serde_json::json!([]));
    }
}

#[test]
fn shares_add_to_the_difference() {
    for key in
        ["filtered_flow", "opening_interval", "first_year_cost", "nitrate", "nitrate_off", "fits_cabinet"]
    {
        let diff = json(&["diff", ATTIC, MARKET, "--tank", TANK, "--measure", key, "--format", "json"]);
        let apart = diff["differences"][0]["to_first"][0].as_f64();
        let shares = diff["why"][0]["shares"].as_array().unwrap();
        let sum: f64 = shares.iter().map(|s| s["amount"].as_f64().unwrap()).sum();
        assert!((sum - apart.unwrap_or(0.0)).abs() <= 1e-3 * apart.unwrap_or(1.0).abs(), "{key}: {diff}");
        assert_eq!(diff["why"][0]["measure"], key);
    }
    let lit = json(&["diff", ATTIC, MARKET, "--tank", TANK, "--measure", "uv_dose", "--format", "json"]);
    assert_eq!(lit["why"][0]["shares"], Value::Null);
    assert!(lit["why"][0]["why"].as_str().unwrap().contains("no UV chamber"));
}

#[test]
fn a_bucket_test_is_told_with_lines_that_a_profile_takes() {
    let market = "demo-data/pelworth-1000-market.ron";
    let args = ["wear", market, "--bucket", "10", "--seconds", "54", "--intake", "1", "--return", "1"];
    let text = told(&[&args[..], &["--bends", "0", "--tank", TANK]].concat());
    let line = |word: &str| -> String {
        let lines = text.lines().skip_while(|l| !l.starts_with(&format!("  {word}: ")));
        let mut own = lines.enumerate().take_while(|(i, l)| *i == 0 || l.starts_with("    ")).map(|(_, l)| l);
        let first = own.next().unwrap_or_else(|| panic!("{word} in {text}"));
        own.fold(first.to_owned(), |all, l| all + " " + l.trim_start())
    };
    let profile =
        std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/demo-data/pelworth-1000-market.ron"))
            .unwrap();
    let own = profile.lines().find(|l| l.trim_start().starts_with("bucket:")).unwrap();
    let folder = tempfile::tempdir().unwrap();
    for word in ["bucket", "impeller"] {
        let path = folder.path().join(format!("{word}.ron"));
        std::fs::write(&path, profile.replace(own, &line(word))).unwrap();
        told(&["check", path.to_str().unwrap()]);
    }
    // The same test said twice is the same figure: the demo's own profile holds it.
    let flow = |path: &str| {
        json(&["table", path, "--tank", TANK, "--format", "json", "--samples", "0"])["builds"][0]["measures"]
            ["flow"]["value"]
            .as_f64()
            .unwrap()
    };
    let again = flow(folder.path().join("bucket.ron").to_str().unwrap());
    assert!((again - flow(market)).abs() < 1e-3, "{again}");
    for bad in [["--bucket", "0", "--seconds", "54"], ["--bucket", "ten", "--seconds", "54"]] {
        assert_eq!(cansift(&[&["wear", market][..], &bad[..]].concat()).status.code(), Some(2));
    }
    let impossible = told(&["wear", market, "--bucket", "500", "--seconds", "1"]);
    assert!(
        impossible.contains("do not belong together") && !impossible.contains("impeller:"),
        "{impossible}"
    );
    assert_eq!(
        cansift(&["wear", "demo-data/hesper-two.ron", "--bucket", "10", "--seconds", "54"]).status.code(),
        Some(3),
        "no pump curve, nothing to compare with"
    );
}

#[test]
fn as_a_person_reads_it() {
    insta::assert_snapshot!("rank_pelworth", told(&pelworths(&[])));
    insta::assert_snapshot!("rank_without_doubt", told(&pelworths(&["--samples", "0"])));
    insta::assert_snapshot!("diff_pelworth", told(&["diff", ATTIC, MARKET, "--tank", TANK]));
    let tamsin = ["demo-data/tamsin-1100.ron#as bought", "demo-data/tamsin-1100.ron#restacked"];
    insta::assert_snapshot!(
        "diff_service",
        told(&["diff", tamsin[0], tamsin[1], "--tank", TANK, "--measure", "opening_interval"])
    );
    let wear = ["wear", "demo-data/orrin-900.ron", "--bucket", "10", "--seconds", "62", "--tank", TANK];
    insta::assert_snapshot!("wear_orrin", told(&wear));
}

#[test]
fn a_proposal_holds_biological_media_unless_foam_alone_is_asked_for() {
    // A tank that counts no thumb rule for nitrate, so that foam alone is worth proposing.
    let home = tempfile::tempdir().unwrap();
    let tank = std::fs::read_to_string(TANK).unwrap();
    let flow = "priorities: {\"filtered_flow\": 1.0, \"bypass_chance\": 2.0, \"opening_interval\": 1.0}, requirements: [";
    let (file, flows) = (home.path().join("tank.ron"), tank.replace("requirements: [", flow));
    std::fs::write(&file, &flows).unwrap();
    let file = file.to_str().unwrap();
    for foam in [false, true] {
        let asked = ["restack", "demo-data/tamsin-1100.ron#as bought", "--tank", file, "--samples", "16"];
        let all = told(&[&asked[..], if foam { &["--foam-only"] } else { &[] }].concat());
        let one: Vec<&str> = all.split(": score ").skip(1).collect();
        assert!(!one.is_empty());
        for proposal in &one {
            let layers =
                proposal.lines().skip_while(|l| !l.starts_with("place")).take_while(|l| !l.is_empty());
            let holds = layers.skip(1).any(|l| l.contains(" B  "));
            assert_eq!(!holds, proposal.contains("holds no biological media"), "{proposal}");
            assert!(holds || foam, "{proposal}");
        }
        assert!(!foam || one.iter().any(|p| p.contains("holds no biological media")));
    }
}

#[test]
fn a_tank_that_weighs_a_risk_alone_tells_its_draws() {
    let home = tempfile::tempdir().unwrap();
    let file = home.path().join("tank.ron");
    std::fs::write(
        &file,
        "Tank(format: 1, name: \"t\", volume: l(180), priorities: {\"bypass_chance\": 1.0})",
    )
    .unwrap();
    let told = json(&["rank", "--tank", file.to_str().unwrap(), "--format", "json", "--samples", "64"]);
    assert_eq!(told["samples"], 64);
    let first: f64 =
        told["builds"].as_array().unwrap().iter().filter_map(|b| b["first_any_priorities"].as_f64()).sum();
    assert!((first - 1.0).abs() < 1e-4, "{first}");
}

/// The check values of the model, without a tank: the Tamsin restacked, normally stocked, by ammonia, clearing, turnover
/// and the rule of thumb.
#[test]
fn what_tank_a_build_suits_is_told_without_a_tank() {
    let restacked = "demo-data/tamsin-1100.ron#restacked";
    let told_of = json(&["suits", restacked, "--as-found", "--format", "json", "--samples", "64"]);
    let build = &told_of["builds"][0];
    let of = |limit: &str| {
        let rows = build["suits"].as_array().unwrap();
        let row = rows.iter().find(|row| row["stocking"] == "normal" && row["limit"] == limit).unwrap();
        let [litres, low, high] = ["litres", "low", "high"].map(|key| row[key].as_f64().unwrap());
        assert!(low <= litres && litres <= high, "{row}");
        litres
    };
    for (limit, wanted) in
        [("ammonia", 1710.8), ("clearing", 281.4), ("turnover", 168.5), ("full_cycle", 183.3)]
    {
        assert!((of(limit) / wanted - 1.0).abs() < 0.01, "{limit}: {}", of(limit));
    }
    assert_eq!((&build["suits_limit"], build["suits"].as_array().unwrap().len()), (&"clearing".into(), 12));
    let text = told(&["suits", restacked, "--as-found", "--dirt", "--samples", "64"]);
    assert!(
        text.starts_with("Suits up to 281 l (") && text.contains("by clearing, normal stocking."),
        "{text}"
    );
    assert!(text.contains("monthly") && text.contains("common practice without a source"), "{text}");
}

#[test]
fn a_build_of_a_file_can_be_asked_for_by_itself() {
    let one = json(&[
        "table",
        "demo-data/tamsin-1100.ron#restacked",
        "demo-data/orrin-900.ron",
        "--samples",
        "0",
        "--format",
        "json",
    ]);
    let builds = one["builds"].as_array().unwrap();
    let of = |filter: &str| builds.iter().filter(|b| b["filter"] == filter).count();
    assert_eq!((of("Tamsin 1100"), builds.len() - of("Tamsin 1100")), (1, of("Orrin 900")));
    let wrong = cansift(&["table", "demo-data/tamsin-1100.ron#restaked"]);
    assert_eq!(wrong.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&wrong.stderr).contains("restacked"));
}

/// Of one build too there is something to measure next: what explains most of its scatter.
#[test]
fn one_build_has_something_to_measure_next() {
    let tank = ["--tank", "demo-data/tanks/reading-room.ron"];
    let text = told(&[&["next", "demo-data/tamsin-1100.ron#restacked"][..], &tank].concat());
    assert!(text.contains("measure next") && text.contains("clearing") && text.contains("how"), "{text}");
    assert!(text.lines().any(|line| line.contains("Tamsin 1100: ")), "{text}");
    let several = told(&[&["next", "demo-data", "--samples", "64"][..], &tank].concat());
    assert!(
        several.contains("changes the choice") || several.contains("Nothing that can be measured"),
        "{several}"
    );
}
