//! `cansift keys`, and where a person's own keys come from.

use std::path::{Path, PathBuf};

use super::args::KeysFile;
use super::{Context, Failure, Status};
use crate::app::actions::{self, ACTIONS};
use crate::app::keys::WAY_OUT;
use crate::app::tabs::ALL_PLACES;
use crate::app::{Action, Key, Keys, own_keys};
use crate::profile::{Problem, store};

/// Keys in force, where they come from, and what is wrong with that file.
#[derive(Debug, Default)]
pub struct InForce {
    pub keys: Keys,
    /// The file they come from, whether it is there or not; none without a home.
    pub file: Option<PathBuf>,
    /// What is wrong with it; what is right with it holds all the same.
    pub problems: Vec<Problem>,
}

/// Reads a person's own keys: from the file asked for, else from `keys.ron` in the user's folder for settings.
pub fn in_force(asked: Option<&Path>) -> InForce {
    let Some(file) = asked.map(Path::to_owned).or_else(own_file) else { return InForce::default() };
    if asked.is_none() && !file.exists() {
        return InForce { file: Some(file), ..InForce::default() };
    }
    match store::read_text(&file) {
        Err(problem) => InForce { file: Some(file), problems: vec![problem], ..InForce::default() },
        Ok(text) => {
            let (keys, problems) = own_keys::read(&file, &text);
            InForce { keys, file: Some(file), problems }
        }
    }
}

fn own_file() -> Option<PathBuf> {
    use etcetera::BaseStrategy;
    let folders = etcetera::choose_base_strategy().ok()?;
    Some(folders.config_dir().join("cansift").join("keys.ron"))
}

impl InForce {
    /// What to tell on a screen that has one line for it.
    pub fn told(&self) -> Option<String> {
        let first = self.problems.first()?;
        let name = self.file.as_deref().and_then(Path::file_name).unwrap_or_default().to_string_lossy();
        let more = match self.problems.len() {
            1 => String::new(),
            n => format!(" ({n} problems)"),
        };
        Some(format!(
            "{name} line {}, column {}: {}{more}; the other keys hold, `cansift keys` tells all",
            first.line, first.column, first.message
        ))
    }
}

pub(super) fn run(context: &mut Context<'_, '_>, args: &KeysFile) -> Result<Status, Failure> {
    let found = in_force(args.keys.as_deref());
    for problem in &found.problems {
        context.console.remark(&problem.rendered);
    }
    for (name, key) in found.keys.left_without() {
        let said =
            format!("cansift: `{}` went to another action, so `{name}` has no key any more", key.name());
        context.console.remark(&said);
    }
    let text = page(&found);
    let text = if context.console.ascii { crate::report::escape::ascii(&text).into_owned() } else { text };
    context.console.result(&text)?;
    Ok(if found.problems.is_empty() { Status::Fine } else { Status::SomeBroken })
}

/// The keys in force, as a file of keys that can be saved and changed.
pub fn page(found: &InForce) -> String {
    let place = found.file.as_ref().map_or("nowhere: there is no home folder".to_owned(), |file| {
        crate::hidden::visible(&file.display().to_string())
    });
    let mut out = format!(
        "// Keys of the screens. Your own are read from:\n//   {place}\n// Save this there and change it, or keep just the lines that you change. `[]` takes an action off the keys.\n// A key is a letter or a sign, or one of these, with `ctrl-` or `shift-` before it:\n//   {}\n// Ctrl-C always leaves.\n[\n",
        Key::names().join(" ")
    );
    for (row, says) in lines() {
        let mut keys: Vec<String> = Vec::new();
        for other in ACTIONS.iter().filter(|r| r.name == row.name) {
            for key in found.keys.of(other).into_iter().filter(|k| *k != WAY_OUT).map(Key::name) {
                if !keys.contains(&key) {
                    keys.push(key);
                }
            }
        }
        let keys: Vec<String> = keys.iter().map(|k| format!("{k:?}")).collect();
        out.push_str(&format!("    ({:?}, [{}]), // {says}\n", row.name, keys.join(", ")));
    }
    out.push_str("]\n");
    out
}

fn lines() -> Vec<(&'static Action, String)> {
    let mut out: Vec<(&'static Action, String)> = Vec::new();
    for row in ACTIONS {
        match out.iter_mut().find(|(other, _)| other.name == row.name) {
            Some((_, says)) if !says.contains(row.says) => {
                says.push_str("; ");
                says.push_str(row.says);
            }
            Some(_) => {}
            None => out.push((row, row.says.to_owned())),
        }
    }
    out
}

/// The keys that ship, screen by screen, for the manual.
pub(super) fn shipped() -> String {
    let mut out = String::new();
    for place in ALL_PLACES {
        out.push_str(&format!("{}:\n", place.title()));
        for row in actions::of_place(*place) {
            out.push_str(&format!("  {:<16} {}\n", Keys::default().labels(row), row.says));
        }
        out.push('\n');
    }
    out
}
