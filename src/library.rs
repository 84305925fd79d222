//! The media and fittings that ship inside the program, and what a user's own lists add to them.

use std::path::Path;
use std::sync::{Arc, LazyLock, Mutex};

pub use crate::model::library::Library;
use crate::parallel::lock;
use crate::profile::{self, Loaded, Problem, SoundTank};

impl Library {
    pub fn shipped() -> &'static Self {
        static SHIPPED: LazyLock<Library> = LazyLock::new(|| shipped().0);
        &SHIPPED
    }
}

/// Media that do not ship and came with what was loaded: a tank's `on_hand` may name them.
#[derive(Clone, Debug, Default)]
pub struct OwnMedia(Arc<Mutex<Library>>);

impl OwnMedia {
    /// Keeps those of profiles and lists that are not among these.
    pub fn note(&self, shipped: &Library, loaded: &Loaded) {
        let builds = loaded.filters.iter().flat_map(|sound| &sound.filter.builds);
        let layers = builds.flat_map(|build| build.floor.iter().chain(build.trays.iter().flatten()));
        let own = layers.map(|layer| &layer.medium).filter(|medium| shipped.medium(&medium.id).is_none());
        let mut kept = lock(&self.0);
        for medium in own.chain(&loaded.media) {
            kept.add_medium((**medium).clone());
        }
    }
    /// These and its own.
    pub fn with(&self, shipped: &Library) -> Library {
        let mut all = shipped.clone();
        all.extend(lock(&self.0).clone());
        all
    }
}

/// Files of the project with their text: name within the project, text.
macro_rules! embedded {
    ($(#[$doc:meta])* $name:ident in $folder:literal: $($file:literal),+ $(,)?) => {
        $(#[$doc])*
        pub const $name: &[(&str, &str)] =
            &[$((concat!($folder, "/", $file), include_str!(concat!("../", $folder, "/", $file)))),+];
    };
}

embedded! {
    LISTS in "profiles": "media.ron", "fittings.ron",
}

embedded! {
    /// The profiles of the built-in demo, in name order.
    DEMO in "demo-data":
    "bramtoft-1400.ron",
    "dunlow-300.ron",
    "gorsewick-2000.ron",
    "hesper-two.ron",
    "marrick-1800.ron",
    "orrin-900.ron",
    "pelworth-1000-attic.ron",
    "pelworth-1000-market.ron",
    "selwick-1200-uv.ron",
    "shed-tub.ron",
    "tamsin-1100.ron",
}

embedded! {
    /// The tanks of the built-in demo; the first is the one it is judged for.
    DEMO_TANKS in "demo-data/tanks":
    "reading-room.ron",
    "cafe-window.ron",
    "school-shelf.ron",
}

embedded! {
    START_TANKS in "profiles/tanks": "small-light.ron", "middle.ron", "large-heavy.ron",
}

/// Reads the shipped lists; a test holds that there are no problems.
pub fn shipped() -> (Library, Vec<Problem>) {
    let (mut library, mut problems) = (Library::default(), Vec::new());
    for (name, text) in LISTS {
        match profile::read_list(Path::new(name), text) {
            Ok(list) => library.extend(list),
            Err(broken) => problems.extend(broken.problems),
        }
    }
    (library, problems)
}

/// The built-in demo: filters of our own invention.
pub fn demo() -> Loaded {
    let mut loaded = Loaded::default();
    for (name, text) in DEMO {
        match profile::read_filter(Path::new(name), text, Library::shipped()) {
            Ok(sound) => loaded.filters.push(sound),
            Err(broken) => loaded.broken.push(broken),
        }
    }
    loaded
}

pub fn demo_tanks() -> Vec<SoundTank> {
    tanks(DEMO_TANKS)
}

pub fn start_tanks() -> Vec<SoundTank> {
    tanks(START_TANKS)
}

/// The tank inside the program of that file name, without a folder: one of the demo's, or one to start from.
pub fn tank_named(name: &Path) -> Option<SoundTank> {
    let named = |t: &SoundTank| t.path.file_name() == Some(name.as_os_str());
    demo_tanks().into_iter().chain(start_tanks()).find(named)
}

fn tanks(files: &[(&str, &str)]) -> Vec<SoundTank> {
    files
        .iter()
        .filter_map(|(name, text)| profile::read_tank(Path::new(name), text, Library::shipped()).ok())
        .collect()
}
