//! Folders that the system watches and tells of.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::mpsc::Sender;
use std::thread;
use std::time::SystemTime;

use notify::event::{AccessKind, AccessMode, EventKind, ModifyKind};
use notify::{Event, RecommendedWatcher, RecursiveMode, Watcher};

use super::Told;

/// Folders that are watched, each with what tells it from another one of that name.
pub struct Watching {
    watcher: RecommendedWatcher,
    folders: BTreeMap<PathBuf, Mark>,
}

/// When it was made, and its number on its disk, as far as the system tells.
type Mark = (Option<SystemTime>, Option<(u64, u64)>);

impl Watching {
    pub fn new(call: Sender<Told>) -> Result<Self, String> {
        // The library needs a thread as well, and does not tell when there is none.
        let probe = thread::Builder::new().spawn(|| ()).map_err(|error| error.to_string())?;
        let _ = probe.join();
        let watcher = notify::recommended_watcher(move |event: notify::Result<Event>| {
            // An error may hide a change: looking costs little.
            let told = match event {
                Ok(event) if !may_change(&event) => return,
                Ok(Event { kind: EventKind::Remove(_) | EventKind::Modify(ModifyKind::Name(_)), .. }) => {
                    Told::Loss
                }
                _ => Told::Change,
            };
            // Nobody listens any more only when the watch ends.
            let _ = call.send(told);
        })
        .map_err(|error| error.to_string())?;
        Ok(Self { watcher, folders: BTreeMap::new() })
    }

    /// Watches these folders and no others; whether any is watched that was not before. The error
    /// is in the system's words.
    pub fn follow(&mut self, folders_now: BTreeSet<PathBuf>) -> Result<bool, String> {
        let Self { watcher, folders } = self;
        folders.retain(|folder, _| {
            let there = folders_now.contains(folder);
            if !there {
                // The system may have forgotten it by itself.
                let _ = watcher.unwatch(folder);
            }
            there
        });
        let (mut anew, mut failed) = (false, None);
        for folder in folders_now {
            let mark = mark(&folder);
            if folders.get(&folder) == Some(&mark) {
                continue;
            }
            let _ = watcher.unwatch(&folder);
            match watcher.watch(&folder, RecursiveMode::NonRecursive) {
                Ok(()) => {
                    folders.insert(folder, mark);
                    anew = true;
                }
                Err(error) => {
                    folders.remove(&folder);
                    failed = Some(error.to_string());
                }
            }
        }
        failed.map_or(Ok(anew), Err)
    }

    /// Lets go of all folders: each is watched anew next time.
    pub fn forget(&mut self) {
        self.folders.clear();
    }
}

fn mark(folder: &Path) -> Mark {
    let about = folder.metadata().ok();
    #[cfg(unix)]
    let number = {
        use std::os::unix::fs::MetadataExt;
        about.as_ref().map(|about| (about.dev(), about.ino()))
    };
    #[cfg(not(unix))]
    let number = None;
    (about.and_then(|about| about.created().ok()), number)
}

/// Reading alone tells of itself, too: heeding that would go round for ever.
fn may_change(event: &Event) -> bool {
    match event.kind {
        EventKind::Access(AccessKind::Close(AccessMode::Write)) => true,
        EventKind::Access(_) => event.need_rescan(),
        _ => true,
    }
}
