//! Tells when profiles change on disk, and reads them so that a file caught half written is not called broken.

#[cfg_attr(not(feature = "watch"), path = "watch/looked.rs")]
#[cfg_attr(feature = "watch", path = "watch/told.rs")]
mod eyes;

use crate::parallel::lock;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::{Duration, Instant};

use self::eyes::Watching;
use super::Loaded;
use super::store::{content, gather, read_text};

/// Quiet that ends a burst of changes.
const QUIET: Duration = Duration::from_millis(100);
/// Longest burst before one looks all the same.
const BURST: Duration = Duration::from_secs(1);
/// Wait before a file that broke is read once more.
pub const AGAIN: Duration = Duration::from_millis(300);

/// How often it is seen whether the folders are still those that are watched.
const LOOK: Duration = Duration::from_secs(1);

/// Watches while it lives.
#[derive(Debug)]
pub struct Watch {
    over: Arc<AtomicBool>,
    call: Sender<Told>,
}

/// What the system told of.
#[derive(Debug, PartialEq, Eq)]
enum Told {
    Quiet,
    /// Something in a folder may have changed.
    Change,
    /// Something is gone or has another name: perhaps a folder that is watched, and its watch with it.
    Loss,
}

impl Watch {
    /// Watches the folders of these paths, also when they go and come again. `changed` is called, on a thread of
    /// the watch, whenever what a reader of the paths would find is another text than before. The error is in the
    /// system's words.
    pub fn start(paths: &[PathBuf], mut changed: impl FnMut() + Send + 'static) -> Result<Self, String> {
        let (call, told) = channel();
        let watch = Self { over: Arc::default(), call: call.clone() };
        let (paths, over) = (paths.to_vec(), Arc::clone(&watch.over));
        let (begin, begun) = channel();
        let work = move || {
            let watching = Watching::new(call)
                .and_then(|mut watching| watching.follow(places(&paths)).map(|_| watching));
            let mut watching = match watching {
                Ok(watching) => watching,
                // Whoever started it waits.
                Err(why) => return drop(begin.send(Err(why))),
            };
            let mut seen = look(&paths);
            let _ = begin.send(Ok(()));
            while let Some(news) = burst(&told) {
                if over.load(Ordering::Acquire) {
                    return;
                }
                if news == Told::Loss {
                    watching.forget();
                }
                // A folder that cannot be watched is looked into again and again.
                let anew = watching.follow(places(&paths)).unwrap_or(true);
                if news == Told::Quiet && !anew {
                    continue;
                }
                let now = look(&paths);
                if now != seen {
                    seen = now;
                    changed();
                }
            }
        };
        thread::Builder::new().name("files".to_owned()).spawn(work).map_err(|error| error.to_string())?;
        begun.recv().map_err(|_ended| "its thread fell over".to_owned())??;
        Ok(watch)
    }
}

impl Drop for Watch {
    fn drop(&mut self) {
        self.over.store(true, Ordering::Release);
        // Nobody is there to be called where the thread has ended.
        let _ = self.call.send(Told::Change);
    }
}

/// Waits for news, then until it is quiet: the gravest of what was told. None when the watch has ended.
fn burst(told: &Receiver<Told>) -> Option<Told> {
    let mut gravest = match told.recv_timeout(LOOK) {
        Ok(first) => first,
        Err(RecvTimeoutError::Timeout) => return Some(Told::Quiet),
        Err(RecvTimeoutError::Disconnected) => return None,
    };
    let end = Instant::now() + BURST;
    while Instant::now() < end {
        match told.recv_timeout(QUIET) {
            Ok(Told::Loss) => gravest = Told::Loss,
            Ok(_) => {}
            Err(RecvTimeoutError::Timeout) => break,
            Err(RecvTimeoutError::Disconnected) => return None,
        }
    }
    Some(gravest)
}

/// Folders to watch: a file's own, so that one which is replaced or comes back is seen; and where a link leads.
fn places(paths: &[PathBuf]) -> BTreeSet<PathBuf> {
    let mut folders = BTreeSet::new();
    for path in paths {
        if path.is_dir() {
            folders.insert(path.clone());
            continue;
        }
        let real = path.canonicalize().ok();
        for path in [Some(path.as_path()), real.as_deref()].into_iter().flatten() {
            let folder = path.parent().filter(|f| !f.as_os_str().is_empty()).unwrap_or(Path::new("."));
            if folder.is_dir() {
                folders.insert(folder.to_owned());
            }
        }
    }
    folders
}

/// What a reader would find: each file with its text in short, or that it cannot be read.
fn look(paths: &[PathBuf]) -> Vec<(PathBuf, Option<u64>)> {
    let (found, _) = gather(paths);
    let short = |path: PathBuf| {
        let text = read_text(&path).ok().map(|text| content(&text));
        (path, text)
    };
    found.into_iter().map(|found| short(found.path)).collect()
}

/// Reads profiles again and again; a file that was sound and now is not, or is gone, gets a second look before
/// it is told, as editors write in steps.
#[derive(Debug, Default)]
pub struct Steady(Mutex<Option<Files>>);

#[derive(Debug)]
struct Files {
    sound: BTreeSet<PathBuf>,
    broken: BTreeSet<PathBuf>,
}

impl Files {
    fn of(loaded: &Loaded) -> Self {
        Self {
            sound: loaded.filters.iter().map(|f| f.path.clone()).collect(),
            broken: loaded.broken.iter().map(|f| f.path.clone()).collect(),
        }
    }
}

impl Steady {
    /// Reads by `read`; `wait` passes the time between two looks.
    pub fn load(&self, read: impl Fn() -> Loaded, wait: impl Fn()) -> Loaded {
        let mut loaded = read();
        let mut last = lock(&self.0);
        let now = Files::of(&loaded);
        let worse = last.as_ref().is_some_and(|last| {
            now.broken.iter().any(|path| !last.broken.contains(path))
                || last.sound.iter().any(|path| !now.sound.contains(path))
        });
        if worse {
            wait();
            loaded = read();
        }
        *last = Some(Files::of(&loaded));
        loaded
    }
}
