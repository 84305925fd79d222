//! Users' jobs key by key, with the program's own answers, and how many keys each takes.

use std::path::Path;

use cansift::app::effect::Effect;
use cansift::app::tabs::Tab;

use crate::bench::{Bench, folder};
use crate::program::Program;

fn count(keys: &str) -> usize {
    crate::typed::list(keys).len()
}

/// Four of the listed builds ranked, and their table copied as Markdown: within twenty keys.
#[test]
fn a_reviewer_copies_the_table_of_four_ranked_builds() {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data");
    let profiles = ["tamsin-1100.ron", "orrin-900.ron"].map(|name| demo.join(name));
    let mut program = Program::new(profiles.to_vec(), 16);
    program.until("Tamsin 1100 · restacked");
    program.until("16 cases");
    program.still();
    let keys = ["    ", "3", "w", "<right><right>", "f", "y"];
    assert!(keys.iter().map(|k| count(k)).sum::<usize>() <= 20);
    for part in keys {
        program.press(part);
        program.still();
    }
    let Some(Effect::CopyText(text)) = program.left.last() else { panic!("{:?}", program.left) };
    assert!(text.contains("| ") && text.contains("Tamsin 1100"), "{text}");
    assert!(program.state.overlay.is_none(), "copied and closed");
    assert_eq!(program.state.marks.len(), 4, "marks stay");
}

/// A stack from what is on hand taken, saved and set beside the build as it was: within eight keys.
#[test]
fn a_hobbyist_restacks_from_what_is_on_hand_saves_and_compares() {
    let folder = folder(&["tamsin-1100.ron"]);
    let mut bench = Bench::new((120, 40), vec![folder.path().to_owned()]);
    bench.press("/as bought<enter>");
    let keys = "4bo<enter>S<enter>d";
    assert!(count(keys) <= 8);
    bench.press(keys);
    assert_eq!(bench.state.screen, Tab::Compare, "{}", bench.told());
    let text = bench.draw();
    assert!(text.contains("as bought") && text.contains("restacked"), "{text}");
    assert!(text.contains("of your") || text.contains("Of your"), "{text}");
}
