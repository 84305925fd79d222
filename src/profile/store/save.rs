//! Saving: whole or not at all, and never over what is there.

use std::fs;
use std::io;
use std::path::Path;

use super::beside::{self, May, Step, sync_folder};
use crate::hidden::visible;
use crate::profile::message::plain;
use crate::uncertainty::key::fnv1a;

#[derive(Debug, thiserror::Error)]
pub enum NotSaved {
    #[error("there is a file called {0} already: nothing was written")]
    Exists(String),
    #[error("{0} was changed since it was saved here: nothing was written; name another file")]
    Changed(String),
    #[error("{0} is no name for a file")]
    NoName(String),
    #[error("{name} could not be saved: {why}")]
    Refused { name: String, why: String },
}

pub fn save_new(path: &Path, content: impl AsRef<[u8]>) -> Result<(), NotSaved> {
    save_stepwise(path, content, &|_| Ok(()))
}

/// Saves a new file, or over one whose content comes to `over`.
pub fn save_either(path: &Path, text: &str, over: Option<u64>) -> Result<(), NotSaved> {
    match over.filter(|_| path.exists()) {
        Some(was) => save_over(path, text, was),
        None => save_new(path, text),
    }
}

/// What a text comes to, to know it again.
pub fn content(text: &str) -> u64 {
    fnv1a(text.as_bytes())
}

/// Saves over a file whose content comes to `was`, whole or not at all; its mode stays, a link is followed.
pub fn save_over(path: &Path, text: &str, was: u64) -> Result<(), NotSaved> {
    let refused = |error: io::Error| refusal(path, &error);
    let whole = path.canonicalize().map_err(refused)?;
    let is = fs::read_to_string(&whole).map_err(refused)?;
    if content(&is) != was {
        return Err(NotSaved::Changed(visible(&path.to_string_lossy())));
    }
    let mode = fs::metadata(&whole).map_err(refused)?.permissions();
    let temporary =
        beside::written(above(&whole), text.as_bytes(), Some(mode), &|_| Ok(())).map_err(refused)?;
    fs::rename(temporary.path(), &whole).and_then(|()| sync_folder(above(&whole))).map_err(refused)
}

/// Saves new files into a folder: all of them or none, and never over one that is there. A folder that is missing is
/// made beside its place and then gets its name, so that it is there with all of them or not at all; one that is
/// there gets them one after the other, once all are written.
pub fn save_folder<C: AsRef<[u8]>>(folder: &Path, files: &[(&str, C)]) -> Result<(), NotSaved> {
    let refused = |error: io::Error| refusal(folder, &error);
    match folder.file_name() {
        Some(_) if fs::symlink_metadata(folder).is_err() => {
            let above = above(folder);
            if !above.is_dir() {
                fs::create_dir_all(above).map_err(refused)?;
            }
            let made = beside::folder(above).map_err(refused)?;
            for (name, text) in files {
                save_new(&made.path().join(name), text)?;
            }
            fs::rename(made.path(), folder).and_then(|()| sync_folder(above)).map_err(refused)
        }
        _ => {
            let finished: Result<Vec<_>, NotSaved> = files
                .iter()
                .map(|(name, text)| finished(&folder.join(name), text.as_ref(), &|_| Ok(())))
                .collect();
            let (finished, mut named) = (finished?, Vec::new());
            for ((name, _), temporary) in files.iter().zip(&finished) {
                let path = folder.join(name);
                if let Err(error) = publish(temporary.path(), &path) {
                    // Named a moment ago by this very call; what cannot be removed stays.
                    for ours in &named {
                        drop(fs::remove_file(ours));
                    }
                    return Err(refusal(&path, &error));
                }
                named.push(path);
            }
            sync_folder(folder).map_err(refused)
        }
    }
}

fn refusal(path: &Path, error: &io::Error) -> NotSaved {
    let name = visible(&path.to_string_lossy());
    match error.kind() {
        io::ErrorKind::AlreadyExists => NotSaved::Exists(name),
        _ => NotSaved::Refused { name, why: plain(error) },
    }
}

fn above(path: &Path) -> &Path {
    path.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// What is to be saved, beside the file that it will be, which is not there yet.
fn finished(path: &Path, content: &[u8], may: May<'_>) -> Result<beside::Temporary, NotSaved> {
    let name = || visible(&path.to_string_lossy());
    if path.file_name().is_none() {
        return Err(NotSaved::NoName(name()));
    }
    if fs::symlink_metadata(path).is_ok() {
        return Err(NotSaved::Exists(name()));
    }
    beside::written(above(path), content, None, may).map_err(|error| refusal(path, &error))
}

pub fn save_stepwise(path: &Path, content: impl AsRef<[u8]>, may: May<'_>) -> Result<(), NotSaved> {
    let refused = |error: io::Error| refusal(path, &error);
    let temporary = finished(path, content.as_ref(), may)?;
    may(Step::Publish).map_err(refused)?;
    publish(temporary.path(), path).map_err(refused)?;
    may(Step::SyncFolder).map_err(refused)?;
    sync_folder(above(path)).map_err(refused)
}

/// Gives the finished file its name. A hard link never replaces anything; where the disk has none, a look
/// and a rename must do.
fn publish(temporary: &Path, path: &Path) -> io::Result<()> {
    match fs::hard_link(temporary, path) {
        Ok(()) => Ok(()),
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => Err(error),
        Err(_) if fs::symlink_metadata(path).is_ok() => Err(io::ErrorKind::AlreadyExists.into()),
        Err(_) => fs::rename(temporary, path),
    }
}
