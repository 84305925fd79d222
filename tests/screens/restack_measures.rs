//! Restack: figures of the working copy explained, and media of lists that lie beside the profiles.

use crate::bench::{Bench, folder};
use cansift::app::effect::{Effect, Message};
use cansift::app::key::Key;
use cansift::app::overlay::{Of, Overlay};
use cansift::app::screens::restack::{measures, picker};
use cansift::app::update::update;
use cansift::measures::Measure;

#[test]
fn a_figure_of_the_working_copy_is_explained_not_that_of_the_list() {
    let mut bench = Bench::at_tamsin((80, 24));
    bench.press("e");
    assert!(bench.told().contains("choose a measure first: p turns"), "{}", bench.told());
    // Tray 3's floss with its hole gone: other figures than those of the build as it was.
    bench.press("<down>s/30 ppi<enter><enter>p");
    let shown = measures::shown(bench.work());
    let at = shown.iter().position(|m| *m == Measure::Bypass).unwrap();
    bench.press(&"<down>".repeat(at));
    assert_eq!(measures::chosen(&bench.state), Some(Measure::Bypass));
    bench.press("e");
    let Some(Overlay::Explain { of: Of::Worked, measure: Measure::Bypass, lines: Some(lines) }) =
        bench.state.overlay.clone()
    else {
        panic!("{:?}", bench.state.overlay)
    };
    let of = |filter: &cansift::model::filter::Filter| {
        (bench.hooks.explain)(filter, 0, Measure::Bypass, bench.state.tank.as_deref(), bench.state.units)
    };
    assert_eq!(lines, of(&bench.work().alone()));
    assert_ne!(lines, of(&bench.work().before.filter));
    let shown = bench.draw();
    assert!(shown.contains("Explain") && shown.contains("as bought, as packed now"), "{shown}");
    bench.press("<esc>");
    assert!(bench.state.overlay.is_none());
}

#[test]
fn a_late_answer_to_an_older_question_is_dropped() {
    let mut bench = Bench::at_tamsin((80, 24));
    bench.press("p");
    let e = Key::named("e").unwrap();
    let mut number = || {
        let asked = update(&mut bench.state, Message::Key(e));
        let [Effect::Explain { number, of: Of::Worked, .. }] = asked[..] else { panic!("{asked:?}") };
        update(&mut bench.state, Message::Key(Key::named("esc").unwrap()));
        number
    };
    let old = number();
    update(&mut bench.state, Message::Key(e));
    let lines = vec!["of before".to_owned()];
    update(&mut bench.state, Message::Explained { number: old, lines });
    assert!(matches!(bench.state.overlay, Some(Overlay::Explain { lines: None, .. })));
}

#[test]
fn the_measure_under_the_cursor_is_in_view_at_every_size() {
    for size in [(60, 15), (80, 24), (120, 40)] {
        let mut bench = Bench::at_tamsin(size);
        bench.press("p");
        let count = measures::shown(bench.work()).len();
        for _ in 1..count {
            bench.press("<down>");
            assert!(bench.draw().contains('►'), "{size:?}\n{}", bench.draw());
        }
        // Past the last one the notes come into view, and back up the measures.
        bench.press(&"<down>".repeat(40));
        assert!(bench.draw().contains("figures are estimates"), "{}", bench.draw());
        bench.press(&"<up>".repeat(count + 40));
        assert_eq!(measures::chosen(&bench.state), measures::shown(bench.work()).first().copied());
        assert!(bench.draw().contains("►"), "{}", bench.draw());
    }
}

#[test]
fn media_of_a_list_in_the_folder_can_be_picked_and_are_gone_with_it() {
    let folder = folder(&["tamsin-1100.ron"]);
    let list = folder.path().join("mine.ron");
    let text = r#"[Medium(id: "shed-foam", name: "foam from the shed", role: fine, bed: foam(ppi: 30, void: 0.97),
        dry: kg_l(0.03), surface: m2_l(1.2), inner: 0.0, capture: 14.0, life: month(24), price: 4.5,
        source: "this test", kind: ours)]"#;
    std::fs::write(&list, text).unwrap();
    let mut bench = Bench::new((80, 24), vec![folder.path().to_owned()]);
    bench.press("/as bought<enter>4");
    let known = |b: &Bench| picker::known(&b.state).iter().any(|m| m.id == "shed-foam");
    assert!(known(&bench), "{:?}", bench.state.broken);
    bench.press("<home><down>a/from the shed<enter><enter>");
    assert!(bench.draw().contains("foam from the shed"), "{}", bench.draw());
    std::fs::remove_file(&list).unwrap();
    bench.press("z");
    bench.load();
    assert!(!known(&bench));
}
