//! The three people the program is for, each walked through from what they come with to what they want to leave
//! with, through the real binary: a reviewer ranking filters, somebody on a forum answering "what should I buy?",
//! a hobbyist between two second-hand units.

use std::fs;
use std::path::Path;

use crate::binary::told;
use cansift::report::answer::say;
use serde_json::Value;

fn json(folder: &Path, args: &[&str]) -> Value {
    serde_json::from_str(&told(folder, &[args, &["--format", "json"]].concat())).unwrap()
}

/// A desk with copies of some of the demo's files and a tank.
fn desk(files: &[&str], tank: &str) -> tempfile::TempDir {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data");
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join("filters")).unwrap();
    for file in files {
        fs::copy(demo.join(file), folder.path().join("filters").join(file)).unwrap();
    }
    fs::copy(demo.join("tanks").join(tank), folder.path().join("tank.ron")).unwrap();
    folder
}

/// Words on one line, wherever the page broke them.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Leaves with: a ranking that survives the doubt, its reasons, pictures and a table to publish.
#[test]
fn the_reviewer_leaves_with_a_ranking_and_a_page_to_publish() {
    let files = [
        "bramtoft-1400.ron",
        "marrick-1800.ron",
        "orrin-900.ron",
        "pelworth-1000-attic.ron",
        "pelworth-1000-market.ron",
        "selwick-1200-uv.ron",
        "tamsin-1100.ron",
    ];
    let desk = desk(&files, "cafe-window.ron");
    let at = desk.path();
    // What counts for these fish, in the reviewer's eyes.
    let tank = fs::read_to_string(at.join("tank.ron")).unwrap();
    let weighed = "priorities: {\"ammonia_capacity\": 2.0, \"filtered_flow\": 1.0, \"opening_interval\": 1.0, \
        \"bypass_chance\": 1.0, \"full_weight\": 0.5}, requirements: [";
    // Shops' prices are not asked for: a budget nobody can hold against them would leave it open.
    let tank = tank.replace("requirements: [", weighed).replace("budget: 300.0, ", "");
    fs::write(at.join("tank.ron"), tank).unwrap();
    // First: can all of them be read?
    assert!(told(at, &["check", "filters", "tank.ron"]).contains("tamsin-1100.ron"));
    // A ranking: the winner beats the second over the same draws, whatever the seed.
    let rank = ["rank", "filters", "--tank", "tank.ron"];
    let ranked = json(at, &rank);
    let first = &ranked["builds"][0];
    assert_eq!(first["filter"], "Marrick 1800");
    assert!(first["first"].as_f64().unwrap() >= 0.8 && first["passes"].as_f64().unwrap() > 0.95, "{first}");
    for seed in ["2", "3"] {
        let again = json(at, &[&rank[..], &["--seed", seed]].concat());
        assert_eq!(again["builds"][0]["filter"], first["filter"], "survives other draws");
    }
    let out: Vec<&Value> =
        ranked["builds"].as_array().unwrap().iter().filter(|b| b["ruled_out"] == true).collect();
    let fails = |b: &Value, measure: &str| {
        let asked = b["requirements"].as_array().unwrap();
        asked.iter().any(|r| r["measure"] == measure && r["passes"] == false)
    };
    assert!(out.iter().any(|b| b["filter"] == "Tamsin 1100" && fails(b, "ammonia_capacity")));
    // Its reasons: why the library's filter is so much better restacked; the shares add up.
    let two = ["filters/tamsin-1100.ron#as bought", "filters/tamsin-1100.ron#restacked"];
    let diff = json(at, &["diff", two[0], two[1], "--tank", "tank.ron", "--measure", "filtered_flow"]);
    let apart = diff["differences"][0]["to_first"][0].as_f64().unwrap();
    let shares: f64 =
        diff["why"][0]["shares"].as_array().unwrap().iter().map(|s| s["amount"].as_f64().unwrap()).sum();
    assert!(apart > 300.0 && (shares - apart).abs() < 1e-3 * apart, "{diff}");
    assert_eq!(diff["differences"][0]["verdicts"][0]["called"], "better");
    // To publish: a post that needs no touching up, and a page with pictures.
    let post = told(at, &[&rank[..], &["--format", "bbcode"]].concat());
    assert!(post.contains("[code]") && post.contains("Marrick 1800 · restacked"));
    told(at, &["report", "filters", "--tank", "tank.ron", "--to", "article", "--top", "15"]);
    let page = fs::read_to_string(at.join("article/report.html")).unwrap();
    for said in ["of 100", "Measure next", "how sure", "Ruled out by a requirement of this tank"] {
        assert!(page.contains(said), "{said}");
    }
    assert!(page.matches("<svg").count() >= 15 * 3, "section, curve and weeks of fifteen builds");
    assert!(!page.contains("<script") && !page.contains("src=\"http"));
    let rows = fs::read_to_string(at.join("article/table.csv")).unwrap().lines().count();
    assert_eq!(rows, 16, "a head and fifteen builds");
    let data: Value =
        serde_json::from_str(&fs::read_to_string(at.join("article/data.json")).unwrap()).unwrap();
    assert_eq!(data["builds"].as_array().unwrap().len(), 15);
    told(at, &["draw", two[1], "--tank", "tank.ron", "--to", "tamsin.svg"]);
    let picture = fs::read_to_string(at.join("tamsin.svg")).unwrap();
    assert!(roxmltree::Document::parse(&picture).is_ok() && picture.contains("sintered porous lumps"));
}

/// Leaves with: a short list with reasons and caveats, as text to paste.
#[test]
fn the_helper_leaves_with_a_reply_to_paste() {
    // Somebody's tank, stock, cabinet and budget, as they wrote it.
    let desk = desk(
        &["dunlow-300.ron", "orrin-900.ron", "selwick-1200-uv.ron", "tamsin-1100.ron"],
        "reading-room.ron",
    );
    let at = desk.path();
    fs::write(
        at.join("asked.ron"),
        r#"Tank(
            format: 1, name: "asked on the forum",
            volume: l(200), water: Water(temperature: degc(25)),
            stock: normal,
            water_change: (share: 0.25, every: day(7)),
            budget: 140.0, currency: "EUR", power_price: 0.30,
            cabinet: (width: mm(400), depth: mm(350), height: mm(600)),
            requirements: [fits_cabinet(), at_most("first_year_cost", 260)],
        )"#,
    )
    .unwrap();
    told(at, &["check", "asked.ron"]);
    let post = told(at, &["answer", "filters", "--tank", "asked.ron", "--format", "bbcode"]);
    // The tank as it was told, and what had to be assumed, in one clause.
    assert!(post.starts_with("For 200 l, normally stocked, "), "{post}");
    assert!(post.contains("assuming 1.1 g of food a day and 1.5 m of hose each way"), "{post}");
    // One pick that stands out, with figures that the table has too, and never more words than a reader takes.
    assert!(post.contains("[b]") && say::of(&post) <= 120, "{post}");
    for said in
        ["The catch: ", "it suits tanks up to ", "until a week's food is weighed", "unplug before opening"]
    {
        assert!(post.contains(said), "`{said}` in {post}");
    }
    let full = told(at, &["answer", "filters", "--tank", "asked.ron", "--format", "bbcode", "--full"]);
    let list = full.split("[code]\n").nth(1).unwrap().split("[/code]").next().unwrap();
    for name in ["Dunlow 300", "Tamsin 1100", "Orrin 900", "Selwick 1200"] {
        let first = list.split("\n\n").next().unwrap();
        assert!(first.matches(name).count() <= 1, "each unit once: {list}");
    }
    let table = json(at, &["table", "filters", "--tank", "asked.ron"]);
    let mut found = 0;
    for build in table["builds"].as_array().unwrap() {
        let title = format!("{} · {}", build["filter"].as_str().unwrap(), build["build"].as_str().unwrap());
        let lines: Vec<&str> = list.lines().filter(|line| line.starts_with(&title)).collect();
        if !lines.is_empty() {
            let suits = build["measures"]["suits_up_to"]["value"].as_f64().unwrap();
            assert!(lines.concat().contains(&format!(" {suits:.0} (")), "{lines:?}");
            found += 1;
        }
    }
    assert_eq!(found, 3);
    // What to check and do, cautions.
    for said in
        ["To buy: ", "[b]Before paying[/b]", "Unplug", "no licence to overstock", "Largest tank by stocking"]
    {
        assert!(full.contains(said), "`{said}` in {full}");
    }
    // Nothing that only a terminal reads.
    assert!(![&post, &full].iter().any(|text| text.contains("cansift") || text.contains("--")), "{post}");
}

/// Leaves with: which one, what it costs to put right, what to check before paying, how to stack it.
#[test]
fn the_hobbyist_leaves_knowing_which_of_two_adverts() {
    let desk = desk(&["pelworth-1000-attic.ron", "pelworth-1000-market.ron"], "reading-room.ron");
    let at = desk.path();
    let (attic, market) = ("filters/pelworth-1000-attic.ron", "filters/pelworth-1000-market.ron");
    let tank = ["--tank", "tank.ron"];
    // The seller of the second lets him run it: ten litres in 54 seconds, media out, ends level.
    let bucket = ["wear", market, "--bucket", "10", "--seconds", "54", "--intake", "1", "--return", "1"];
    let worn = flat(&told(at, &[&bucket[..], &["--bends", "0"], &tank].concat()));
    let share: f64 =
        worn.split("the impeller gives ").nth(1).unwrap().split(' ').next().unwrap().parse().unwrap();
    assert!((85.0..100.0).contains(&share), "{worn}");
    assert!(worn.contains("bucket: Bucket(volume: measured(l(10.0)), time: measured(s(54.0))"), "{worn}");
    // How to stack the first, kept as a build of a new file.
    let named = format!("{attic}#as advertised");
    let media = "foam-10,foam-20,foam-30,floss,ceramic-ring-12,ceramic-ring-porous-15,sintered-lump-12";
    let restack =
        ["restack", &named, "--with", media, "--top", "1", "--samples", "64", "--save", "attic2.ron"];
    let proposed = told(at, &[&restack[..], &tank].concat());
    assert!(proposed.contains("buy: ") && proposed.contains("tray 1"), "{proposed}");
    assert!(told(at, &["check", "attic2.ron"]).contains("attic2.ron"));
    // Side by side, as they would stand.
    let both = [format!("{attic}#restacked"), format!("{market}#restacked with what came along")];
    let diff = json(at, &[&["diff", &both[0], &both[1]][..], &tank].concat());
    let of = |key: &str| {
        let all = diff["differences"].as_array().unwrap();
        all.iter().find(|d| d["measure"] == key).unwrap_or_else(|| panic!("{key}"))["verdicts"][0]["called"]
            .clone()
    };
    assert_eq!(of("first_year_cost"), "better");
    assert_eq!(of("filtered_flow"), "unsure", "the flow alone decides nothing");
    // Which one: put right, and all the more as they are.
    let ranked = json(at, &[&["rank", "filters"][..], &tank].concat());
    assert_eq!(ranked["builds"][0]["filter"], "Pelworth 1000 (market)");
    let ranked = json(at, &[&["rank", "filters", "--as-found"][..], &tank].concat());
    assert_eq!(ranked["builds"][0]["filter"], "Pelworth 1000 (market)");
    assert!(ranked["builds"][0]["first"].as_f64().unwrap() > 0.8);
    // All of it in one reply.
    let text = told(at, &[&["answer", "filters", "--full"][..], &tank].concat());
    let said = flat(&text);
    assert!(said.contains("the Pelworth 1000 (market), restacked with what came along"), "{text}");
    let right = &diff["builds"][1]["measures"]["repair_cost"]["value"].as_f64().unwrap();
    assert!(
        said.contains(&format!("come to {right:.0} EUR, {:.0} EUR with the price", 55.0 + right)),
        "{text}"
    );
    // That one was timed already; what is still open is the fit of its pads.
    let pay = flat(text.split_once("Before paying").unwrap().1);
    assert!(pay.contains("edge gap"), "{text}");
    for seen in [
        "seals of trays 3 and 4 (6 EUR)",
        "Stack from the bottom: tray 1 foam-20 50 mm",
        "Unplug before opening",
    ] {
        assert!(said.contains(seen), "`{seen}` in {text}");
    }
}
