//! Saving: a name to suggest, and what goes into the file.

use std::path::{Path, PathBuf};

use super::asks::{Ask, Save};
use crate::app::state::work::folder;
use crate::app::{Effect, State, Work};
use crate::profile::write::write;

/// The file that it was saved in here, else a name in the source's folder that nothing listed has.
pub fn suggested(state: &State, work: &Work) -> String {
    if let Some(path) = work.saved_as.as_deref().filter(|path| over(state, path).is_some()) {
        return path.to_string_lossy().into_owned();
    }
    let stem =
        work.path.file_stem().map_or_else(|| "filter".to_owned(), |s| s.to_string_lossy().into_owned());
    // Restacked again, it is still restacked.
    let stem = stem.split_once("-restacked").map_or(stem.as_str(), |(first, _)| first).to_owned();
    let folder = if state.restack.demo { PathBuf::new() } else { folder(&work.path) };
    let name = |n: usize| match n {
        1 => folder.join(format!("{stem}-restacked.ron")),
        n => folder.join(format!("{stem}-restacked-{n}.ron")),
    };
    let path = (1..1000).map(name).find(|path| !state.lists(path)).unwrap_or_else(|| name(1));
    path.to_string_lossy().into_owned()
}

pub fn ask(state: &mut State, typed: &str) {
    let Some(path) = state.named_file(typed) else { return };
    let over = over(state, &path);
    let restack = &mut state.restack;
    let Some(work) = &restack.work else { return };
    restack.written += 1;
    let save = Save { number: restack.written, text: text(work), over, path, piece: work.piece.clone() };
    state.ask(Effect::Restack(Ask::Save(Box::new(save))));
}

/// What a file that this program wrote comes to; one that holds more than one build would lose them.
fn over(state: &State, path: &Path) -> Option<u64> {
    let builds = state.entries.iter().filter(|entry| entry.path == path).count();
    state.over(path).filter(|_| builds <= 1)
}

/// The new profile, with where it came from at its head.
fn text(work: &Work) -> String {
    let filter = &work.piece.filter;
    let from = work.path.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned());
    let whom = work.piece.tank.as_ref().map_or_else(String::new, |t| format!(" for {}", t.name));
    let note = format!(
        "{}, restacked{whom}.\nWritten from {from}, build \"{}\"; comments of that file are not in here.\n\
         Unplug the filter before you open it. The figures are estimates.",
        filter.name, work.build
    );
    write(filter, std::slice::from_ref(&work.piece.build), &note)
}
