//! One queue for all work in the background, and a fixed number of threads that take from it. A newer question
//! takes the place of an older one of its kind and stops it. Where no thread is to be had, whoever asks for results
//! does the work.

use std::collections::VecDeque;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Condvar, Mutex, PoisonError};
use std::thread;

use super::lock;

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

/// Work of one kind.
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

/// The queue; its threads end with it.
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

    /// How many may judge at once.
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

    /// Puts something in line that is done once.
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

    /// Stops work of a kind, and forgets what waits.
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

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::mpsc::{Receiver, Sender, channel};
    use std::time::Duration;

    const LONG: Duration = Duration::from_secs(10);

    /// Work that tells when it begins, and ends when it is told to or when it may.
    fn held(name: usize, tell: &Sender<(usize, bool)>, may: Receiver<()>) -> Work {
        let tell = tell.clone();
        Box::new(move |stop| {
            tell.send((name, false)).unwrap();
            while !stop.load(Ordering::Acquire) && may.recv_timeout(Duration::from_millis(2)).is_err() {}
            tell.send((name, stop.load(Ordering::Acquire))).unwrap();
            false
        })
    }

    #[test]
    fn of_a_kind_the_newest_wins_and_one_runs_at_a_time() {
        let queue = Queue::new(4);
        let (tell, told) = channel();
        let mut gates = Vec::new();
        for name in 0..1000 {
            let (open, may) = channel();
            gates.push(open);
            queue.put(Kind::Rank, [held(name, &tell, may)]);
            if name == 0 {
                assert_eq!(told.recv_timeout(LONG), Ok((0, false)));
            }
        }
        // The first was stopped; of the others some began and were stopped, never two at once; the last stays.
        let mut running = Some(0);
        loop {
            let (name, stopped) = told.recv_timeout(LONG).unwrap();
            match running.take() {
                Some(was) => assert_eq!((was, true), (name, stopped)),
                None => running = Some(name),
            }
            if name == 999 {
                break;
            }
        }
        gates.pop().unwrap().send(()).unwrap();
        assert_eq!(told.recv_timeout(LONG), Ok((999, false)));
    }

    #[test]
    fn what_writes_files_is_done_one_after_the_other_and_all_of_it() {
        let queue = Queue::new(8);
        let (tell, told) = channel();
        for number in 0..500 {
            let tell = tell.clone();
            queue.once(Kind::Files, move |_| {
                tell.send(number).unwrap();
                assert!(number % 7 != 0, "one that falls over takes no thread along");
            });
        }
        let order: Vec<i32> = (0..500).map(|_| told.recv_timeout(LONG).unwrap()).collect();
        assert!(order.is_sorted());
    }

    #[test]
    fn a_question_does_not_wait_for_long_work() {
        let queue = Queue::new(1);
        let (tell, told) = channel();
        let mut gates = Vec::new();
        for kind in [Kind::Judge, Kind::Search] {
            let (open, may) = channel();
            gates.push(open);
            queue.put(kind, [held(kind as usize, &tell, may)]);
            told.recv_timeout(LONG).unwrap();
        }
        let (answer, answered) = channel();
        queue.once(Kind::Explain, move |_| answer.send(()).unwrap());
        answered.recv_timeout(LONG).unwrap();
    }

    #[test]
    fn many_share_what_is_judged_and_come_back_for_more() {
        let queue = Queue::new(3);
        let (tell, told) = channel();
        let work = (0..3).map(|_| {
            let (tell, mut left) = (tell.clone(), 100);
            Box::new(move |_: &AtomicBool| {
                left -= 1;
                tell.send(()).unwrap();
                left > 0
            }) as Work
        });
        queue.put(Kind::Judge, work);
        for _ in 0..300 {
            told.recv_timeout(LONG).unwrap();
        }
        assert!(told.recv_timeout(Duration::from_millis(50)).is_err());
    }
}
