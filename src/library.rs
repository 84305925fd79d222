//! The media and fittings that ship inside the program, and what a user's own lists add to them.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::{Arc, LazyLock};

use crate::assumptions::Kind;
use crate::filter::hoses::{Fitting, Outlet};
use crate::filter::medium::Medium;
use crate::profile::{self, Loaded, Problem, SoundTank};

/// A fitting that files may call by its id.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedFitting {
    /// Short name in files.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// What it is.
    pub part: Part,
    /// Where its figures come from.
    pub source: String,
    /// Who stands behind them.
    pub kind: Kind,
}

/// What a named fitting may be.
#[derive(Clone, Debug, PartialEq)]
pub enum Part {
    /// Fitted into a hose.
    Fitting(Fitting),
    /// The end of the delivery side.
    Outlet(Outlet),
}

/// Media and fittings by id.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Library {
    media: BTreeMap<String, Arc<Medium>>,
    fittings: BTreeMap<String, Arc<NamedFitting>>,
}

impl Library {
    /// What ships inside the program.
    pub fn shipped() -> &'static Self {
        static SHIPPED: LazyLock<Library> = LazyLock::new(|| shipped().0);
        &SHIPPED
    }
    /// The medium of that id.
    pub fn medium(&self, id: &str) -> Option<&Arc<Medium>> {
        self.media.get(id)
    }
    /// All media, by id.
    pub fn media(&self) -> impl Iterator<Item = &Arc<Medium>> + Clone {
        self.media.values()
    }
    /// The fitting of that id.
    pub fn fitting(&self, id: &str) -> Option<&Arc<NamedFitting>> {
        self.fittings.get(id)
    }
    /// All fittings, by id.
    pub fn fittings(&self) -> impl Iterator<Item = &Arc<NamedFitting>> + Clone {
        self.fittings.values()
    }
    /// Takes in a medium; one of the same id gives way.
    pub fn add_medium(&mut self, medium: Medium) {
        self.media.insert(medium.id.clone(), Arc::new(medium));
    }
    /// Takes in a fitting; one of the same id gives way.
    pub fn add_fitting(&mut self, fitting: NamedFitting) {
        self.fittings.insert(fitting.id.clone(), Arc::new(fitting));
    }
    /// Takes in all of another library; its entries win.
    pub fn extend(&mut self, other: Self) {
        self.media.extend(other.media);
        self.fittings.extend(other.fittings);
    }
}

/// The lists that ship: file name and text.
pub const LISTS: [(&str, &str); 2] = [
    ("profiles/media.ron", include_str!("../profiles/media.ron")),
    ("profiles/fittings.ron", include_str!("../profiles/fittings.ron")),
];

/// The profiles of the built-in demo: file name and text.
pub const DEMO: &[(&str, &str)] = &[
    ("demo-data/bramtoft-1400.ron", include_str!("../demo-data/bramtoft-1400.ron")),
    ("demo-data/dunlow-300.ron", include_str!("../demo-data/dunlow-300.ron")),
    ("demo-data/gorsewick-2000.ron", include_str!("../demo-data/gorsewick-2000.ron")),
    ("demo-data/hesper-two.ron", include_str!("../demo-data/hesper-two.ron")),
    ("demo-data/marrick-1800.ron", include_str!("../demo-data/marrick-1800.ron")),
    ("demo-data/orrin-900.ron", include_str!("../demo-data/orrin-900.ron")),
    ("demo-data/pelworth-1000-attic.ron", include_str!("../demo-data/pelworth-1000-attic.ron")),
    ("demo-data/pelworth-1000-market.ron", include_str!("../demo-data/pelworth-1000-market.ron")),
    ("demo-data/selwick-1200-uv.ron", include_str!("../demo-data/selwick-1200-uv.ron")),
    ("demo-data/shed-tub.ron", include_str!("../demo-data/shed-tub.ron")),
    ("demo-data/tamsin-1100.ron", include_str!("../demo-data/tamsin-1100.ron")),
];

/// The tanks of the built-in demo, the one it is judged for first: file name and text.
pub const DEMO_TANKS: &[(&str, &str)] = &[
    ("demo-data/tanks/reading-room.ron", include_str!("../demo-data/tanks/reading-room.ron")),
    ("demo-data/tanks/cafe-window.ron", include_str!("../demo-data/tanks/cafe-window.ron")),
    ("demo-data/tanks/school-shelf.ron", include_str!("../demo-data/tanks/school-shelf.ron")),
];

/// Reads the shipped lists; a test holds that there are no problems.
fn shipped() -> (Library, Vec<Problem>) {
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

/// The tanks of the built-in demo.
pub fn demo_tanks() -> Vec<SoundTank> {
    DEMO_TANKS
        .iter()
        .filter_map(|(name, text)| profile::read_tank(Path::new(name), text, Library::shipped()).ok())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn everything_that_ships_is_sound() {
        let (library, problems) = shipped();
        let told: Vec<_> = problems.iter().map(|p| p.rendered.as_str()).collect();
        assert!(told.is_empty(), "{}", told.join("\n"));
        assert!(library.media().count() > 0 && library.fittings().count() > 0);
        let demo = demo();
        assert!(demo.broken.is_empty(), "{:?}", demo.broken);
        assert_eq!(demo.filters.len(), DEMO.len());
        assert_eq!(demo_tanks().len(), DEMO_TANKS.len());
    }
}
