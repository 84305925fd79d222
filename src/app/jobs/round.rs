//! One round of judging, shared by the threads that work on it: nominal figures of every build first, then advice
//! and doubt.

use std::collections::BTreeSet;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::mpsc::Sender;
use std::sync::{Arc, Mutex};

use super::super::Message;
use super::hooks::Hooks;
use crate::assess::Assessment;
use crate::model::{Filter, Tank};
use crate::parallel::{caught, lock};

pub struct Round {
    pub number: u64,
    pub hooks: Hooks,
    pub out: Sender<Message>,
    pub tank: Option<Arc<Tank>>,
    /// Builds, each with its place among the entries.
    pub builds: Vec<(usize, Arc<Filter>, usize)>,
    pub done: Done,
}

#[derive(Default)]
pub struct Done {
    /// The next build to judge at nominal values.
    nominal: AtomicUsize,
    /// The next build to advise on and to doubt.
    doubted: AtomicUsize,
    /// Held till it is sent, so that what is told comes in this order.
    told: Mutex<Told>,
}

#[derive(Default)]
struct Told {
    /// Entries whose advice is told: nominal figures of theirs that come later, from a slower thread, say less.
    advised: BTreeSet<usize>,
    doubted: usize,
}

impl Round {
    fn next(&self, of: &AtomicUsize) -> Option<&(usize, Arc<Filter>, usize)> {
        self.builds.get(of.fetch_add(1, Ordering::Relaxed))
    }

    pub fn step(&self, stop: &AtomicBool) -> bool {
        let tank = self.tank.as_deref();
        if let Some((entry, filter, build)) = self.next(&self.done.nominal) {
            let judged = caught(|| (self.hooks.judge)(filter, *build, tank));
            return self.tell(*entry, judged, false);
        }
        let Some((entry, filter, build)) = self.next(&self.done.doubted) else { return false };
        let advised = caught(|| {
            let mut judged = (self.hooks.judge)(filter, *build, tank);
            (self.hooks.advise)(filter, *build, tank, &mut judged);
            judged
        });
        if !self.tell(*entry, advised, true) {
            return false;
        }
        let Some(doubt) = &self.hooks.doubt else { return true };
        let many = caught(|| doubt(filter, *build, tank, stop));
        let done = match many {
            Ok(Some(many)) => vec![(*entry, Arc::new(many))],
            Ok(None) => return false,
            // Its nominal figures stand; only the doubt is missing, and the bar goes on.
            Err(_) => Vec::new(),
        };
        let mut told = lock(&self.done.told);
        told.doubted += 1;
        let share = told.doubted as f64 / self.builds.len() as f64;
        self.out.send(Message::Doubted { round: self.number, done, share }).is_ok()
    }

    fn tell(&self, entry: usize, judged: Result<Assessment, String>, whole: bool) -> bool {
        let round = self.number;
        let mut told = lock(&self.done.told);
        if whole {
            told.advised.insert(entry);
        } else if told.advised.contains(&entry) {
            return true;
        }
        let message = match judged {
            Ok(judged) => Message::Judged { round, done: vec![(entry, Arc::new(judged))] },
            Err(why) => Message::Failed { round, entry, why },
        };
        self.out.send(message).is_ok()
    }
}
