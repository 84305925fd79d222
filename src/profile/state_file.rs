//! The small file in which a program keeps what a person has set up. A damaged one is set aside, never fatal.

use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use super::message::plain;
use super::store::{MAX_BYTES, May, Step, sync_folder, written};

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
    // What the system makes up as it is read says that it is empty, and may wait for ever.
    if about.len() == 0 {
        return Ok(Some(String::new()));
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

pub fn write_stepwise(path: &Path, text: &str, may: May<'_>) -> Result<(), String> {
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
    let temporary = written(folder, text.as_bytes(), mode, may)?;
    may(Step::Publish)?;
    fs::rename(temporary.path(), path)?;
    may(Step::SyncFolder)?;
    sync_folder(folder)
}
