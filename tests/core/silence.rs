//! What a file leaves out is unknown, not perfect: it is assumed, widely, and it says so.

use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use crate::filters::{Chance, any_file};
use cansift::assess::case::Case;
use cansift::assess::monte_carlo::simulate;
use cansift::assess::{Assessment, judge};
use cansift::compare::better::SURE;
use cansift::compare::ranking::Standing;
use cansift::library::{Library, demo, demo_tanks};
use cansift::measures::{Measure, Outcome};
use cansift::model::filter::{Filter, Impeller};
use cansift::model::tank::Tank;
use cansift::profile::read_filter;
use cansift::profile::write::write;
use cansift::uncertainty::sampling::{Column, Draws};
use cansift::uncertainty::uncertain::{Nominal, Provenance, Spread};

fn read(id: &str, text: &str) -> Arc<Filter> {
    let read = read_filter(Path::new(&format!("{id}.ron")), text, Library::shipped());
    read.map_err(|broken| broken.problems.into_iter().map(|p| p.rendered).collect::<String>()).unwrap().filter
}

fn reading_room() -> Arc<Tank> {
    demo_tanks().into_iter().find(|sound| sound.tank.name.starts_with("reading")).unwrap().tank
}

/// A filter of which all is told, or nothing of seals, edge gaps, grids and fittings. What is told is what is
/// assumed at the middle: the two have nearly the same nominal figures.
fn twin(id: &str, tells: bool) -> Arc<Filter> {
    let said = |told: &'static str| if tells { told } else { "" };
    let (slack, tray) = (
        said(", slack: measured(mm(0.7))"),
        said(", grid: measured(0.45), seal: lip(gap: measured(mm(0.08)))"),
    );
    let intake = said(
        "intake: [strainer(), connector(bore: measured(mm(12.5))), tap(bore: measured(mm(12.5))), elbow(2)],",
    );
    let outlet = said(
        "return: [tap(bore: measured(mm(12.5))), connector(bore: measured(mm(12.5))), elbow(2), outlet(jet(bore: measured(mm(12.8))))],",
    );
    let tray = format!(
        "Tray(shape: rect(width: measured(mm(180)), depth: measured(mm(150))), height: measured(mm(80)){tray})"
    );
    read(
        id,
        &format!(
            "Filter(format: 1, name: \"{id}\", pump: Pump(curve: ends(flow: measured(l_h(1100)), head: measured(m(1.7))), power: w(18)),
             hose: Hose(bore: measured(mm(16))), {intake} {outlet}
             body: Body(outside: (width: mm(235), depth: mm(200), height: mm(410)), dry_mass: kg(4.2), head_space: l(1),
                 floor: Floor(shape: rect(width: mm(180), depth: mm(150)), height: mm(20)),
                 down_tube: (bore: measured(mm(22)), length: mm(300), joint: none)),
             trays: [{tray}, {tray}, {tray}],
             builds: [Build(name: \"stack\", trays: [
                 [Layer(media: \"foam-20\", depth: mm(40){slack}), Layer(media: \"foam-30\", depth: mm(30){slack})],
                 [Layer(media: \"sintered-lump-20\", fill: rest)], [Layer(media: \"sintered-lump-20\", fill: rest)]])])"
        ),
    )
}

fn told(filter: &Filter, tank: &Tank, draws: &Draws) -> Assessment {
    let cases = simulate(&Case::new(filter, &filter.builds[0], Some(tank)), draws, &AtomicBool::new(false));
    judge(filter, 0, Some(tank)).with(Some(cases.unwrap().into()))
}

#[test]
fn who_is_silent_has_wider_bands_and_is_told_what_to_measure() {
    let (silent, telling, tank) = (twin("silent", false), twin("telling", true), reading_room());
    for seed in [1_u64, 7, 23] {
        let draws = Draws::new(512, seed);
        let both = [&silent, &telling].map(|filter| told(filter, &tank, &draws));
        for measure in [Measure::Flow, Measure::FilteredFlow, Measure::Bypass] {
            let [wide, narrow] = both.each_ref().map(|one| {
                let band = one.band(measure).unwrap();
                band.high - band.low
            });
            assert!(wide > 1.15 * narrow, "{seed} {}: {wide} {narrow}", measure.key());
        }
        let standing = Standing::new(&both.iter().collect::<Vec<_>>(), &tank, seed);
        let [silent_first, telling_first] = [0, 1].map(|n| standing.rank(n).unwrap().first());
        assert!(silent_first < telling_first - 0.2, "{seed}: {silent_first} {telling_first}");
        let cases = [&silent, &telling].map(|filter| Case::new(filter, &filter.builds[0], Some(&*tank)));
        let first = standing.measure_first(&draws, &cases);
        let named: Vec<String> = first.top.iter().map(|gain| gain.key.name()).collect();
        assert!(named.iter().any(|name| name.starts_with("silent/")), "{seed}: {named:?}");
    }
}

/// A file without these fields, wherever they stand, each told by what it begins with: written by the program, so
/// without comments.
fn without(text: &str, fields: &[&str]) -> String {
    let mut left = text.to_owned();
    for field in fields {
        let mut from = 0;
        while let Some(found) = left[from..].find(field).map(|at| from + at) {
            let own = !left[..found].ends_with(|letter: char| letter.is_alphanumeric() || letter == '_');
            let (mut deep, mut end) = (0, None);
            for (at, letter) in left[found..].char_indices() {
                match letter {
                    '(' | '[' => deep += 1,
                    ')' | ']' if deep > 0 => deep -= 1,
                    ')' | ']' => end = Some(found + at),
                    ',' if deep == 0 => end = Some(found + at + 1),
                    _ => {}
                }
                if end.is_some() {
                    break;
                }
            }
            let end = end.unwrap();
            if own {
                left.replace_range(found..end, "");
            }
            from = if own { found } else { end };
        }
    }
    left
}

/// The demo's filters and some by chance, each with a copy that is silent about seals, edge gaps, grids and fittings.
fn with_silent_copies() -> Vec<(Arc<Filter>, Arc<Filter>)> {
    let mut chance = Chance(0x51_1E47);
    let files = demo().filters.into_iter().map(|sound| {
        let filter = sound.filter;
        (filter.id.clone(), write(&filter, &filter.builds, ""))
    });
    let by_chance = (0..8).map(|i| (format!("chance-{i}"), any_file(&mut chance)));
    let copies = files.chain(by_chance).map(|(id, text)| {
        let silent = without(&text, &["seal: ", "slack: ", "grid: ", "intake: [", "return: ["]);
        (read(&id, &text), read(&format!("{id}-silent"), &silent))
    });
    copies.collect()
}

/// A build of a filter at a tank, in these draws.
fn drawn(filter: &Filter, build: usize, tank: &Tank, draws: &Draws) -> Assessment {
    let case = Case::new(filter, &filter.builds[build], Some(tank));
    let cases = simulate(&case, draws, &AtomicBool::new(false)).unwrap();
    judge(filter, build, Some(tank)).with(Some(cases.into()))
}

/// Against itself, had it told the medians of what is assumed: all else is the same, so what is left is its silence.
/// What is assumed is skew and worth bends, so that its mean score may lie some points of a hundred beside that of the
/// medians; more would be a prize for silence.
#[test]
fn silence_widens_the_bands_and_wins_next_to_nothing() {
    let draws = Draws::new(128, 5);
    let (mut won, mut narrower, mut firsts) = (Vec::new(), Vec::new(), Vec::new());
    for (_, silent) in with_silent_copies() {
        for tank in demo_tanks() {
            for build in 0..silent.builds.len().min(2) {
                let quiet = drawn(&silent, build, &tank.tank, &draws);
                let Some(cases) = quiet.simulated.as_ref().filter(|cases| cases.failed == 0) else {
                    continue;
                };
                let made = cases.keys.iter().filter(|key| key.made_by().is_some());
                let told = draws.replaced(made.map(|key| (key.hash(), Column::chosen(vec![0.0; 128]))));
                let loud = drawn(&silent, build, &tank.tank, &told);
                for measure in [Measure::Flow, Measure::Clearing] {
                    let of = |one: &Assessment| {
                        one.band(measure).map(|band| (band.high - band.low) / band.median).unwrap()
                    };
                    if of(&quiet) <= of(&loud) {
                        narrower.push((silent.id.clone(), build, measure, of(&quiet) / of(&loud)));
                    }
                }
                let standing = Standing::within(&[&quiet, &loud], &tank.tank, &[], 5);
                let (Some(quiet), Some(loud)) = (standing.rank(0), standing.rank(1)) else { continue };
                firsts.push(quiet.first());
                if quiet.mean > loud.mean + 0.05 {
                    won.push((silent.id.clone(), build, tank.tank.name.clone(), quiet.mean - loud.mean));
                }
            }
        }
    }
    let pairs = firsts.len();
    // Where a filter clears hardly anything by what is told the band is a wide one already: a few of its kind.
    assert!(pairs > 60 && narrower.len() * 20 < pairs * 2 * 3, "{pairs} {narrower:?}");
    assert!(narrower.iter().all(|(.., share)| *share > 0.9), "{narrower:?}");
    assert!(won.is_empty(), "{} of {pairs}: {won:?}", won.len());
    // The order is that of first places: on the whole silence loses them, and it never has so many that it is called better.
    firsts.sort_unstable_by(f64::total_cmp);
    let (mean, most) = (firsts.iter().sum::<f64>() / pairs as f64, firsts.last().unwrap());
    println!(
        "a silent copy is first in {:.0} of 100 cases in the mean, {:.0} at most",
        100.0 * mean,
        100.0 * most
    );
    assert!(mean < 0.48 && *most < SURE, "{mean} {most}");
    assert!(firsts.iter().filter(|share| **share > 0.6).count() <= 1, "{firsts:?}");
}

/// Against the file as it is. Where what is told is worse than what is assumed, the silent copy may come first, by as
/// much as its figures at the middle are better; what is skew in the doubt moves a mean by three points of a hundred.
#[test]
fn a_silent_copy_leads_by_no_more_than_its_figures_are_better() {
    let draws = Draws::new(128, 5);
    let (mut pairs, mut named, mut its_own) = (0, 0, 0);
    for (telling, silent) in with_silent_copies() {
        for tank in demo_tanks() {
            for build in 0..telling.builds.len().min(2) {
                let both = [&silent, &telling].map(|filter| drawn(filter, build, &tank.tank, &draws));
                let standing = Standing::within(&both.iter().collect::<Vec<_>>(), &tank.tank, &[], 5);
                let (Some(quiet), Some(loud)) = (standing.rank(0), standing.rank(1)) else { continue };
                pairs += 1;
                let (leads, better) = (quiet.mean - loud.mean, (quiet.score - loud.score).max(0.0));
                assert!(leads < better + 0.03, "{} {build} {}: {leads} {better}", telling.id, tank.tank.name);
                let cases = [&silent, &telling].map(|f| Case::new(f, &f.builds[build], Some(&*tank.tank)));
                let first = standing.measure_first(&draws, &cases).top;
                named += usize::from(!first.is_empty());
                its_own += usize::from(first.iter().any(|gain| gain.key.made_by().is_some()));
            }
        }
    }
    println!("{pairs} pairs, something to measure first in {named}, left out by the file in {its_own}");
    assert!(pairs > 60 && named > 25 && its_own * 10 > named * 4, "{pairs} {named} {its_own}");
}

/// A file that tells what is printed on a box, as a keeper would begin with.
const MARL: &str = include_str!("../good_input/marl-900.ron");

#[test]
fn a_box_and_three_numbers_are_a_profile() {
    let marl = read("marl-900", MARL);
    // By hand from the laws of what is left out: 3 trays of 0.56 × 390 mm, of 0.78 × 0.88 of the outside.
    let tray = &marl.trays[2];
    let close = |a: f64, b: f64| assert!((a / b - 1.0).abs() < 0.01, "{a} {b}");
    close(tray.height.si(), 0.56 * 0.390 / 3.0);
    close(tray.shape.plan::<f64>(tray.height.si(), &Nominal).area, (0.78 * 0.22_f64).powi(2) * 0.88);
    close(tray.seal.as_ref().unwrap().gap.si(), 0.08e-3);
    close(marl.hose.bore.si(), 0.016);
    close(marl.pump.power.as_ref().unwrap().si(), 0.017 * 900.0);
    close(marl.body.dry_mass.as_ref().unwrap().si(), 0.2 * 22.0 * 22.0 * 39.0 * 1e-3);
    close(marl.body.down_tube.as_ref().unwrap().bore.si(), 1.4 * 0.016);
    let slack = marl.builds[0].trays[0][0].slack.as_ref().unwrap();
    assert_eq!(slack.spread, Spread::Triangular { low: 0.0, high: 3e-3 });
    assert_eq!(slack.known, Provenance::Assumed);
    assert!(marl.builds[0].trays[1][0].slack.is_none(), "loose media close on the wall");
    // Every measure is a wide figure or says why it is none.
    let tank = reading_room();
    let judged = told(&marl, &tank, &Draws::new(256, 1));
    for measure in Measure::ALL {
        let untold = matches!(judged.outcome(measure), Outcome::Missing(_));
        assert!(untold != judged.outcome(measure).number().is_some(), "{}", measure.key());
    }
    for measure in
        [Measure::Flow, Measure::Clearing, Measure::OpeningInterval, Measure::SuitsUpTo, Measure::FullWeight]
    {
        let band = judged.band(measure).unwrap();
        assert!(band.high > 1.2 * band.low, "{}: {band:?}", measure.key());
    }
}

#[test]
fn none_says_that_there_is_no_such_thing() {
    let none = "Filter(format: 1, name: \"x\", label: Label(flow: l_h(900)), intake: none, return: [],
        body: Body(floor: none, down_tube: none),
        trays: [Tray(shape: round(diameter: mm(180)), height: mm(80), grid: none, seal: none)],
        builds: [Build(name: \"b\", trays: [[Layer(media: \"foam-20\", depth: mm(40), slack: none)]])])";
    let x = read("x", none);
    assert!(
        x.intake.is_empty()
            && x.return_side.is_empty()
            && matches!(x.outlet, cansift::model::hoses::Outlet::Open)
    );
    assert!(x.body.floor.is_none() && x.body.down_tube.is_none());
    assert!(
        x.trays[0].grid.is_none() && x.trays[0].seal.is_none() && x.builds[0].trays[0][0].slack.is_none()
    );
}

#[test]
fn age_wears_what_nobody_tells_of() {
    let with =
        |unit: &str| read("x", &MARL.replace("trays: count(3),", &format!("trays: count(3), unit: {unit},")));
    let impeller = |unit: &str| with(unit).unit.as_ref().unwrap().impeller.clone();
    let Impeller::Aged { yearly, years } = impeller("Unit(age: year(10))") else { panic!("by its age") };
    assert!((yearly.si() - 0.012).abs() < 1e-12 && (years - 10.0).abs() < 1e-9);
    assert_eq!(yearly.spread, Spread::TriangularLog { low: 0.004, high: 0.03 });
    assert!((impeller("Unit(age: year(10))").share().unwrap() - 0.88).abs() < 1e-9);
    assert!((impeller("Unit(age: year(60))").share().unwrap() - 0.6).abs() < 1e-9);
    assert_eq!(impeller("Unit(asking: 5)"), Impeller::New);
    // 0.08 mm and 0.04 mm for each year past two, at most 0.5 mm.
    let gap = |unit: &str| with(unit).trays[0].seal.as_ref().unwrap().gap.si() * 1e3;
    assert!(
        (gap("Unit(age: year(1))") - 0.08).abs() < 1e-9 && (gap("Unit(age: year(5))") - 0.20).abs() < 1e-9
    );
    assert!((gap("Unit(age: year(40))") - 0.5).abs() < 1e-9);
}
