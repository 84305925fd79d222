//! A shelf of media and fittings.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::Medium;
use super::hoses::NamedFitting;

/// Media and fittings by id.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Library {
    media: BTreeMap<String, Arc<Medium>>,
    fittings: BTreeMap<String, Arc<NamedFitting>>,
}

impl Library {
    pub fn medium(&self, id: &str) -> Option<&Arc<Medium>> {
        self.media.get(id)
    }
    pub fn media(&self) -> impl Iterator<Item = &Arc<Medium>> + Clone {
        self.media.values()
    }
    pub fn fitting(&self, id: &str) -> Option<&Arc<NamedFitting>> {
        self.fittings.get(id)
    }
    pub fn fittings(&self) -> impl Iterator<Item = &Arc<NamedFitting>> + Clone {
        self.fittings.values()
    }
    /// Takes in a medium; one of the same id gives way.
    pub fn add_medium(&mut self, medium: Medium) {
        self.media.insert(medium.id.clone(), Arc::new(medium.ranged()));
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
