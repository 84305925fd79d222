//! What the Restack screen needs of the rest: the search for stacks, and new files that are listed from then on.

use std::path::{Path, PathBuf};
use std::sync::atomic::AtomicBool;
use std::sync::{Arc, Mutex};

use super::super::Run;
use super::super::restack::options;
use crate::app::screens::restack::asks::Propose;
use crate::app::screens::restack::background::{News, RestackHooks};
use crate::assess::Case;
use crate::parallel::lock;
use crate::profile::store;
use crate::propose::{Options, Proposal, allowed, propose};

const LISTED: usize = 4;

/// Files that were written on screen, to be read with those asked for.
#[derive(Clone, Debug, Default)]
pub struct Written(Arc<Mutex<Vec<PathBuf>>>);

impl Written {
    pub fn paths(&self) -> Vec<PathBuf> {
        lock(&self.0).clone()
    }
    fn add(&self, path: &Path) {
        let mut paths = lock(&self.0);
        if paths.iter().all(|other| other != path) {
            paths.push(path.to_path_buf());
        }
    }
}

pub fn hooks(written: Written, run: &Run) -> RestackHooks {
    let run = run.clone();
    RestackHooks {
        search: Arc::new(move |ask, stop, progress| search(ask, &run, stop, progress)),
        write: Arc::new(move |path, text, over| {
            store::save_either(path, text, over).map_err(|why| why.to_string())?;
            written.add(path);
            Ok(())
        }),
    }
}

/// Stacks worked on at once, and judged at most, for a first answer.
const QUICK: (usize, usize) = (2, 1_500);

fn search(ask: &Propose, run: &Run, stop: &AtomicBool, tell: &mut dyn FnMut(News)) -> Vec<Proposal> {
    let find = |id: &str| ask.media.iter().find(|m| m.id == id).map(Arc::clone);
    let media = if ask.on_hand {
        allowed::on_hand(find, &ask.filter, &ask.build, &ask.tank)
    } else {
        allowed::all(ask.media.iter().map(Arc::clone), &ask.filter, &ask.build, &ask.tank)
    };
    let options = options(media, &ask.build, run, (LISTED, ask.foam_only));
    let case = Case::new(&ask.filter, &ask.build, Some(&ask.tank));
    // The best so far stand in the table while it looks harder.
    let quick = Options { beam: QUICK.0, most: QUICK.1, samples: 0, ..options.clone() };
    tell(News::Best(propose(&case, &quick, stop, &mut |_| {})));
    propose(&case, &options, stop, &mut |share| tell(News::Share(share)))
}
