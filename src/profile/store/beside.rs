//! A file or folder beside the one to be: written and synced there, so that the last step is only a name. What a
//! killed program left there is cleared away by the next save.

use std::fs::{self, OpenOptions, Permissions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

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

pub type May<'m> = &'m dyn Fn(Step) -> io::Result<()>;

/// A file or folder that goes away again unless it was moved to where it belongs.
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
        clear(&self.0);
    }
}

/// The content in a fresh file of the folder, for sure on disk, with those mode bits if any.
pub fn written(
    folder: &Path,
    content: &[u8],
    mode: Option<Permissions>,
    may: May<'_>,
) -> io::Result<Temporary> {
    sweep(folder);
    may(Step::Create)?;
    let (temporary, mut file) =
        fresh(folder, |path| OpenOptions::new().write(true).create_new(true).open(path))?;
    if let Some(mode) = mode {
        file.set_permissions(mode)?;
    }
    let (first, second) = content.split_at(content.len() / 2);
    file.write_all(first)?;
    may(Step::Write)?;
    file.write_all(second)?;
    may(Step::Sync)?;
    file.sync_all()?;
    Ok(temporary)
}

pub fn folder(above: &Path) -> io::Result<Temporary> {
    sweep(above);
    fresh(above, |path| fs::create_dir(path)).map(|(temporary, ())| temporary)
}

/// One that is there already, a killed program's number may come again, is passed over. The name is short, whatever
/// it will be: where a long one fits, this does.
pub fn fresh<T>(folder: &Path, make: impl Fn(&Path) -> io::Result<T>) -> io::Result<(Temporary, T)> {
    let id = std::process::id();
    let mut last = io::Error::from(io::ErrorKind::AlreadyExists);
    for try_again in 0..100 {
        let path = folder.join(format!(".{id}-{try_again}{ENDING}"));
        match make(&path) {
            Ok(made) => return Ok((Temporary(path), made)),
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => last = error,
            Err(error) => return Err(error),
        }
    }
    Err(last)
}

/// Whether a file is called as [`fresh`] calls one: `.17-0` and the ending.
pub fn is_ours(file_name: &str) -> bool {
    let number = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    file_name
        .strip_prefix('.')
        .and_then(|rest| rest.strip_suffix(ENDING))
        .and_then(|numbers| numbers.split_once('-'))
        .is_some_and(|(id, try_again)| number(id) && number(try_again))
}

/// A file, or a folder with nothing but files in it.
fn clear(path: &Path) {
    if fs::remove_file(path).is_err() {
        for entry in fs::read_dir(path).into_iter().flatten().flatten() {
            let _ = fs::remove_file(entry.path());
        }
        let _ = fs::remove_dir(path);
    }
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
        if !about.is_symlink() && age.is_some_and(|age| age >= GIVEN_UP) {
            clear(&entry.path());
        }
    }
}

#[cfg(unix)]
pub fn sync_folder(folder: &Path) -> io::Result<()> {
    fs::File::open(folder)?.sync_all()
}

/// Other systems cannot sync a folder.
#[cfg(not(unix))]
pub fn sync_folder(_: &Path) -> io::Result<()> {
    Ok(())
}
