//! A unit put right: what `to_fix` names is judged as new, the rest as it is; its cost is the same either way.

use std::path::Path;
use std::sync::Arc;

use cansift::assess::{Assessment, judge};
use cansift::library::{Library, demo, demo_tanks};
use cansift::measures::{Measure, Missing, Outcome};
use cansift::model::filter::{Filter, Impeller, Lamp};
use cansift::model::put_right::State;
use cansift::profile::read_filter;
use cansift::profile::write::write;
use cansift::uncertainty::uncertain::Provenance;

fn tamsin() -> Arc<Filter> {
    Arc::clone(&demo().filters.iter().find(|s| s.filter.id == "tamsin-1100").unwrap().filter)
}

fn judged(filter: &Filter, build: usize) -> Assessment {
    judge(filter, build, Some(&demo_tanks()[0].tank))
}

fn number(of: &Assessment, measure: Measure) -> f64 {
    of.outcome(measure).number().unwrap()
}

#[test]
fn seals_and_lamp_are_new_and_the_price_stays() {
    let found = tamsin();
    let right = found.put_right();
    assert_eq!((found.state(), right.state()), (State::AsFound, State::AfterRepair));
    let gap =
        |filter: &Filter, t: usize| filter.trays[t].seal.as_ref().map(|seal| seal.gap.si() * 1e3).unwrap();
    // A new seal is one of which nobody told: 0.08 mm, 0.02 to 0.24 (our own range, no source).
    assert!((gap(&right, 1) - 0.08).abs() < 1e-9 && (gap(&right, 2) - 0.08).abs() < 1e-9);
    assert_eq!(right.trays[2].seal.as_ref().unwrap().gap.known, Provenance::Assumed);
    // Tray 1 is not named: its seal stays as it was measured.
    assert_eq!(right.trays[0].seal, found.trays[0].seal);
    assert_eq!(
        (right.unit.as_ref().unwrap().lamp, found.unit.as_ref().unwrap().lamp),
        (Lamp::Working, Lamp::BurntOut)
    );
    // The impeller is not named: it stays worn.
    assert_eq!(right.unit.as_ref().unwrap().impeller, found.unit.as_ref().unwrap().impeller);
    let (before, after) = (judged(&found, 1), judged(&right, 1));
    assert_eq!(before.outcome(Measure::UvDose), Outcome::Missing(Missing::LampBurntOut));
    assert!(number(&after, Measure::UvDose) > 1.0);
    assert_eq!(number(&before, Measure::RepairCost), number(&after, Measure::RepairCost));
    assert!(number(&after, Measure::BypassDirty) < number(&before, Measure::BypassDirty));
    // The new lamp burns 7 W and wears out.
    assert!((number(&after, Measure::Power) - number(&before, Measure::Power) - 7.0).abs() < 1e-9);
}

#[test]
fn a_new_impeller_turns_as_a_new_one() {
    let mut filter = Filter::clone(&tamsin());
    let unit = filter.unit.as_mut().unwrap();
    unit.to_fix[0].part = cansift::model::filter::Part::Impeller;
    let right = Arc::new(filter.clone()).put_right();
    assert_eq!(right.unit.as_ref().unwrap().impeller, Impeller::New);
    assert!(number(&judged(&right, 1), Measure::Flow) > number(&judged(&filter, 1), Measure::Flow));
}

#[test]
fn nothing_judged_nothing_put_right() {
    let mut filter = Filter::clone(&tamsin());
    filter.unit.as_mut().unwrap().to_fix.retain(|repair| repair.part.words().contains("nothing"));
    let filter = Arc::new(filter);
    assert!(Arc::ptr_eq(&filter, &filter.put_right()));
    assert_eq!(filter.state(), State::Whole);
    let right = tamsin().put_right();
    assert!(Arc::ptr_eq(&right, &right.put_right()));
}

/// Saved from either state the file says what it said: a unit is not mended by being saved.
#[test]
fn a_file_keeps_the_unit_as_it_is() {
    let found = tamsin();
    let right = found.put_right();
    assert_eq!(write(&right, &right.builds, ""), write(&found, &found.builds, ""));
}

/// A part that was a bare text is read as another part, with a hint; what is wrong is told at its place.
#[test]
fn old_texts_are_read_and_trays_that_are_not_there_refused() {
    let text =
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data/tamsin-1100.ron"))
            .unwrap();
    let read = |fix: &str| {
        let text = text.replace("[(seals([2, 3]), 9.0), (lamp, 18.0)]", fix);
        assert!(text.contains(fix));
        read_filter(Path::new("tamsin-1100.ron"), &text, Library::shipped())
    };
    let old = read("[(\"tray seal set\", 9.0), (\"lamp\", 18.0)]").unwrap();
    let said: Vec<&str> = old.hints.iter().filter_map(|hint| hint.help.as_deref()).collect();
    assert_eq!(
        said,
        [
            "write `other(\"tray seal set\")`, or better `seals([1, 2])`: the next version no longer reads a bare text",
            "write `other(\"lamp\")`, or better `lamp`: the next version no longer reads a bare text",
        ]
    );
    assert_eq!(old.filter.state(), State::Whole);
    let words: Vec<String> = old.filter.unit.iter().flat_map(|u| &u.to_fix).map(|r| r.part.words()).collect();
    assert_eq!(words, ["tray seal set", "lamp"]);
    let none = read("[(seals([2, 4]), 9.0)]").unwrap_err();
    assert_eq!(none.problems[0].message, "`to_fix` names tray 4, but the filter has 3");
    let misspelt = read("[(lmap, 18.0)]").unwrap_err();
    assert_eq!(misspelt.problems[0].help.as_deref(), Some("did you mean `lamp`?"));
}
