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

fn save_stepwise(path: &Path, text: &str, may: May<'_>) -> Result<(), NotSaved> {
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_step_that_fails_leaves_nothing_behind() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("new.ron");
        for step in [Step::Create, Step::Write, Step::Sync, Step::Publish] {
            let fail = |at: Step| if at == step { Err(io::Error::other("no room")) } else { Ok(()) };
            assert!(matches!(save_stepwise(&path, "abc", &fail), Err(NotSaved::Refused { .. })), "{step:?}");
            assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0, "{step:?}");
        }
        let fail = |at: Step| if at == Step::SyncFolder { Err(io::Error::other("no")) } else { Ok(()) };
        assert!(save_stepwise(&path, "abc", &fail).is_err());
        assert_eq!(fs::read_to_string(&path).unwrap(), "abc", "whole, though not yet surely on disk");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn saving_never_replaces_anything() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("é.ron");
        save_new(&path, "Filter(é)").unwrap();
        assert!(matches!(save_new(&path, "other"), Err(NotSaved::Exists(_))));
        // Another program is faster, between the look and the name.
        let late = folder.path().join("late.ron");
        let race = |step: Step| if step == Step::Publish { fs::write(&late, "theirs") } else { Ok(()) };
        assert!(matches!(save_stepwise(&late, "ours", &race), Err(NotSaved::Exists(_))));
        assert_eq!(fs::read_to_string(&late).unwrap(), "theirs");
        assert_eq!(fs::read_to_string(&path).unwrap(), "Filter(é)");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2);
        assert!(matches!(save_new(Path::new("/"), ""), Err(NotSaved::NoName(_) | NotSaved::Exists(_))));
        assert!(save_new(&folder.path().join("none/x.ron"), "").is_err());
    }

    #[test]
    fn a_folder_gets_all_files_or_none() {
        let place = tempfile::tempdir().unwrap();
        let folder = place.path().join("new/report");
        save_folder(&folder, &[("a", "1"), ("b", "2")]).unwrap();
        assert_eq!(fs::read_to_string(folder.join("b")).unwrap(), "2");
        assert!(matches!(save_folder(&folder, &[("c", "3"), ("b", "4")]), Err(NotSaved::Exists(_))));
        assert!(!folder.join("c").exists());
        assert_eq!(fs::read_to_string(folder.join("b")).unwrap(), "2");
        let fails = save_folder(&folder, &[("d", "5"), ("none/e", "6")]);
        assert!(fails.is_err() && !folder.join("d").exists(), "what came before is taken back");
        fs::write(place.path().join("file"), "").unwrap();
        assert!(matches!(
            save_folder(&place.path().join("file"), &[("a", "1")]),
            Err(NotSaved::Refused { .. })
        ));
    }
}
