//! What comes in, between the thread that reads it and the loop that acts on it. So many keys may wait; of a flood
//! the rest is dropped, told, and never fires with later keys. Ctrl-C goes before everything that waits.

use crate::parallel::lock;
use std::collections::VecDeque;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Condvar, Mutex};
use std::time::{Duration, Instant};

use crossterm::event::{Event, KeyCode, KeyEvent, KeyModifiers};

/// Silence after which nothing more of a sequence, or of a flood, is awaited.
pub const PAUSE: Duration = Duration::from_millis(50);
/// Most events that wait to be acted on.
pub const MOST: usize = 256;
/// So many at once may be a hand's; a flood ends with them once all that waited is done.
const FEW: usize = 16;

#[derive(Debug, Default)]
pub struct Input {
    waiting: Mutex<Waiting>,
    news: Condvar,
    way_out: AtomicBool,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Lost {
    pub keys: usize,
    pub cut: bool,
    pub broken_off: bool,
}

impl Lost {
    pub fn told(self) -> Option<String> {
        let keys = (self.keys > 0)
            .then(|| format!("{} keys came at once: too many, so they were not heeded", self.keys));
        let cut = self.cut.then(|| "what was pasted is too long and was cut".to_owned());
        let broken = self.broken_off.then(|| "a paste broke off and was left out".to_owned());
        keys.or(cut).or(broken)
    }
}

#[derive(Debug, Default)]
struct Waiting {
    events: VecDeque<Event>,
    /// There were too many, and it goes on.
    flood: bool,
    lost: Lost,
    last: Option<Instant>,
    resized: bool,
    gone: bool,
}

impl Input {
    /// Puts in line what came at that time, with what was lost of it before.
    pub fn put(&self, events: Vec<Event>, lost: Lost, now: Instant) {
        let mut waiting = lock(&self.waiting);
        let quiet = waiting.last.is_none_or(|last| now.duration_since(last) >= PAUSE);
        if quiet || (waiting.events.is_empty() && events.len() <= FEW) {
            waiting.flood = false;
        }
        waiting.last = Some(now);
        waiting.lost.cut |= lost.cut;
        waiting.lost.broken_off |= lost.broken_off;
        for event in events {
            if is_way_out(&event) {
                self.way_out.store(true, Ordering::Release);
                waiting.events.clear();
                waiting.events.push_back(event);
                continue;
            }
            waiting.flood |= waiting.events.len() >= MOST;
            if waiting.flood {
                waiting.lost.keys += 1;
            } else {
                waiting.events.push_back(event);
            }
        }
        self.news.notify_all();
    }

    pub fn resize(&self) {
        lock(&self.waiting).resized = true;
        self.news.notify_all();
    }

    pub fn end(&self) {
        lock(&self.waiting).gone = true;
        self.news.notify_all();
    }

    /// Waits until there is news, but no longer than that.
    pub fn wait(&self, most: Duration) {
        let waiting = lock(&self.waiting);
        let idle = |w: &mut Waiting| w.events.is_empty() && !w.resized && !w.gone;
        drop(self.news.wait_timeout_while(waiting, most, idle));
    }

    pub fn next(&self) -> Option<Event> {
        lock(&self.waiting).events.pop_front()
    }

    /// Whether the size changed since it was last asked.
    pub fn resized(&self) -> bool {
        std::mem::take(&mut lock(&self.waiting).resized)
    }

    /// What was lost since it was last asked, nothing as long as a flood goes on.
    pub fn lost(&self) -> Lost {
        let mut waiting = lock(&self.waiting);
        let over = waiting.last.is_none_or(|last| last.elapsed() >= PAUSE);
        if over { std::mem::take(&mut waiting.lost) } else { Lost::default() }
    }

    pub fn gone(&self) -> bool {
        lock(&self.waiting).gone
    }

    pub fn way_out(&self) -> bool {
        self.way_out.load(Ordering::Acquire)
    }
}

pub fn is_way_out(event: &Event) -> bool {
    matches!(event, Event::Key(KeyEvent { code: KeyCode::Char('c'), modifiers, .. })
        if modifiers.contains(KeyModifiers::CONTROL))
}
