//! The small file in which a program keeps what a person has set up. A damaged one is set aside, never fatal.

use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use super::store::{MAX_BYTES, May, Step, plain, sync_folder, written};

/// Why there is nothing to take back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unread {
    /// What lies there is not such a file.
    Damaged,
    /// The system refuses; its words.
    Refused(String),
}

/// Reads it; none where there is none yet.
pub fn read(path: &Path) -> Result<Option<String>, Unread> {
    let refused = |error: io::Error| Unread::Refused(plain(&error));
    // Asked before opening: a pipe or device would block or never end.
    let about = match fs::metadata(path) {
        Ok(about) => about,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(refused(error)),
    };
    if !about.is_file() || about.len() > MAX_BYTES {
        return Err(Unread::Damaged);
    }
    let mut bytes = Vec::new();
    File::open(path).and_then(|file| file.take(MAX_BYTES).read_to_end(&mut bytes)).map_err(refused)?;
    String::from_utf8(bytes).map(Some).map_err(|_not_text| Unread::Damaged)
}

/// Gives a damaged one another name, so that nothing is lost and the next start is a good one. The new place.
pub fn set_aside(path: &Path) -> Result<PathBuf, String> {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(".bad");
    let aside = path.with_file_name(name);
    fs::rename(path, &aside).map(|()| aside).map_err(|error| plain(&error))
}

/// Writes it: whole, or the one before stays, with its mode bits. One that may not be written is left alone; what
/// another program has written in the meantime is replaced, and a second name (hard link) keeps the old text.
pub fn write(path: &Path, text: &str) -> Result<(), String> {
    write_stepwise(path, text, &|_| Ok(()))
}

fn write_stepwise(path: &Path, text: &str, may: May<'_>) -> Result<(), String> {
    // A link, as people have who keep such files elsewhere, stays a link.
    let real = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    replace(&real, text, may).map_err(|error| plain(&error))
}

fn replace(path: &Path, text: &str, may: May<'_>) -> io::Result<()> {
    let folder = path.parent().unwrap_or(Path::new("."));
    fs::create_dir_all(folder)?;
    let mode = fs::metadata(path).ok().map(|about| about.permissions());
    if mode.as_ref().is_some_and(fs::Permissions::readonly) {
        return Err(io::Error::other("it may only be read"));
    }
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let temporary = written(folder, &name, text, mode, may)?;
    may(Step::Publish)?;
    fs::rename(temporary.path(), path)?;
    may(Step::SyncFolder)?;
    sync_folder(folder)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(folder: &Path) -> Vec<String> {
        let mut names: Vec<_> =
            fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().to_string_lossy().into()).collect();
        names.sort();
        names
    }

    #[test]
    fn what_was_written_is_read_and_replaced_whole() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("deep/er/state.ron");
        assert_eq!(read(&path), Ok(None));
        write(&path, "one").unwrap();
        write(&path, "two").unwrap();
        assert_eq!(read(&path), Ok(Some("two".to_owned())));
        assert_eq!(names(path.parent().unwrap()), ["state.ron"]);
    }

    #[test]
    fn what_cannot_be_written_leaves_what_was() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("state.ron");
        fs::create_dir(&path).unwrap();
        fs::write(path.join("kept"), "x").unwrap();
        assert!(write(&path, "two").is_err(), "a folder with something in it is not replaced");
        assert_eq!(names(folder.path()), ["state.ron"], "and nothing is left beside it");
        assert!(write(&path.join("kept/state.ron"), "x").is_err(), "a file is no folder");
    }

    #[test]
    fn a_step_that_fails_leaves_what_was_and_nothing_beside_it() {
        let folder = tempfile::tempdir().unwrap();
        for there in [false, true] {
            let path = folder.path().join(format!("{there}.ron"));
            if there {
                fs::write(&path, "old").unwrap();
            }
            for step in [Step::Create, Step::Write, Step::Sync, Step::Publish] {
                let before = names(folder.path());
                let fail = |at: Step| if at == step { Err(io::Error::other("no room")) } else { Ok(()) };
                assert_eq!(write_stepwise(&path, "new", &fail), Err("no room".to_owned()), "{step:?}");
                assert_eq!(read(&path), Ok(there.then(|| "old".to_owned())), "{step:?}");
                assert_eq!(names(folder.path()), before, "{step:?}");
            }
            let fail = |at: Step| if at == Step::SyncFolder { Err(io::Error::other("no")) } else { Ok(()) };
            assert!(write_stepwise(&path, "new", &fail).is_err());
            assert_eq!(read(&path), Ok(Some("new".to_owned())), "whole, though not yet surely on disk");
        }
        assert_eq!(names(folder.path()), ["false.ron", "true.ron"]);
    }

    #[cfg(unix)]
    #[test]
    fn mode_bits_stay_and_one_that_may_only_be_read_is_left_alone() {
        use std::os::unix::fs::PermissionsExt;
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("state.ron");
        write(&path, "one").unwrap();
        for bits in [0o600, 0o640, 0o664] {
            fs::set_permissions(&path, fs::Permissions::from_mode(bits)).unwrap();
            write(&path, "two").unwrap();
            assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, bits);
        }
        fs::set_permissions(&path, fs::Permissions::from_mode(0o444)).unwrap();
        assert_eq!(write(&path, "three"), Err("it may only be read".to_owned()));
        assert_eq!(read(&path), Ok(Some("two".to_owned())));
        assert_eq!(names(folder.path()), ["state.ron"]);
    }

    #[test]
    fn a_damaged_one_is_set_aside() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("state.ron");
        let large = vec![b'x'; MAX_BYTES as usize + 1];
        for bad in [&b"\xff\xfe"[..], &large] {
            fs::write(&path, bad).unwrap();
            assert_eq!(read(&path), Err(Unread::Damaged));
            let aside = set_aside(&path).unwrap();
            assert_eq!(names(folder.path()), ["state.ron.bad"]);
            assert_eq!(fs::read(aside).unwrap(), bad);
            assert_eq!(read(&path), Ok(None));
        }
        fs::create_dir(&path).unwrap();
        assert_eq!(read(&path), Err(Unread::Damaged));
    }

    #[cfg(unix)]
    #[test]
    fn a_link_stays_a_link() {
        let folder = tempfile::tempdir().unwrap();
        let (real, link) = (folder.path().join("real.ron"), folder.path().join("state.ron"));
        fs::write(&real, "one").unwrap();
        std::os::unix::fs::symlink(&real, &link).unwrap();
        write(&link, "two").unwrap();
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(fs::read_to_string(&real).unwrap(), "two");
    }
}
