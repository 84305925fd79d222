//! The Sources screen: everything behind the figures is there, is found, and says which measures use it.

use std::sync::Arc;
use std::time::{Duration, Instant};

use crate::demo::{SIZES, draw, form, hooks};
use crate::things::{self, press};
use cansift::app::effect::Effect;
use cansift::app::jobs::Jobs;
use cansift::app::screens::sources;
use cansift::app::state::State;
use cansift::app::state::sources::Part;
use cansift::app::tabs::Tab;
use cansift::app::update::update;
use cansift::assumptions::{A, Kind};
use cansift::library::Library;
use cansift::measures::Measure;
use cansift::ui::plain;

/// The Sources screen of the demo.
fn looked(size: (u16, u16)) -> State {
    let mut s = form(size);
    let effects = press(&mut s, "g7");
    assert!(effects.contains(&Effect::Uses));
    let jobs = Jobs::new(hooks(), 1);
    let builds = s.entries.iter().take(6).map(|e| (Arc::clone(&e.filter), e.build)).collect();
    jobs.uses(s.round, builds, s.tank.clone());
    let end = Instant::now() + Duration::from_secs(60);
    while s.sources.uses.is_empty() && Instant::now() < end {
        for message in jobs.drain() {
            update(&mut s, message);
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    s
}

#[test]
fn every_source_is_there_and_can_be_found() {
    let mut s = looked((80, 24));
    let copied = plain::pane(&s);
    for row in &cansift::assumptions::TABLE {
        assert!(copied.contains(row.what) && copied.contains(row.source), "{}", row.key);
    }
    for medium in Library::shipped().media() {
        assert!(copied.contains(&medium.name) && copied.contains(&medium.source), "{}", medium.id);
    }
    for fitting in Library::shipped().fittings() {
        assert!(copied.contains(&fitting.name), "{}", fitting.id);
    }
    for said in cansift::report::sources::CAUTIONS.iter().chain(&cansift::report::sources::LEFT_OUT) {
        assert!(copied.contains(said), "{said}");
    }
    let all = sources::items(&s).len();
    press(&mut s, "/UV-c lamp<enter>");
    assert!(!sources::items(&s).is_empty() && sources::items(&s).len() < 10);
    press(&mut s, "<esc>");
    assert_eq!(sources::items(&s).len(), all);
    let of = |kind| cansift::assumptions::TABLE.iter().filter(|r| r.kind == kind).count();
    for kind in [Kind::Published, Kind::Practice, Kind::Ours] {
        press(&mut s, "f");
        let shown = sources::items(&s);
        assert_eq!(shown.iter().filter(|i| i.part == Part::Constants).count(), of(kind));
        assert!(shown.iter().all(|i| i.entry.as_ref().is_some_and(|e| e.kind == kind)));
    }
    press(&mut s, "f");
    assert_eq!(sources::items(&s).len(), all);
    // Esc clears the search, then the kind, then leaves.
    press(&mut s, "f/hose<enter><esc>");
    assert!(s.sources.wanted.is_empty() && s.sources.kind.is_some());
    press(&mut s, "<esc>");
    assert!(s.sources.kind.is_none() && s.screen == Tab::Sources);
    press(&mut s, "<esc>");
    assert_eq!(s.screen, Tab::Builds);
}

#[test]
fn a_constant_names_the_measures_that_use_it() {
    let s = looked((80, 24));
    let users = |a| sources::users(&s, a);
    // By the formulas of the model: static head only outside, the nitrifying rate only where nitrogen is.
    assert!(users(A::Gravity).contains(&Measure::FilteredFlow));
    assert!(users(A::NitrifyingRate).contains(&Measure::AmmoniaCapacity));
    assert!(!users(A::NitrifyingRate).contains(&Measure::Flow));
    assert!(!users(A::UvEfficiency).contains(&Measure::Nitrate));
}

#[test]
fn parts_are_gone_through_both_ways() {
    let mut s = looked((80, 24));
    let part = |s: &State| sources::here(s).unwrap().part;
    let mut seen = vec![part(&s)];
    for _ in 0..7 {
        press(&mut s, "p");
        if seen.last() != Some(&part(&s)) {
            seen.push(part(&s));
        }
    }
    let all = [Part::Constants, Part::Words, Part::Media, Part::Fittings, Part::Cautions, Part::LeftOut];
    assert_eq!(seen, all);
    press(&mut s, "jP");
    assert_eq!(part(&s), Part::LeftOut, "to the head of this part first");
    press(&mut s, "P");
    assert_eq!(part(&s), Part::Cautions);
    press(&mut s, "<home>");
    assert_eq!(s.sources.list.cursor, 0);
}

#[test]
fn a_medium_from_a_file_is_told_apart() {
    let mut s = things::state((80, 24));
    press(&mut s, "7");
    let loaded: Vec<_> =
        s.sources.items.iter().filter(|i| i.text.contains("from a file that is loaded")).collect();
    assert!(!loaded.is_empty());
    assert!(loaded.iter().all(|i| i.part == Part::Media && i.text.contains("invented for a test")));
}

#[test]
fn pictures_of_the_sources() {
    for (w, h) in SIZES {
        let mut s = looked((w, h));
        insta::assert_snapshot!(format!("all-{w}x{h}"), draw(&mut s));
        press(&mut s, "jje");
        insta::assert_snapshot!(format!("whole-{w}x{h}"), draw(&mut s));
        press(&mut s, "<esc>/seal");
        insta::assert_snapshot!(format!("search-{w}x{h}"), draw(&mut s));
        press(&mut s, "<esc>ppj");
        insta::assert_snapshot!(format!("media-{w}x{h}"), draw(&mut s));
        press(&mut s, "pp");
        insta::assert_snapshot!(format!("cautions-{w}x{h}"), draw(&mut s));
        press(&mut s, "?");
        insta::assert_snapshot!(format!("help-{w}x{h}"), draw(&mut s));
    }
}
