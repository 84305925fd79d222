//! Saving on Restack: what goes into a file and comes back out of it, and work that is never lost in silence.

use std::path::Path;

use crate::bench::{Bench, folder, tray};
use crate::said::{said, without_id};
use cansift::app::effect::Effect;
use cansift::assess::judge;

#[test]
fn what_was_saved_loads_as_the_same_build_with_the_same_figures() {
    let folder = folder(&["tamsin-1100.ron"]);
    let source = std::fs::read(folder.path().join("tamsin-1100.ron")).unwrap();
    let mut bench = Bench::new((120, 40), vec![folder.path().to_owned()]);
    bench.press("/as bought<enter>4");
    bench.press("<down>s/45 ppi<enter><enter>HG<ctrl-u>0.5<enter><right><right>c");
    bench.press(
        "<home><down><down><down>a/10 ppi<enter><enter>-D<up><up><up>a/lava<enter><enter><enter><ctrl-u>900 g<enter>",
    );
    assert!(bench.work().unsaved());
    bench.press("S");
    assert!(bench.draw().contains("tamsin-1100-restacked.ron"));
    bench.press("<enter>");
    let path = folder.path().join("tamsin-1100-restacked.ron");
    assert!(bench.told().contains("saved as"), "{}", bench.told());
    assert!(!bench.work().unsaved());
    assert_eq!(
        std::fs::read(folder.path().join("tamsin-1100.ron")).unwrap(),
        source,
        "the source is untouched"
    );
    let entry = bench.state.entries.iter().find(|e| e.path == path).expect("it is in the list").clone();
    assert_eq!(entry.name, "Tamsin 1100 · as bought, restacked");
    let work = bench.work();
    let mut kept = (*work.piece.filter).clone();
    kept.builds = vec![work.piece.build.clone()];
    // The file says what the unit is; read, it is put right again, but for the seal that was changed by hand.
    let filed = kept.to_keep();
    assert_eq!(said(&without_id(entry.filter.as_found().clone())), said(&without_id(filed.clone())));
    let fixed = filed.unit.as_ref().unwrap().to_fix.first().map(|repair| repair.part.words());
    assert_eq!(fixed.as_deref(), Some("seal of tray 2"));
    let tank = bench.state.tank.clone();
    let (read, mut own) = (judge(&entry.filter, 0, tank.as_deref()), judge(&kept, 0, tank.as_deref()));
    // Each goes by its own file.
    own.id.clone_from(&read.id);
    assert_eq!(format!("{read:?}"), format!("{own:?}"));
    let text = std::fs::read_to_string(&path).unwrap();
    insta::assert_snapshot!("restack-saved", text);

    // Again to the same name: as long as it is as it was written, and as long as it holds no other build.
    std::fs::write(&path, format!("{text}// mine\n")).unwrap();
    bench.press("+S");
    assert_eq!(bench.state.line.as_ref().unwrap().text(), path.to_string_lossy());
    bench.press("<enter>");
    assert!(bench.told().contains("was changed since"), "{}", bench.told());
    assert!(bench.work().unsaved());
    assert_eq!(std::fs::read_to_string(&path).unwrap(), format!("{text}// mine\n"));
    std::fs::write(&path, &text).unwrap();
    bench.press("S<enter>");
    assert!(!bench.work().unsaved(), "{}", bench.told());
    let again = std::fs::read_to_string(&path).unwrap();
    assert_ne!(again, text);
    // A file of another hand is never written over.
    bench.press("+S<ctrl-u>");
    for c in folder.path().join("tamsin-1100.ron").to_string_lossy().chars() {
        bench.press(&c.to_string());
    }
    bench.press("<enter>");
    assert!(bench.told().contains("already"), "{}", bench.told());
    assert_eq!(std::fs::read(folder.path().join("tamsin-1100.ron")).unwrap(), source);
    bench.press("S<ctrl-u> <enter>");
    assert!(bench.told().contains("needs a name"), "{}", bench.told());
}

#[test]
fn a_build_of_the_demo_is_saved_where_one_is_told_and_listed_from_then_on() {
    let folder = tempfile::tempdir().unwrap();
    let mut bench = Bench::at_tamsin((80, 24));
    bench.press("<down><down><down><down>+S");
    assert_eq!(bench.state.line.as_ref().unwrap().text(), "tamsin-1100-restacked.ron");
    let count = bench.state.entries.len();
    bench.press("<ctrl-u>");
    for c in folder.path().join("mine").to_string_lossy().chars() {
        bench.press(&c.to_string());
    }
    bench.press("<enter>");
    assert!(folder.path().join("mine.ron").is_file());
    assert_eq!(bench.state.entries.len(), count + 1);
    bench.load();
    assert_eq!(bench.state.entries.len(), count + 1, "it stays when files are read again");
}

#[test]
fn unsaved_work_is_never_lost_in_silence() {
    let mut bench = Bench::at_tamsin((80, 24));
    bench.press("<down><down><down><down>+");
    let piece = bench.work().piece.clone();
    // Leaving the screen keeps it, whatever is chosen meanwhile.
    bench.press("g1<esc>/orrin 900 · as sold<enter>4");
    assert_eq!(bench.work().piece, piece);
    let shown = bench.draw();
    assert!(shown.contains("still this one, as it is unsaved; F begins with Orrin 900"), "{shown}");
    for (key, what) in [("q", "q again to leave"), ("F", "F again to begin afresh")] {
        bench.press(key);
        assert!(bench.left.is_empty(), "{key}");
        assert!(bench.told().contains("unsaved: press") && bench.told().contains(what), "{}", bench.told());
        // Another key in between: it asks again.
        bench.press("<down>");
        bench.press(key);
        assert!(bench.left.is_empty() && bench.told().contains("unsaved"), "{key}");
        bench.press("<up>");
    }
    bench.press("qF");
    assert_eq!(bench.work().piece, piece, "one question does not answer another");
    bench.press("<down>FF");
    assert!(bench.work().title().starts_with("Orrin 900"));
    bench.press("q");
    assert_eq!(bench.left, [Effect::Quit], "nothing is unsaved now");
    // Saved or unchanged, the copy follows the build that is chosen.
    bench.press("g1<esc>/as bought<enter>4");
    assert!(bench.work().title().starts_with("Tamsin 1100 · as bought"));
}

#[test]
fn a_stack_and_a_tank_are_asked_about_in_turn() {
    let mut bench = Bench::at_tamsin((80, 24));
    bench.press("<down><down><down><down>+g6<down>+");
    assert!(bench.work().unsaved() && bench.state.tank_form.changed());
    for _ in 0..2 {
        bench.press("q");
        assert!(bench.told().contains("the tank has unsaved changes"), "{}", bench.told());
        bench.press("q");
        assert!(bench.told().contains("restacked is unsaved: press q again to leave"), "{}", bench.told());
        assert!(!bench.left.contains(&Effect::Quit));
        // Another key in between: both are asked about again.
        bench.press("<up>");
    }
    bench.press("qqq");
    assert_eq!(bench.left.last(), Some(&Effect::Quit));
}

#[test]
fn a_source_that_changes_leaves_the_working_copy_alone() {
    let folder = folder(&["tamsin-1100.ron"]);
    let path = folder.path().join("tamsin-1100.ron");
    let mut bench = Bench::new((80, 24), vec![folder.path().to_owned()]);
    bench.press("/as bought<enter>4<down><down><down><down>+");
    let piece = bench.work().piece.clone();
    let text = std::fs::read_to_string(&path).unwrap();
    std::fs::write(&path, text.replacen("depth: mm(40)", "depth: mm(30)", 1)).unwrap();
    bench.load();
    assert_eq!(bench.work().piece, piece);
    assert!(bench.draw().contains("the source file changed since"), "{}", bench.draw());
    std::fs::write(&path, "Filter(").unwrap();
    bench.load();
    assert_eq!(bench.work().piece, piece);
    assert!(bench.draw().contains("the source is no longer there"));
    std::fs::write(&path, &text).unwrap();
    bench.load();
    assert!(!bench.draw().contains("source"));
    // Without changes of its own the copy follows the file when the screen is entered again.
    bench.press("zg1");
    std::fs::write(&path, text.replacen("depth: mm(40)", "depth: mm(30)", 1)).unwrap();
    bench.load();
    bench.press("4");
    assert_eq!(tray(&bench, 0), [("foam-20".to_owned(), 30.0)]);
}

#[test]
fn a_path_is_suggested_in_the_folder_of_the_source() {
    let folder = folder(&["orrin-900.ron"]);
    let mut bench = Bench::new((80, 24), vec![folder.path().to_owned()]);
    bench.press("4<down><down>x");
    assert_eq!(bench.work().changes(), 1);
    bench.press("S");
    let suggested = bench.state.line.as_ref().unwrap().text();
    assert_eq!(Path::new(&suggested), folder.path().join("orrin-900-restacked.ron"));
}
