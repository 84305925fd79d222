//! Every row of the table of actions, in every place where it stands, with the program's own background: its first
//! key is pressed, and either the screen changes or a reason is told.

use std::path::Path;
use std::time::Duration;

use cansift::app::actions;
use cansift::app::effect::{Effect, Message};
use cansift::app::tabs::{ALL_PLACES, Place};
use cansift::ui::plain;

use crate::program::Program;

/// Keys from the start to a place, and what shows that it is reached.
fn way(place: Place) -> (&'static str, &'static str) {
    match place {
        Place::Builds => ("j", "restacked"),
        // The cursor stands on a column in the middle.
        Place::Compare => ("   djjl", "against"),
        Place::Ranking => ("3", "Why "),
        Place::Restack => ("4jj", "as it stands"),
        Place::Picker => ("4jjajj", "Which medium"),
        Place::Proposals => ("4b", "take it"),
        Place::Filter => ("5jj", "how known"),
        Place::Tank => ("6", "180 l"),
        Place::Tanks => ("6o", "no tank"),
        Place::Sources => ("7j", "wall roughness"),
        Place::Explain => ("je", "how many times an hour"),
        Place::Reply => ("3w", "unplug"),
        Place::Columns => ("cjj", "show or hide"),
    }
}

/// Keys from there to where up and down both lead somewhere.
fn below(place: Place) -> &'static str {
    match place {
        Place::Proposals => "j]",
        Place::Explain => "j",
        Place::Tank => "<down>",
        // What comes late is there now.
        Place::Ranking => "jl]",
        _ => "",
    }
}

/// Longest wait for what a key does.
const ANSWER: Duration = Duration::from_secs(20);

/// Presses it in a program of its own that has come to the place; what went wrong.
fn tried(at: &Program, place: Place, row: &actions::Action) -> Result<(), String> {
    let mut program = at.again();
    let before = program.draw();
    let key = row.key_list().next().ok_or("has no key")?;
    program.take(Message::Key(key));
    let text = match program.left.first() {
        // Drawn afresh it looks the same.
        Some(Effect::Quit | Effect::Suspend | Effect::Redraw | Effect::Edit { .. }) => return Ok(()),
        Some(Effect::CopyPane) => plain::pane(&program.state),
        Some(Effect::CopyText(text)) => text.clone(),
        Some(Effect::CopyHere) => plain::here(&program.state),
        Some(Effect::Mouse(_)) | None => {
            if !program.comes(ANSWER, |text| text != before) {
                return Err(format!("{place:?}: {} ({}) did nothing:\n{before}", row.name, key.label()));
            }
            program.draw()
        }
        Some(other) => format!("does nothing here: {other:?}"),
    };
    if text.trim().is_empty() || text.contains("does nothing here") {
        return Err(format!("{place:?}: {} ({}):\n{text}", row.name, key.label()));
    }
    Ok(())
}

#[test]
fn each_action_of_each_place_does_something_or_says_why_not() {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data");
    let profiles = ["tamsin-1100.ron", "orrin-900.ron"].map(|name| demo.join(name));
    let mut start = Program::new(profiles.to_vec(), 16);
    start.until("Tamsin 1100 · restacked");
    start.until("16 cases");
    start.still();
    let (mut tries, mut failed) = (0, Vec::new());
    for place in ALL_PLACES {
        let (keys, shows) = way(*place);
        let mut program = start.again();
        program.press(keys);
        program.until(shows);
        program.press(below(*place));
        program.still();
        for row in actions::of_place(*place) {
            tries += 1;
            failed.extend(tried(&program, *place, row).err());
        }
    }
    assert!(tries > 100);
    assert!(failed.is_empty(), "{} of {tries}:\n{}", failed.len(), failed.join("\n\n"));
}
