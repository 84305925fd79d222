//! Filters and tanks of the demo, and the search over them.

use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use cansift::assess::case::Case;
use cansift::library::{Library, demo, demo_tanks};
use cansift::model::filter::{Build, Filter};
use cansift::model::medium::Medium;
use cansift::model::tank::Tank;
use cansift::model::tray::Layer;
use cansift::propose::allowed::Allowed;
use cansift::propose::{Options, Proposal, propose};

pub fn medium(id: &str) -> Arc<Medium> {
    Arc::clone(Library::shipped().medium(id).unwrap())
}

pub fn media(ids: &[&str]) -> Vec<Allowed> {
    ids.iter().map(|id| Allowed { medium: medium(id), amount: None }).collect()
}

pub fn tamsin() -> Filter {
    (*demo().filters.iter().find(|s| s.filter.id == "tamsin-1100").unwrap().filter).clone()
}

pub fn tank(id: &str) -> Tank {
    let found = demo_tanks().into_iter().find(|t| t.path.file_stem().unwrap() == id);
    (*found.unwrap().tank).clone()
}

pub fn run(filter: &Filter, tank: &Tank, options: &Options) -> Vec<Proposal> {
    let case = Case::new(filter, &filter.builds[0], Some(tank));
    propose(&case, options, &AtomicBool::new(false), |_| {})
}

pub fn best(proposals: &[Proposal]) -> f64 {
    proposals.iter().map(|p| p.value).fold(f64::NEG_INFINITY, f64::max)
}

/// Which media lie where.
pub fn kind(build: &Build) -> Vec<Vec<String>> {
    let ids = |layers: &Vec<Layer>| layers.iter().map(|l| l.medium.id.clone()).collect();
    std::iter::once(&build.floor).chain(&build.trays).map(ids).collect()
}
