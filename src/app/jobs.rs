//! Work in the background: files are read and builds judged on threads of their own, and what comes out
//! returns as messages. A newer question drops an older one; a thread that panics is told, not fatal.

use std::any::Any;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, AtomicUsize, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;

use super::effect::Message;
use crate::filter::filter::Filter;
use crate::filter::tank::Tank;
use crate::judge::result::Judgement;
use crate::measures::Measure;
use crate::profile::Loaded;

/// Judges a build of a filter for a tank.
pub type Judge = Arc<dyn Fn(&Filter, usize, Option<&Tank>) -> Judgement + Send + Sync>;
/// Explains a measure of a build, line by line.
pub type Explain = Arc<dyn Fn(&Filter, usize, Measure, Option<&Tank>) -> Vec<String> + Send + Sync>;
/// Reads the files asked for.
pub type Load = Arc<dyn Fn() -> Loaded + Send + Sync>;

/// What the screens need from the rest of the program.
#[derive(Clone)]
pub struct Hooks {
    /// Reads the files.
    pub load: Load,
    /// Judges a build.
    pub judge: Judge,
    /// Explains a figure.
    pub explain: Explain,
}

/// The background.
pub struct Jobs {
    hooks: Hooks,
    threads: usize,
    /// The round being judged; workers of an older one stop.
    round: Arc<AtomicU64>,
    out: Sender<Message>,
    inbox: Receiver<Message>,
}

impl Jobs {
    /// A background with so many threads to judge on.
    pub fn new(hooks: Hooks, threads: usize) -> Self {
        let (out, inbox) = channel();
        Self { hooks, threads: threads.clamp(1, 64), round: Arc::default(), out, inbox }
    }

    /// A way for others (a watcher of files, say) to send messages in.
    pub fn sender(&self) -> Sender<Message> {
        self.out.clone()
    }

    /// What came out since the last time, without waiting. Judged builds of one round come as one message.
    pub fn drain(&self) -> Vec<Message> {
        let mut out: Vec<Message> = Vec::new();
        for message in self.inbox.try_iter() {
            match (out.last_mut(), message) {
                (Some(Message::Judged { round: a, done: all }), Message::Judged { round: b, done })
                    if *a == b =>
                {
                    all.extend(done);
                }
                (_, other) => out.push(other),
            }
        }
        out
    }

    /// Reads the files.
    pub fn load(&self) {
        let (load, out) = (Arc::clone(&self.hooks.load), self.out.clone());
        thread::spawn(move || {
            let message = match catch_unwind(AssertUnwindSafe(|| load())) {
                Ok(loaded) => Message::Loaded(loaded),
                Err(panic) => Message::NotLoaded(words(&*panic)),
            };
            // Nobody listens any more when the program is leaving.
            let _ = out.send(message);
        });
    }

    /// Judges builds; each carries its place among the entries. Drops what an older round has not done yet.
    pub fn judge(&self, round: u64, builds: Vec<(usize, Arc<Filter>, usize)>, tank: Option<&Arc<Tank>>) {
        self.round.store(round, Ordering::Release);
        let builds = Arc::new(builds);
        let next = Arc::new(AtomicUsize::new(0));
        for _ in 0..self.threads.min(builds.len()) {
            let (builds, next, tank) = (Arc::clone(&builds), Arc::clone(&next), tank.cloned());
            let (current, judge, out) =
                (Arc::clone(&self.round), Arc::clone(&self.hooks.judge), self.out.clone());
            thread::spawn(move || {
                while current.load(Ordering::Acquire) == round {
                    let Some((entry, filter, build)) = builds.get(next.fetch_add(1, Ordering::Relaxed))
                    else {
                        break;
                    };
                    let judged = catch_unwind(AssertUnwindSafe(|| judge(filter, *build, tank.as_deref())));
                    let message = match judged {
                        Ok(j) => Message::Judged { round, done: vec![(*entry, Arc::new(j))] },
                        Err(panic) => Message::Failed { round, entry: *entry, why: words(&*panic) },
                    };
                    if out.send(message).is_err() {
                        break;
                    }
                }
            });
        }
    }

    /// Stops judging after the builds that are in hand.
    pub fn cancel(&self) {
        self.round.store(u64::MAX, Ordering::Release);
    }

    /// Explains a figure.
    pub fn explain(
        &self,
        entry: usize,
        measure: Measure,
        filter: Arc<Filter>,
        build: usize,
        tank: Option<Arc<Tank>>,
    ) {
        let (explain, out) = (Arc::clone(&self.hooks.explain), self.out.clone());
        thread::spawn(move || {
            let lines = catch_unwind(AssertUnwindSafe(|| explain(&filter, build, measure, tank.as_deref())))
                .unwrap_or_else(|panic| vec![format!("it could not be explained: {}", words(&*panic))]);
            let _ = out.send(Message::Explained { entry, measure, lines });
        });
    }
}

/// What a panic said.
fn words(panic: &(dyn Any + Send)) -> String {
    panic
        .downcast_ref::<&str>()
        .map(|s| (*s).to_owned())
        .or_else(|| panic.downcast_ref::<String>().cloned())
        .unwrap_or_else(|| "no words given".to_owned())
}
