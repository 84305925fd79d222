//! One queue for all work in the background, and a fixed number of threads that take from it. A newer question
//! takes the place of an older one of its kind and stops it. Where no thread is to be had, whoever asks for results
//! does the work.

use std::collections::VecDeque;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Condvar, Mutex, PoisonError};
use std::thread;

use crate::parallel::lock;

/// A piece of work; it looks at the flag that says stop, and tells whether there is more to do of it.
pub type Work = Box<dyn FnMut(&AtomicBool) -> bool + Send>;

/// Kinds of work, the most urgent first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// What finds, follows and writes single files.
    Files,
    Load,
    Explain,
    Why,
    Uses,
    Rank,
    /// Of the stack on the Restack screen.
    Figures,
    Report,
    Judge,
    /// For stacks.
    Search,
}

const KINDS: usize = Kind::Search as usize + 1;

impl Kind {
    /// Whether each piece is done, one after the other, and not only the newest: what writes files.
    fn all(self) -> bool {
        matches!(self, Self::Files | Self::Report)
    }
}

#[derive(Default)]
struct Line {
    waiting: VecDeque<Work>,
    busy: usize,
    stop: Arc<AtomicBool>,
}

impl Line {
    fn renew(&mut self) {
        self.stop.store(true, Ordering::Release);
        self.stop = Arc::default();
        self.waiting.clear();
    }
}

struct Shared {
    lines: Mutex<[Line; KINDS]>,
    news: Condvar,
    /// Most threads that judge at once; of other kinds one piece is done at a time.
    judges: usize,
    over: AtomicBool,
}

pub struct Queue {
    shared: Arc<Shared>,
    alone: bool,
}

/// Threads besides those that judge, so that a question does not wait for figures of many builds.
const SPARE: usize = 2;

impl Queue {
    /// A queue with so many threads to judge on, as far as they are to be had.
    pub fn new(judges: usize) -> Self {
        let shared = Arc::new(Shared {
            lines: Mutex::default(),
            news: Condvar::new(),
            judges,
            over: AtomicBool::new(false),
        });
        let begun = (0..judges + SPARE).map_while(|i| {
            let shared = Arc::clone(&shared);
            thread::Builder::new().name(format!("work {i}")).spawn(move || shared.work()).ok()
        });
        let alone = begun.count() == 0;
        Self { shared, alone }
    }

    pub fn judges(&self) -> usize {
        self.shared.judges
    }

    /// Puts work in line that as many threads share as there are pieces.
    pub fn put(&self, kind: Kind, work: impl IntoIterator<Item = Work>) {
        let mut lines = lock(&self.shared.lines);
        if let Some(line) = lines.get_mut(kind as usize) {
            if !kind.all() {
                line.renew();
            }
            line.waiting.extend(work);
        }
        drop(lines);
        self.shared.news.notify_all();
    }

    pub fn once(&self, kind: Kind, work: impl FnOnce(&AtomicBool) + Send + 'static) {
        let mut work = Some(work);
        let once = Box::new(move |stop: &AtomicBool| {
            if let Some(work) = work.take() {
                work(stop);
            }
            false
        });
        self.put(kind, [once as Work]);
    }

    pub fn stop(&self, kind: Kind) {
        if let Some(line) = lock(&self.shared.lines).get_mut(kind as usize) {
            line.renew();
        }
    }

    /// Does a piece of work where there is no thread for it; false when nothing was done.
    pub fn turn(&self) -> bool {
        self.alone && self.shared.turn(false)
    }
}

impl Drop for Queue {
    fn drop(&mut self) {
        self.shared.over.store(true, Ordering::Release);
        for line in lock(&self.shared.lines).iter_mut() {
            line.renew();
        }
        self.shared.news.notify_all();
    }
}

impl Shared {
    fn work(&self) {
        while self.turn(true) {}
    }

    /// Does the most urgent piece of work, after waiting for one if need be; false when there is none.
    fn turn(&self, wait: bool) -> bool {
        let mut lines = lock(&self.lines);
        let (at, mut work, stop) = loop {
            if self.over.load(Ordering::Acquire) {
                return false;
            }
            if let Some(taken) = self.take(&mut lines) {
                break taken;
            }
            if !wait {
                return false;
            }
            lines = self.news.wait(lines).unwrap_or_else(PoisonError::into_inner);
        };
        drop(lines);
        // What falls over tells of it by itself; here it must only not take the thread along.
        let more = catch_unwind(AssertUnwindSafe(|| work(&stop))).unwrap_or(false);
        if let Some(line) = lock(&self.lines).get_mut(at) {
            line.busy -= 1;
            if more && Arc::ptr_eq(&line.stop, &stop) {
                line.waiting.push_front(work);
            }
        }
        self.news.notify_one();
        true
    }

    fn take(&self, lines: &mut [Line; KINDS]) -> Option<(usize, Work, Arc<AtomicBool>)> {
        lines.iter_mut().enumerate().find_map(|(at, line)| {
            let most = if at == Kind::Judge as usize { self.judges } else { 1 };
            let work = (line.busy < most).then(|| line.waiting.pop_front())??;
            line.busy += 1;
            Some((at, work, Arc::clone(&line.stop)))
        })
    }
}
