//! `/` in lists that are not narrowed: the cursor goes to the line that holds the word, and back where it was.

use crate::things::{press, state};
use cansift::app::columns::Column;
use cansift::app::effect::Message;
use cansift::app::overlay::Overlay;
use cansift::app::screens::{columns, compare};
use cansift::app::state::State;
use cansift::app::update::update;
use cansift::measures::Measure;

fn compared() -> State {
    let mut state = state((120, 40));
    press(&mut state, " <down> da");
    state
}

fn measure(state: &State) -> Option<Measure> {
    match compare::lines(state).get(state.compare.list.cursor) {
        Some(compare::Compared::Measure(m)) => Some(*m),
        _ => None,
    }
}

#[test]
fn letters_lead_on_enter_stays_escape_goes_back() {
    let mut state = compared();
    let start = state.compare.list.cursor;
    press(&mut state, "/full w");
    assert_eq!(measure(&state), Some(Measure::FullWeight));
    press(&mut state, "<esc>");
    assert_eq!((state.compare.list.cursor, state.line.is_none()), (start, true));
    press(&mut state, "/full w<enter>");
    assert_eq!(measure(&state), Some(Measure::FullWeight));
    // The key that begins it, once more, is no part of the word.
    press(&mut state, "<home>//full w<enter>");
    assert_eq!(measure(&state), Some(Measure::FullWeight));
    press(&mut state, "?/go");
    assert!(matches!(&state.overlay, Some(Overlay::Help { wanted, .. }) if wanted == "go"));
    press(&mut state, "<esc><esc>");
    // A word that nothing holds leads nowhere, and is said to.
    press(&mut state, "/wexyz");
    assert!(state.seek.nowhere);
    press(&mut state, "<enter>");
    assert_eq!(measure(&state), Some(Measure::FullWeight));
    press(&mut state, "n");
    assert!(state.status.as_ref().unwrap().contains("wexyz"));
}

#[test]
fn the_next_one_goes_round_the_end() {
    let mut state = compared();
    press(&mut state, "/bypass<enter>");
    let first = state.compare.list.cursor;
    let mut seen = vec![first];
    loop {
        press(&mut state, "n");
        if state.compare.list.cursor == first || seen.len() > 20 {
            break;
        }
        seen.push(state.compare.list.cursor);
    }
    assert!((2..=20).contains(&seen.len()) && seen.is_sorted(), "{seen:?}");
}

#[test]
fn it_works_over_the_screen_and_in_forms_and_pasted() {
    let mut state = state((80, 24));
    press(&mut state, "c/");
    update(&mut state, Message::Paste("peak just\n".to_owned()));
    press(&mut state, "<enter>");
    let Some(Overlay::Columns { cursor }) = state.overlay else { panic!("{:?}", state.overlay) };
    assert_eq!(columns::lines(&state)[cursor..].first(), Some(&Column::Measure(Measure::Nitrate)));
    // Keys are keys again.
    let shown = state.columns.contains(&Column::Measure(Measure::Nitrate));
    press(&mut state, " ");
    assert_ne!(state.columns.contains(&Column::Measure(Measure::Nitrate)), shown);
    press(&mut state, "<esc>6/empty<enter><enter>/cabinet<enter>");
    let here = cansift::app::form::here(&state).unwrap();
    assert!(here.label.contains("cabinet"), "{}", here.label);
}
