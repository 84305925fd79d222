//! What leads from one screen to another with something in hand. It may see all of them, and none of them sees it.

use std::path::PathBuf;

use super::effect::Spot;
use super::screens::{builds, compare, ranking};
use super::{Effect, Entry, Id, May, Screen as _, State, Tab, moves};

/// Works in the trays of the build under the cursor.
pub fn to_restack(state: &mut State) {
    if let Some(i) = ranking::here(state) {
        builds::to(state, Id::Build(i));
        moves::to_tab(state, Tab::Restack);
    }
}

/// Compares the build under the cursor with the first; marks stay as they are.
pub fn against_first(state: &mut State) {
    let first =
        state.ranking.stood.as_ref().and_then(|s| s.entries.get(*ranking::rows(state).first()?).copied());
    match (first, ranking::here(state)) {
        (Some(a), Some(b)) if a != b => {
            moves::to_tab(state, Tab::Compare);
            state.compare.two = Some((Id::Build(a), Id::Build(b)));
            compare::Compare.keep(state);
        }
        _ => state.tell("this is the first: choose another to compare it with"),
    }
}

pub fn saved_against_source(state: &mut State) {
    let Some(work) = &state.restack.work else { return };
    let place = |wanted: &dyn Fn(&Entry) -> bool| state.entries.iter().position(wanted);
    let saved = work.saved_as.as_ref().filter(|_| !work.unsaved());
    let name = &work.piece.build.name;
    let now = saved.and_then(|path| place(&|e| e.path.ends_with(path) && e.build_name() == name));
    match (place(&|e| work.is_of(e)), now) {
        (Some(was), Some(now)) => {
            moves::to_tab(state, Tab::Compare);
            state.compare.two = Some((Id::Build(was), Id::Build(now)));
        }
        _ => {
            state.tell_keys("save it first ({save}): then it is set beside the build as it was");
        }
    }
}

pub fn on(state: &mut State) {
    state.going = true;
    state.tell(format!("go: 1 to {} is a screen", Tab::ALL.len()));
}

/// The file of what is under the cursor, and where in it that stands.
fn file_here(state: &State) -> Result<(PathBuf, Spot), &'static str> {
    let build = |id: Option<Id>| {
        if let (Tab::Builds, Some(broken)) = (state.screen, state.broken_here()) {
            let line = broken.problems.first().map_or(1, |p| p.line);
            return Ok((broken.path.clone(), Spot::Line(line)));
        }
        let entry = id.and_then(|id| state.entry(id)).ok_or("no build is chosen")?;
        Ok((entry.path.clone(), Spot::Saying(format!("\"{}\"", entry.build_name()))))
    };
    let found = match state.screen {
        Tab::Ranking => build(ranking::here(state).map(Id::Build)),
        Tab::Compare => build(compare::builds(state).get(state.compare.column).copied()),
        Tab::Tank => {
            let file = state.tank_file.as_ref().ok_or("this tank lies in no file yet: {save} writes one")?;
            Ok((PathBuf::from(file), Spot::Line(1)))
        }
        _ => build(state.cursor),
    }?;
    // What is built in has a name without a folder.
    if found.0.parent().is_none_or(|folder| folder.as_os_str().is_empty()) || state.restack.demo {
        return Err("it is built into the program: there is no file to open");
    }
    Ok(found)
}

pub fn has_file(state: &State) -> May {
    file_here(state).map(drop)
}

pub fn edit(state: &mut State) {
    if let Ok((path, at)) = file_here(state) {
        state.ask(Effect::Edit { path, at });
    }
}
