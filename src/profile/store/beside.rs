//! A file beside the one to be: written and synced there, so that the last step is only a name. What a killed
//! program left there is cleared away by the next save.

use std::fs::{self, File, OpenOptions, Permissions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

use crate::profile::message::floor_char;

/// Ends the name of such a file, and of no other program's.
const ENDING: &str = ".cansift-new";
/// A save takes a blink: one this old was given up. Others may be at work in the folder, from other machines too.
pub const GIVEN_UP: Duration = Duration::from_secs(600);

/// One step of saving, so that a test can make each fail.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    Create,
    Write,
    Sync,
    Publish,
    SyncFolder,
}

/// Says whether a step may succeed.
pub type May<'m> = &'m dyn Fn(Step) -> io::Result<()>;

/// A file that goes away again unless it was moved to where it belongs.
#[derive(Debug)]
pub struct Temporary(PathBuf);

impl Temporary {
    pub fn path(&self) -> &Path {
        &self.0
    }
}

impl Drop for Temporary {
    fn drop(&mut self) {
        // Gone already when it was renamed; nothing better to do when it cannot be removed.
        let _ = fs::remove_file(&self.0);
    }
}

/// The text in a fresh file of the folder, for sure on disk, with those mode bits if any; `name` is what it will
/// be called.
pub fn written(
    folder: &Path,
    name: &str,
    text: &str,
    mode: Option<Permissions>,
    may: May<'_>,
) -> io::Result<Temporary> {
    sweep(folder);
    may(Step::Create)?;
    let (temporary, mut file) = fresh(folder, name)?;
    if let Some(mode) = mode {
        file.set_permissions(mode)?;
    }
    let (first, second) = text.split_at(floor_char(text, text.len() / 2));
    file.write_all(first.as_bytes())?;
    may(Step::Write)?;
    file.write_all(second.as_bytes())?;
    may(Step::Sync)?;
    file.sync_all()?;
    Ok(temporary)
}

/// One that is there already, a killed program's number may come again, is passed over.
pub fn fresh(folder: &Path, name: &str) -> io::Result<(Temporary, File)> {
    let id = std::process::id();
    let mut last = io::Error::from(io::ErrorKind::AlreadyExists);
    for try_again in 0..100 {
        let path = folder.join(format!(".{name}.{id}-{try_again}{ENDING}"));
        match OpenOptions::new().write(true).create_new(true).open(&path) {
            Ok(file) => return Ok((Temporary(path), file)),
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => last = error,
            Err(error) => return Err(error),
        }
    }
    Err(last)
}

/// Whether a file is called as [`fresh`] calls one: `.name.17-0` and the ending.
pub fn is_ours(file_name: &str) -> bool {
    let number = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    file_name
        .strip_prefix('.')
        .and_then(|rest| rest.strip_suffix(ENDING))
        .and_then(|rest| rest.rsplit_once('.'))
        .and_then(|(name, numbers)| Some((name, numbers.split_once('-')?)))
        .is_some_and(|(name, (id, try_again))| !name.is_empty() && number(id) && number(try_again))
}

/// Removes what saves that were given up have left in the folder. Whatever goes wrong with it is no reason not to
/// save: it is tried again next time.
fn sweep(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        if !is_ours(&entry.file_name().to_string_lossy()) {
            continue;
        }
        // About the entry itself: a link is none of ours.
        let Ok(about) = entry.metadata() else { continue };
        let age = about.modified().ok().and_then(|at| at.elapsed().ok());
        if about.is_file() && age.is_some_and(|age| age >= GIVEN_UP) {
            let _ = fs::remove_file(entry.path());
        }
    }
}

#[cfg(unix)]
pub fn sync_folder(folder: &Path) -> io::Result<()> {
    File::open(folder)?.sync_all()
}

/// Other systems cannot sync a folder.
#[cfg(not(unix))]
pub fn sync_folder(_: &Path) -> io::Result<()> {
    Ok(())
}
