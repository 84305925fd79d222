//! Saving: whole or not at all, and never over what is there.

use std::fs;
use std::io;
use std::path::Path;

use super::beside::{self, May, Step, sync_folder};
use super::plain;
use crate::hidden::visible;

/// Why a file was not saved.
#[derive(Debug, thiserror::Error)]
pub enum NotSaved {
    /// Something is there already.
    #[error("there is a file called {0} already: nothing was written")]
    Exists(String),
    /// The path names no file.
    #[error("{0} is no name for a file")]
    NoName(String),
    /// The system refused.
    #[error("{name} could not be saved: {why}")]
    Refused {
        /// The file.
        name: String,
        /// The system's words.
        why: String,
    },
}

/// Saves a new file: whole or not at all, and never over one that is there.
pub fn save_new(path: &Path, text: &str) -> Result<(), NotSaved> {
    save_stepwise(path, text, &|_| Ok(()))
}

/// Saves new files into a folder, which is made where it is missing: all of them or none, and never over one
/// that is there.
pub fn save_folder(folder: &Path, files: &[(&str, &str)]) -> Result<(), NotSaved> {
    if let Some((name, _)) = files.iter().find(|(name, _)| fs::symlink_metadata(folder.join(name)).is_ok()) {
        return Err(NotSaved::Exists(visible(&folder.join(name).to_string_lossy())));
    }
    fs::create_dir_all(folder).map_err(|error| NotSaved::Refused {
        name: visible(&folder.to_string_lossy()),
        why: plain(&error),
    })?;
    for (i, (name, text)) in files.iter().enumerate() {
        if let Err(error) = save_new(&folder.join(name), text) {
            for (ours, _) in files.iter().take(i) {
                // Written a moment ago by this very call; when it cannot be removed there is nothing better to do.
                let _ = fs::remove_file(folder.join(ours));
            }
            return Err(error);
        }
    }
    Ok(())
}

pub fn save_stepwise(path: &Path, text: &str, may: May<'_>) -> Result<(), NotSaved> {
    let name = visible(&path.to_string_lossy());
    let refused = |error: io::Error| match error.kind() {
        io::ErrorKind::AlreadyExists => NotSaved::Exists(name.clone()),
        _ => NotSaved::Refused { name: name.clone(), why: plain(&error) },
    };
    let Some(file_name) = path.file_name() else { return Err(NotSaved::NoName(name)) };
    if fs::symlink_metadata(path).is_ok() {
        return Err(NotSaved::Exists(name));
    }
    let folder = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    let temporary =
        beside::written(folder, &file_name.to_string_lossy(), text, None, may).map_err(refused)?;
    may(Step::Publish).map_err(refused)?;
    publish(temporary.path(), path).map_err(refused)?;
    may(Step::SyncFolder).map_err(refused)?;
    sync_folder(folder).map_err(refused)
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
