//! The only place that opens files: finds profiles and reads them; `save` writes new ones.

pub mod beside;
pub mod caps;
pub mod save;
mod sheets;

use std::collections::{HashMap, HashSet};
use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::sync::Arc;

pub use beside::{May, Step, sync_folder, written};
pub use caps::MAX_BYTES;
pub use save::{NotSaved, content, save_either, save_folder, save_new, save_over};
pub use sheets::{rows_of, sheet_rows};

use self::caps::Caps;
use super::message::{Diagnostic, plain, problems, whole_file};
use super::{
    Broken, Checked, Loaded, Problem, Sound, SoundTank, What, id_of, read_filter, read_filter_as, read_list,
    read_tank,
};
use crate::hidden::visible;
use crate::library::Library;
use crate::model::Medium;
use crate::order::InOrder;
use crate::parallel::{map, processors};

/// Files read at once; between such lots it is seen whether there is room for more.
const LOT: usize = 256;

pub struct Found {
    pub(super) path: PathBuf,
    /// Asked for by name, not only met in a folder.
    asked: bool,
}

/// A file with its text, or what keeps it from being read.
type Opened = (Found, Result<String, Problem>);

/// Reads the filters under `paths`: files, or folders whose own `.ron` files are taken in name order.
///
/// Lists of media and fittings among them extend `media` for all; tanks met in a folder are passed over.
pub fn load(paths: &[PathBuf], media: &Library) -> Loaded {
    load_within(paths, media, &Caps::USUAL)
}

pub fn load_within(paths: &[PathBuf], media: &Library, caps: &Caps) -> Loaded {
    let (opened, mut broken) = open_all(paths, caps);
    let mut library = media.clone();
    let mut listed = Vec::new();
    let mut filters: Vec<(PathBuf, String, String)> = Vec::new();
    let mut ids: HashMap<String, usize> = HashMap::new();
    for (found, text) in opened {
        let text = match text {
            Ok(text) => text,
            Err(problem) => {
                broken.push(Broken { path: found.path, problems: vec![problem] });
                continue;
            }
        };
        match What::of(&text) {
            What::Filter => {
                let id = unique(id_of(&found.path), &mut ids);
                filters.push((found.path, id, text));
            }
            What::Media | What::Fittings => match read_list(&found.path, &text) {
                Ok(list) => {
                    listed.retain(|was: &Arc<Medium>| list.media().all(|m| m.id != was.id));
                    listed.extend(list.media().map(Arc::clone));
                    library.extend(list);
                }
                Err(problems) => broken.push(problems),
            },
            What::Tank if found.asked => {
                let help = "give it as the tank: `--tank FILE`";
                broken.push(refused(&found.path, "this file holds a tank, not a filter", help));
            }
            What::Tank => {}
            What::Unknown => broken.push(unknown(&found.path, &text)),
        }
    }
    let mut loaded = Loaded { filters: Vec::new(), broken, media: listed };
    let (mut builds, mut told, mut left_out) = (0, 0, Vec::new());
    for lot in filters.chunks(LOT) {
        if !left_out.is_empty() {
            left_out.extend(lot.iter().map(|(path, ..)| path.clone()));
            continue;
        }
        let results: Vec<Result<Sound, Broken>> =
            map(processors(), lot, |(path, id, text)| read_filter_as(path, id, text, &library));
        for result in results {
            match result {
                // From the first that has no room on, so that what is shown does not depend on sizes.
                Ok(sound) if !left_out.is_empty() || builds + sound.filter.builds.len() > caps.builds => {
                    left_out.push(sound.path);
                }
                Ok(sound) => {
                    builds += sound.filter.builds.len();
                    loaded.filters.push(sound);
                }
                Err(mut broken) => {
                    caps.shorten(&mut told, &broken.path, &mut broken.problems);
                    loaded.broken.push(broken);
                }
            }
        }
    }
    loaded.broken.extend(caps.full_builds(&left_out));
    loaded.broken.order_by(|a, b| a.path.cmp(&b.path));
    loaded
}

/// Checks every file under `paths` by what it is. Lists among them extend the shipped library first.
pub fn check(paths: &[PathBuf]) -> Vec<Checked> {
    let caps = Caps::USUAL;
    let (opened, broken) = open_all(paths, &caps);
    let mut library = Library::shipped().clone();
    for (found, text) in &opened {
        if let Ok(text) = text
            && matches!(What::of(text), What::Media | What::Fittings)
            && let Ok(list) = read_list(&found.path, text)
        {
            library.extend(list);
        }
    }
    let mut checked: Vec<Checked> = broken
        .into_iter()
        .map(|Broken { path, problems }| Checked::broken(path, What::Unknown, problems))
        .collect();
    let mut told = 0;
    for lot in opened.chunks(LOT) {
        let mut read: Vec<Checked> =
            map(processors(), lot, |(found, text)| check_one(&found.path, text, &library));
        for file in &mut read {
            caps.shorten(&mut told, &file.path, &mut file.problems);
        }
        checked.extend(read);
    }
    checked
}

fn check_one(path: &Path, text: &Result<String, Problem>, library: &Library) -> Checked {
    let mut lacks = Vec::new();
    let (what, result) = match text {
        Err(problem) => (What::Unknown, Err(vec![problem.clone()])),
        Ok(text) => {
            let what = What::of(text);
            let result = match what {
                What::Filter => read_filter(path, text, library).map(|sound| {
                    lacks = super::lacks(&sound.filter);
                    (sound.filter.builds.len(), sound.hints)
                }),
                What::Tank => read_tank(path, text, library).map(|tank| (1, tank.hints)),
                What::Media => read_list(path, text).map(|list| (list.media().count(), Vec::new())),
                What::Fittings => read_list(path, text).map(|list| (list.fittings().count(), Vec::new())),
                What::Unknown => Err(unknown(path, text)),
            };
            (what, result.map_err(|broken| broken.problems))
        }
    };
    let path = path.to_owned();
    match result {
        Ok((parts, hints)) => Checked { path, what, parts, problems: Vec::new(), hints, lacks },
        Err(problems) => Checked::broken(path, what, problems),
    }
}

pub fn load_tank(path: &Path, library: &Library) -> Result<SoundTank, Broken> {
    let text =
        read_text(path).map_err(|problem| Broken { path: path.to_owned(), problems: vec![problem] })?;
    match What::of(&text) {
        What::Tank => read_tank(path, &text, library),
        What::Unknown => Err(unknown(path, &text)),
        other => {
            let message = format!("this file holds {}, not a tank", other.words());
            Err(refused(path, &message, "a tank file starts with `Tank(`"))
        }
    }
}

/// The tanks beside `paths`: in those folders or the folders of those files, and in a folder `tanks` within each.
/// In name order; broken ones apart.
pub fn load_tanks(paths: &[PathBuf], library: &Library) -> (Vec<SoundTank>, Vec<Broken>) {
    let mut folders: Vec<PathBuf> = Vec::new();
    for path in paths {
        let folder = if path.is_dir() { Some(path.as_path()) } else { path.parent() };
        let Some(folder) = folder else { continue };
        let folder = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
        for folder in [folder.to_owned(), folder.join("tanks")] {
            if folder.is_dir() && !folders.contains(&folder) {
                folders.push(folder);
            }
        }
    }
    // What is no tank, or cannot be read, is told of by whoever reads the builds.
    let (opened, _) = open_all(&folders, &Caps::USUAL);
    let (mut tanks, mut broken) = (Vec::new(), Vec::new());
    for (found, text) in opened {
        let Ok(text) = text else { continue };
        if What::of(&text) == What::Tank {
            match read_tank(&found.path, &text, library) {
                Ok(tank) => tanks.push(tank),
                Err(problems) => broken.push(problems),
            }
        }
    }
    (tanks, broken)
}

fn refused(path: &Path, message: &str, help: &str) -> Broken {
    Broken { path: path.to_owned(), problems: vec![whole_file(path, message, Some(help))] }
}

/// Reads a file's text, if it is a regular one of a bearable size and UTF-8.
pub fn read_text(path: &Path) -> Result<String, Problem> {
    let refuse = |message: &str, help: &str| whole_file(path, message, Some(help));
    let told = |error: &io::Error| {
        let help = match error.kind() {
            io::ErrorKind::NotFound => "check the name and the folder",
            io::ErrorKind::PermissionDenied => "check who may read it",
            _ => "check the path and the disk",
        };
        whole_file(path, &format!("this file cannot be read: {}", plain(error)), Some(help))
    };
    // Asked before opening: a pipe or device would block or never end.
    let about = fs::metadata(path).map_err(|error| told(&error))?;
    if !about.is_file() {
        let what = if about.is_dir() { "this is a folder" } else { "this is not a regular file" };
        return Err(refuse(what, "expected a `.ron` file"));
    }
    let large = || {
        refuse(
            &format!("this file is larger than {} KiB", MAX_BYTES / 1024),
            "a profile takes a few KiB: is this the right file?",
        )
    };
    if about.len() > MAX_BYTES {
        return Err(large());
    }
    // What the system makes up as it is read says that it is empty, and may wait for ever.
    if about.len() == 0 {
        return Ok(String::new());
    }
    // One more than there should be, so that the end shows without growing.
    let mut bytes = Vec::with_capacity(about.len() as usize + 1);
    let file = File::open(path).map_err(|error| told(&error))?;
    file.take(MAX_BYTES + 1).read_to_end(&mut bytes).map_err(|error| told(&error))?;
    if bytes.len() as u64 > MAX_BYTES {
        return Err(large());
    }
    String::from_utf8(bytes).map_err(|error| {
        let good = error.utf8_error().valid_up_to();
        let before = error.as_bytes().get(..good).unwrap_or_default();
        let before = String::from_utf8_lossy(before);
        let line = before.matches('\n').count() + 1;
        let column = before.rsplit('\n').next().unwrap_or("").chars().count() + 1;
        let message = format!("this file is not UTF-8: byte {good} (line {line}, column {column})");
        Problem { line, column, ..refuse(&message, "save it as UTF-8 in the editor") }
    })
}

/// What `paths` name or hold, read; and what keeps some of it from being taken.
fn open_all(paths: &[PathBuf], caps: &Caps) -> (Vec<Opened>, Vec<Broken>) {
    let (mut found, mut broken) = gather_within(paths, caps);
    let mut room = caps.text;
    let fits = found.iter().take_while(|found| {
        // What is no file or too large is refused unread and takes no room.
        let size = fs::metadata(&found.path).map_or(0, |about| if about.is_file() { about.len() } else { 0 });
        let size = if size > MAX_BYTES { 0 } else { size };
        let fits = size <= room;
        room = room.saturating_sub(size);
        fits
    });
    let left_out: Vec<PathBuf> = found.split_off(fits.count()).into_iter().map(|found| found.path).collect();
    broken.extend(caps.full_text(&left_out));
    let texts = map(processors(), &found, |found| read_text(&found.path));
    (found.into_iter().zip(texts).collect(), broken)
}

/// Folders read of all that is asked for.
const MOST_FOLDERS: usize = 10_000;

/// The files that `paths` name or hold, each once, in order. Folders inside folders are not entered.
pub fn gather(paths: &[PathBuf]) -> (Vec<Found>, Vec<Broken>) {
    gather_within(paths, &Caps::USUAL)
}

/// These paths, each folder with those within it, in name order; hidden ones and links to folders are passed over.
pub fn deep(paths: &[PathBuf]) -> Vec<PathBuf> {
    let mut out = Vec::new();
    let mut todo: Vec<PathBuf> = paths.iter().rev().cloned().collect();
    while let Some(path) = todo.pop() {
        if out.len() >= MOST_FOLDERS {
            break;
        }
        let mut within: Vec<PathBuf> = fs::read_dir(&path)
            .into_iter()
            .flatten()
            .filter_map(|entry| {
                let entry = entry.ok()?;
                let hidden = entry.file_name().to_string_lossy().starts_with('.');
                (!hidden && entry.file_type().ok()?.is_dir()).then(|| entry.path())
            })
            .collect();
        within.sort();
        out.push(path);
        todo.extend(within.into_iter().rev());
    }
    out
}

fn gather_within(paths: &[PathBuf], caps: &Caps) -> (Vec<Found>, Vec<Broken>) {
    let (mut files, mut broken) = (Vec::new(), Vec::new());
    let mut seen = HashSet::new();
    let mut take = |path: PathBuf, asked: bool| {
        let real = fs::canonicalize(&path).unwrap_or_else(|_| path.clone());
        if seen.insert(real) {
            files.push(Found { path, asked });
        }
    };
    for path in paths {
        if !path.is_dir() {
            take(path.clone(), true);
            continue;
        }
        match in_folder(path, caps.files) {
            Ok((names, more)) => {
                if more {
                    broken.push(caps.full_folder(path));
                }
                for name in names {
                    take(name, false);
                }
            }
            Err(error) => {
                let message = format!("this folder cannot be read: {}", plain(&error));
                broken.push(refused(path, &message, "check who may read it"));
            }
        }
    }
    (files, broken)
}

/// The first `most` `.ron` files of a folder in name order, and whether there are more. Hidden files are other
/// programs' business.
fn in_folder(folder: &Path, most: usize) -> io::Result<(Vec<PathBuf>, bool)> {
    let (mut names, mut more) = (Vec::new(), false);
    let mut cut = |names: &mut Vec<PathBuf>| {
        names.sort();
        more |= names.len() > most;
        names.truncate(most);
    };
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        let hidden = path.file_name().is_none_or(|name| name.to_string_lossy().starts_with('.'));
        let ron = path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("ron"));
        if ron && !hidden && !path.is_dir() {
            names.push(path);
        }
        // Now and then, so that a million names are never held at once.
        if names.len() > 2 * most {
            cut(&mut names);
        }
    }
    cut(&mut names);
    Ok((names, more))
}

/// Files of one name in two folders must not share their doubt: the second gets a number.
fn unique(id: String, taken: &mut HashMap<String, usize>) -> String {
    let count = taken.entry(id.clone()).or_insert(0);
    *count += 1;
    if *count == 1 { id } else { format!("{id} ({count})") }
}

/// A file that starts like nothing we know.
fn unknown(path: &Path, text: &str) -> Broken {
    let text = super::without_mark(text);
    let start = super::lexer::skip_trivia(text, 0);
    let word = super::lexer::word(text, start);
    let (message, help) = if text.get(start..).unwrap_or("").is_empty() {
        ("this file is empty".into(), "`cansift new FILE` writes a profile to fill in".to_owned())
    } else {
        let names = ["Filter", "Tank"];
        let found = super::diagnostics::describe(text.get(start..).unwrap_or(""));
        let help = match super::diagnostics::nearest(word, names) {
            Some(near) => format!("did you mean `{near}(…)`?"),
            None => "`cansift new FILE` writes a profile to fill in".to_owned(),
        };
        (
            format!(
                "expected `Filter(…)`, `Tank(…)` or a list of `Medium(…)` or `Fitting(…)`, found {}",
                visible(&found)
            ),
            help,
        )
    };
    let place = start..start + word.len();
    let faults = [Diagnostic::new(place, message, help)];
    Broken { path: path.to_owned(), problems: problems(path, text, &faults) }
}

/// The line, from 1, in which a file first says that text; the first where none does.
pub fn line_of(path: &Path, said: &str) -> io::Result<usize> {
    let text = fs::read_to_string(path)?;
    Ok(text.lines().position(|l| l.contains(said)).map_or(1, |at| at + 1))
}
