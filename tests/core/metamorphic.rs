//! What must not matter does not: units written otherwise, names, the order of builds, and fittings, holes and gaps
//! that are not there. Files by chance; `FUZZ_SEED` takes others.

use std::path::Path;
use std::sync::atomic::AtomicBool;

use cansift::assess::Assessment;
use cansift::assess::case::Case;
use cansift::assess::monte_carlo::simulate;
use cansift::library::Library;
use cansift::measures::{Measure, Outcome};
use cansift::model::filter::{Build, Filter};
use cansift::model::hoses::Fitting;
use cansift::profile::read_filter;
use cansift::profile::write::write;
use cansift::uncertainty::sampling::Draws;
use cansift::units::KINDS;

use crate::filters::{Chance, any_filter, fig, tank};

const FILES: usize = 300;
/// Last bits of a factor may move the last step of a search; a mistake in a unit would be a factor.
const LAST_BITS: f64 = 1e-6;

fn read(name: &str, text: &str) -> Option<Filter> {
    read_filter(Path::new(name), text, Library::shipped()).ok().map(|sound| (*sound.filter).clone())
}

/// Files that the door takes, each with its text; two builds, the second of them with its layers the other way round.
fn files(mut each: impl FnMut(usize, &Filter, &str)) {
    let seed = std::env::var("FUZZ_SEED").ok().and_then(|seed| seed.parse().ok()).unwrap_or(0x18_0018);
    let (mut chance, mut taken) = (Chance(seed), 0);
    for tries in 0.. {
        assert!(tries < 40 * FILES, "hardly any file is taken: {taken}");
        let made = any_filter(&mut chance);
        let mut second = Build { name: "turned".into(), ..made.builds[0].clone() };
        second.trays.iter_mut().for_each(|layers| layers.reverse());
        let text = write(&made, &[made.builds[0].clone(), second], "");
        let Some(filter) = read("by-chance.ron", &text) else { continue };
        each(taken, &filter, &text);
        taken += 1;
        if taken == FILES {
            return;
        }
    }
}

/// The figures of a build, and its bands in a few draws.
fn told(filter: &Filter, build: usize, bands: bool) -> Vec<(Measure, Outcome, Option<[u64; 2]>)> {
    let (tank, build) = (tank(), &filter.builds[build]);
    let case = Case::new(filter, build, Some(&tank));
    let cases = bands.then(|| simulate(&case, &Draws::new(16, 1), &AtomicBool::new(false)).unwrap());
    let judged = Assessment::measured(filter, build, Some(&tank));
    let band = |m: Measure| Some(cases.as_ref()?.band(m)?).map(|b| [b.low, b.high].map(f64::to_bits));
    Measure::ALL.into_iter().map(|m| (m, judged.outcome(m), band(m))).collect()
}

/// The same figures, but for last bits.
#[track_caller]
fn alike(a: &Filter, b: &Filter, what: &str) {
    for build in 0..a.builds.len() {
        for ((measure, x, _), (_, y, _)) in told(a, build, false).into_iter().zip(told(b, build, false)) {
            let same = match (x, y) {
                (Outcome::Value(x), Outcome::Value(y)) => (x - y).abs() <= LAST_BITS * x.abs().max(1e-6),
                (x, y) => x == y,
            };
            assert!(same, "{what}: {}: {x:?} and {y:?}", measure.key());
        }
    }
}

/// Every figure of a text in another unit of its kind, by chance.
fn in_other_units(text: &str, chance: &mut Chance) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some(open) = rest.find('(') {
        let (before, after) = rest.split_at(open);
        let start = before.rfind(|c: char| !(c.is_ascii_alphanumeric() || c == '_')).map_or(0, |at| at + 1);
        let (lead, name) = before.split_at(start);
        let kind = KINDS.iter().find(|(_, units)| units.iter().any(|unit| unit.name == name));
        let number = after[1..].find(')').and_then(|end| Some((end, after[1..=end].parse::<f64>().ok()?)));
        let (Some((_, units)), Some((end, number))) = (kind, number) else {
            out.push_str(&rest[..=open]);
            rest = &rest[open + 1..];
            continue;
        };
        let si = units.iter().find(|unit| unit.name == name).unwrap().to_si(number);
        let other = units[chance.below(units.len())];
        out.push_str(&format!("{lead}{}({:?})", other.name, other.from_si(si)));
        rest = &after[end + 2..];
    }
    out + rest
}

#[test]
fn units_are_only_a_way_of_writing() {
    let mut chance = Chance(18);
    files(|i, filter, text| {
        let other = in_other_units(text, &mut chance);
        assert_ne!(other, text);
        // A bound may be passed by a last bit; what is read is the same.
        let read = read("by-chance.ron", &other).unwrap_or_else(|| panic!("file {i} is refused:\n{other}"));
        alike(filter, &read, &format!("file {i} in other units"));
    });
}

#[test]
fn names_and_the_order_of_builds_change_no_figure() {
    files(|i, filter, text| {
        let called = read("called-otherwise.ron", text).unwrap();
        let text = text
            .replace("\"foam-", "\"sponge-")
            .replace("\"lumps\"", "\"clods\"")
            .replace("\"floss\"", "\"wad\"");
        let media = read("by-chance.ron", &text).unwrap();
        let mut turned = filter.clone();
        turned.builds.reverse();
        for build in 0..2 {
            let plain = told(filter, build, false);
            assert_eq!(plain, told(&called, build, false), "file {i} under another name");
            assert_eq!(plain, told(&media, build, false), "file {i}, media under other names");
            // To the last bit of the doubt.
            if i % 10 == 0 {
                assert_eq!(
                    told(filter, build, true),
                    told(&turned, 1 - build, true),
                    "file {i}, builds turned"
                );
            }
        }
    });
}

#[test]
fn what_is_nothing_does_nothing() {
    files(|i, filter, _| {
        let mut more = filter.clone();
        more.intake.push(Fitting::Elbow { count: fig(0.0, "none") });
        more.return_side.insert(0, Fitting::Elbow { count: fig(0.0, "none") });
        if let Some(tube) = &mut more.body.down_tube {
            tube.joint.get_or_insert_with(|| fig(0.0, "joint"));
        }
        for layer in
            more.builds.iter_mut().flat_map(|b| b.floor.iter_mut().chain(b.trays.iter_mut().flatten()))
        {
            layer.hole.get_or_insert_with(|| fig(0.0, "hole"));
            layer.slack.get_or_insert_with(|| fig(0.0, "slack"));
            layer.squeezed.get_or_insert_with(|| fig(0.0, "squeezed"));
        }
        alike(filter, &more, &format!("file {i} with nothing added"));
    });
}
