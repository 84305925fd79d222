//! Every measure of every build in the demo, explained: the last step of the chain against the measure itself,
//! each step against its neighbours, and six chains of one build to be read.

#![allow(clippy::format_push_string, reason = "a test's page")]

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use cansift::assess::explain::{explain, explain_build};
use cansift::assess::trace::{Eq, Step, Trace, Value};
use cansift::assess::{judge, judge_build};
use cansift::library::Library;
use cansift::measures::{Measure, Outcome, Unit};
use cansift::model::filter::Filter;
use cansift::model::tank::Tank;
use cansift::profile::{read_filter, read_tank};
use cansift::report::explained;
use cansift::report::figures::Units;
use cansift::report::wording::steps::{Worded, steps, templates};
use cansift::report::wording::values;

fn files(folder: &str) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut found: Vec<_> = fs::read_dir(folder)
        .expect("the folder is there")
        .map(|entry| entry.expect("readable").path())
        .filter(|path| path.extension().is_some_and(|e| e == "ron"))
        .collect();
    found.sort();
    found
}

fn filters() -> Vec<Filter> {
    files("demo-data").iter().map(|path| filter(path)).collect()
}

fn filter(path: &Path) -> Filter {
    let text = fs::read_to_string(path).expect("readable");
    let sound = read_filter(path, &text, Library::shipped()).expect("a sound profile");
    Filter::clone(&sound.filter)
}

fn tank(path: &Path) -> Tank {
    let text = fs::read_to_string(path).expect("readable");
    let sound = read_tank(path, &text, Library::shipped()).expect("a sound tank");
    Tank::clone(&sound.tank)
}

fn tanks() -> Vec<Option<Tank>> {
    let mut all: Vec<_> = files("demo-data/tanks").iter().map(|path| Some(tank(path))).collect();
    all.push(None);
    all
}

fn tamsin() -> (Filter, Tank) {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    (filter(&root.join("demo-data/tamsin-1100.ron")), tank(&root.join("demo-data/tanks/reading-room.ron")))
}

/// Every build of the demo at every tank and at none.
fn every(mut look: impl FnMut(&Filter, usize, Option<&Tank>)) {
    for filter in &filters() {
        for build in 0..filter.builds.len() {
            for tank in &tanks() {
                look(filter, build, tank.as_ref());
            }
        }
    }
}

/// Its steps in words, metric.
fn worded(trace: &Trace) -> Vec<Worded> {
    steps(trace, Units::Metric)
}

/// The first number in a text, such as 43 in `43 %`.
fn first_number(text: &str) -> Option<f64> {
    let text = text.replace('−', "-");
    text.split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-')).find_map(|part| part.parse().ok())
}

#[test]
fn the_last_step_of_every_chain_is_the_measure_itself() {
    let mut told = 0;
    every(|filter, build, tank| {
        let judged = judge(filter, build, tank);
        for measure in Measure::ALL {
            let trace = explain_build(filter, &filter.builds[build], tank, measure);
            let place = format!("{} / {} / {}", filter.name, filter.builds[build].name, measure.key());
            assert_eq!(explain(filter, build, tank, measure), trace, "{place}");
            for step in &trace.steps {
                let words = <[&str; 3]>::from(templates(step.eq)).concat();
                assert_eq!(
                    step.parts.len(),
                    words.matches("{}").count(),
                    "{place}: every quantity is told: {step:?}"
                );
            }
            match (judged.outcome(measure).number(), trace.answer) {
                (Some(value), Some((step, worked))) => {
                    let close = |x: f64| (x - value).abs() <= 1e-9 * value.abs().max(1.0);
                    assert!(close(worked), "{place}: {worked} is not {value}");
                    let again = recomputed(&trace, &trace.steps[step]);
                    assert!(close(again), "{place}: from its parts {again}, not {value}");
                    assert_written(measure, value, &worded(&trace)[step].result, &place);
                    told += 1;
                }
                (None, None) => {
                    assert!(!worded(&trace).is_empty(), "{place}: not a word");
                }
                (value, answer) => panic!("{place}: {value:?} is explained as {answer:?}"),
            }
        }
    });
    assert!(told > 500, "only {told} told");
}

/// The measure once more, in its unit, from nothing but the quantities that the steps show.
fn recomputed(trace: &Trace, answer: &Step) -> f64 {
    let numbers = |step: &Step| step.parts.iter().map(|p| p.number().unwrap_or(f64::NAN)).collect::<Vec<_>>();
    let terms = |value: &Value| match value {
        Value::Sum(terms) => terms.iter().map(|t| t.number().unwrap()).sum::<f64>(),
        other => panic!("no sum: {other:?}"),
    };
    let all = |eq: Eq| trace.steps.iter().filter(|s| s.eq == eq).map(numbers).collect::<Vec<_>>();
    let one = |eq: Eq| all(eq).remove(0);
    let x = numbers(answer);
    let flow = 3.6e6;
    match answer.eq {
        // Where it flows so, what the pump gives there is what the parts take there.
        Eq::Flow => {
            let given = one(Eq::HeadGiven);
            let gives = given[0].powi(2) * (given[1] + given[2]);
            let taken: f64 = all(Eq::HeadLost).iter().map(|part| part[2]).sum();
            assert!((gives - taken).abs() <= 1e-6 * gives, "{gives} m against {taken} m");
            x[2] * flow
        }
        Eq::FilteredFlow => {
            let stopped: f64 = all(Eq::Stopped).iter().map(|layer| layer[1] * layer[2]).sum();
            x[0] * stopped * flow
        }
        Eq::Turnover => x[0] * 3600.0 / x[1],
        Eq::Bypass => 1.0 - all(Eq::Stopped).iter().map(|layer| layer[1] * layer[2]).sum::<f64>(),
        Eq::FilteredThen => x[0] * (1.0 - x[1]) * flow,
        // The most until it is opened, which no day before it passes by.
        Eq::BypassThen => {
            assert!(x[2] >= x[0].max(x[1]) - 1e-9, "{x:?}");
            x[2]
        }
        Eq::Interval => {
            let (clearing, by_flow, voids) = (one(Eq::ClearingMark), one(Eq::FlowMark), one(Eq::VoidsMark));
            let fell = |mark: &[f64]| mark[3] / (mark[0] * mark[1]);
            let met = fell(&clearing).min(fell(&by_flow)).min(voids[0] / voids[1]);
            assert!((met - 1.0).abs() < 1e-3, "one mark is just met: {clearing:?} {by_flow:?} {voids:?}");
            x[1]
        }
        Eq::Clearing => x[0] * x[1] * 3600.0 / x[2],
        Eq::CaughtShare => x[0] / (x[1] + x[2]),
        Eq::FlowDirty => x[0] * flow,
        Eq::SuitsUpTo => {
            let ammonia = all(Eq::SuitsAmmonia).first().map_or(f64::INFINITY, |by| by[0]);
            one(Eq::SuitsClearing)[0].min(ammonia) * 1e3
        }
        Eq::WithTank => x[0] + x[1],
        Eq::NitrateOff => x[0] - x[1],
        Eq::Asking | Eq::ByCalendar | Eq::Power => x[0],
        Eq::Capacity => all(Eq::Takes).iter().map(|layer| layer[3]).sum::<f64>() / one(Eq::Tan)[3],
        Eq::OxygenOut => (x[0] - x[1]).max(0.0),
        Eq::NitratePeak => (x[0] + x[1] * x[2] / x[3]).max(0.0),
        Eq::RuleOfThumb => x[0] * x[1] * 1e3,
        Eq::Dose => x[..6].iter().product::<f64>() * 1e3 / (x[6] * 1e6),
        Eq::TraySpace => all(Eq::Room).iter().map(|room| room[1] * room[2] * 1e3).sum(),
        Eq::Media | Eq::BioMedia => all(Eq::Layer).iter().map(|layer| layer[1] * layer[2] * 1e3).sum(),
        Eq::MediaShare => x[0] / x[1],
        Eq::OrderFaults => all(Eq::OrderFault).len() as f64,
        Eq::FullWeight => x[0] + x[1] + x[2] * x[3] * 1e3,
        Eq::Fits => {
            let words = |eq: Eq| {
                trace.steps.iter().find(|s| s.eq == eq).unwrap().parts.last().unwrap() == &Value::from("yes")
            };
            f64::from(u8::from((words(Eq::Straight) || words(Eq::Turned)) && words(Eq::Height)))
        }
        Eq::RepairCost | Eq::FirstYear => terms(&answer.parts[0]),
        other => panic!("no measure ends in {other:?}"),
    }
}

/// The figure in the step's words is the measure's, as closely as it is written.
fn assert_written(measure: Measure, value: f64, written: &str, place: &str) {
    if measure.row().unit == Unit::YesNo {
        assert_eq!(written, if value > 0.5 { "yes" } else { "no" }, "{place}");
        return;
    }
    let number = first_number(written).unwrap_or_else(|| panic!("{place}: no figure in {written}"));
    let value = if measure.row().unit == Unit::Share { value * 100.0 } else { value };
    // Three digits, whole l/h and days, cents, per cent.
    let room = match measure.row().unit {
        Unit::LitresAnHour | Unit::Days | Unit::Share => 0.51_f64.max(value.abs() * 0.006),
        Unit::Money => 0.0051,
        _ => value.abs() * 0.006,
    };
    assert!((number - value).abs() <= room, "{place}: {written} is not {value}");
}

#[test]
fn what_cannot_be_told_says_why_and_what_to_add() {
    every(|filter, build, tank| {
        let judged = judge(filter, build, tank);
        for measure in Measure::ALL {
            let Outcome::Missing(why) = judged.outcome(measure) else { continue };
            let lines = worded(&explain(filter, build, tank, measure));
            if measure == Measure::BypassChance && judged.outcome(Measure::BypassDirty).number().is_some() {
                let last = lines.last().unwrap();
                assert!(last.numbers.contains("--samples"), "{last:?}");
                continue;
            }
            assert!(lines[0].numbers.contains(why.words()), "{}: {:?}", measure.key(), lines[0]);
            assert!(lines[1].formula == "to tell it" && lines[1].numbers.ends_with('.'), "{:?}", lines[1]);
        }
    });
}

#[test]
fn every_text_is_fit_to_print() {
    every(|filter, build, tank| {
        for measure in Measure::ALL {
            let explanation = explain(filter, build, tank, measure);
            let steps = worded(&explanation).into_iter().flat_map(|s| [s.formula, s.numbers, s.result]);
            let value = |v| values::value(v, "EUR", Units::Metric);
            let inputs = explanation.inputs.iter().flat_map(|i| [i.name.clone(), value(&i.value)]);
            for text in steps.chain(inputs) {
                let place = format!("{} {}: {text:?}", filter.name, measure.key());
                assert_eq!(text.trim(), text, "{place}");
                assert!(!text.contains("NaN") && !text.contains("inf ") && !text.contains("  "), "{place}");
            }
            for input in &explanation.inputs {
                assert!(!input.name.is_empty() && !value(&input.value).is_empty(), "{input:?}");
            }
            for step in &worded(&explanation) {
                assert!(!step.formula.is_empty(), "{step:?}");
            }
            let mut names: Vec<_> = explanation.constants.clone();
            names.sort_unstable();
            names.dedup();
            assert_eq!(names.len(), explanation.constants.len(), "{}", measure.key());
        }
    });
}

/// The parts of the head add to what the pump gives, in the figures as written.
#[test]
fn written_heads_add_up() {
    let (filter, tank) = tamsin();
    let lines = worded(&explain(&filter, 0, Some(&tank), Measure::Flow));
    let metres = |text: &str| {
        let number = first_number(text).unwrap();
        if text.contains("mm of water") { number / 1e3 } else { number }
    };
    let parts: f64 =
        lines.iter().filter(|s| s.formula.starts_with("head lost:")).map(|s| metres(&s.result)).sum();
    let given = lines.iter().find(|s| s.formula.starts_with("head given")).unwrap();
    assert!((parts - metres(&given.result)).abs() < 0.005, "{parts} against {}", given.result);
}

/// Steady ammonia stands where the margin says: above 1, the tank stays below the aim.
#[test]
fn a_margin_above_one_means_ammonia_below_the_aim() {
    let mut seen = 0;
    every(|filter, build, tank| {
        let Some(margin) = judge(filter, build, tank).outcome(Measure::AmmoniaCapacity).number() else {
            return;
        };
        let lines = worded(&explain(filter, build, tank, Measure::AmmoniaCapacity));
        let steady = lines.iter().find(|s| s.formula.starts_with("steady ammonia")).unwrap();
        assert_eq!(steady.result.contains("below a kit's resolution"), margin > 1.0, "{margin} {steady:?}");
        seen += 1;
    });
    assert!(seen > 10);
}

/// Emerson et al. 1975: 5.37 % of ammonia is un-ionised at pH 8 and 25 °C.
#[test]
fn the_un_ionised_share_is_told_at_the_tanks_ph() {
    let (filter, mut tank) = tamsin();
    let ph = tank.water.ph.as_mut().unwrap();
    ph.value = cansift::units::Plain::of(8.0);
    let lines = worded(&explain(&filter, 1, Some(&tank), Measure::AmmoniaCapacity));
    let share = lines.iter().find(|s| s.formula.starts_with("un-ionised")).unwrap();
    assert!(share.result.starts_with("5.4 %"), "{share:?}");
    tank.water.ph = None;
    let lines = worded(&explain(&filter, 1, Some(&tank), Measure::AmmoniaCapacity));
    assert!(lines.iter().any(|s| s.formula.starts_with("un-ionised") && s.numbers.contains("ph")));
}

#[test]
fn the_rule_of_thumb_never_stands_alone() {
    every(|filter, build, tank| {
        let lines = worded(&explain(filter, build, tank, Measure::RuleOfThumbTank));
        let all: Vec<String> = lines.iter().map(|s| format!("{} {}", s.formula, s.numbers)).collect();
        let all = all.join("\n");
        assert!(all.contains("common practice, no source"), "{all}");
        assert!(all.contains("physics does not confirm that such media remove all nitrate"), "{all}");
    });
}

#[test]
fn a_build_outside_the_file_and_one_that_is_not_there() {
    let (filter, tank) = tamsin();
    let mut other = filter.builds[1].clone();
    other.name = "another".to_owned();
    other.trays[2].clear();
    let value = judge_build(&filter, &other, Some(&tank)).outcome(Measure::FilteredFlow).number().unwrap();
    let trace = explain_build(&filter, &other, Some(&tank), Measure::FilteredFlow);
    assert!((trace.answer.unwrap().1 - value).abs() < 1e-9 * value);
    for measure in Measure::ALL {
        let lines = worded(&explain(&filter, 99, Some(&tank), measure));
        assert!(!lines.is_empty(), "{}", measure.key());
    }
    let _ = Arc::new(filter);
}

/// With US units nothing is told in litres an hour, millimetres or kilograms: not in the headline alone, but in
/// every step and input. Chemistry stays in mg/l, and so do the litres inside its equations.
#[test]
fn every_step_is_told_in_the_units_that_are_read() {
    let mut seen = 0;
    every(|filter, build, tank| {
        for measure in Measure::ALL {
            let trace = explain(filter, build, tank, measure);
            for line in
                explained::lines(&trace, Units::Us).iter().take_while(|l| *l != "Constants and assumptions")
            {
                // What a medium is called is not ours.
                let names = filter.builds[build].trays.iter().chain([&filter.builds[build].floor]).flatten();
                let line = names.fold(line.clone(), |line, layer| line.replace(&layer.medium.name, "medium"));
                for metric in [" l/h", " mm", " kg", "cm2", " m,", " m ("] {
                    assert!(!line.contains(metric), "{} {}: {line}", filter.name, measure.key());
                }
                seen += usize::from(line.contains("US gal/h"));
            }
        }
    });
    assert!(seen > 100, "{seen}");
}

/// As a reader sees it.
fn page(measure: Measure) -> String {
    let (filter, tank) = tamsin();
    let explanation = explain(&filter, 0, Some(&tank), measure);
    let mut text = String::new();
    for step in &worded(&explanation) {
        text += &format!("{}\n    {}\n    = {}\n", step.formula, step.numbers, step.result);
    }
    text += "went in:\n";
    for input in &explanation.inputs {
        text += &format!(
            "    {}: {} ({})\n",
            input.name,
            values::value(&input.value, &explanation.currency, Units::Metric),
            input.known.word()
        );
    }
    text += "constants:";
    for constant in &explanation.constants {
        text += &format!(" {}", constant.entry().key.trim_start_matches("model/"));
    }
    text + "\n"
}

#[test]
fn six_telling_chains_to_be_read() {
    for measure in [
        Measure::Flow,
        Measure::Bypass,
        Measure::OpeningInterval,
        Measure::AmmoniaCapacity,
        Measure::RuleOfThumbTank,
        Measure::FirstYearCost,
    ] {
        insta::assert_snapshot!(format!("as_bought_{}", measure.key()), page(measure));
    }
}
