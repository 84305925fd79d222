//! The same done to many things on several threads. Never more threads than asked for, and fewer where the system
//! has no more: the caller's own is always one of them.

use std::any::Any;
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::thread;

/// As many threads as there is something to run them on.
pub fn processors() -> usize {
    thread::available_parallelism().map_or(1, usize::from)
}

/// What `work` makes of each, in their order, whichever thread did it.
pub fn map<T: Sync, R: Send>(threads: usize, items: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let next = AtomicUsize::new(0);
    let share = || {
        let mut done = Vec::new();
        loop {
            let at = next.fetch_add(1, Ordering::Relaxed);
            let Some(item) = items.get(at) else { return done };
            done.push((at, work(item)));
        }
    };
    let mut done = thread::scope(|scope| {
        let helpers: Vec<_> = (1..threads.min(items.len()))
            .map_while(|_| thread::Builder::new().spawn_scoped(scope, share).ok())
            .collect();
        let mut done = share();
        for helper in helpers {
            done.extend(helper.join().unwrap_or_else(|panic| resume_unwind(panic)));
        }
        done
    });
    done.sort_unstable_by_key(|(at, _)| *at);
    done.into_iter().map(|(_, made)| made).collect()
}

/// What comes of work, or the words of its panic.
pub fn caught<T>(work: impl FnOnce() -> T) -> Result<T, String> {
    catch_unwind(AssertUnwindSafe(work)).map_err(|panic| words(&*panic))
}

/// What a lock holds is whole even when a thread that had it fell over.
pub fn lock<T>(of: &Mutex<T>) -> MutexGuard<'_, T> {
    of.lock().unwrap_or_else(PoisonError::into_inner)
}

fn words(panic: &(dyn Any + Send)) -> String {
    panic
        .downcast_ref::<&str>()
        .map(|s| (*s).to_owned())
        .or_else(|| panic.downcast_ref::<String>().cloned())
        .unwrap_or_else(|| "no words given".to_owned())
}
