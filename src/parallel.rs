//! The same done to many things on several threads. Never more threads than asked for, and fewer where the system
//! has no more: the caller's own is always one of them.

use std::panic::resume_unwind;
use std::sync::atomic::{AtomicUsize, Ordering};
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

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashSet;
    use std::panic::catch_unwind;
    use std::sync::Mutex;
    use std::time::Duration;

    #[test]
    fn order_stays_and_threads_have_a_bound() {
        let items: Vec<usize> = (0..200).collect();
        for threads in [0, 1, 3, 1000] {
            let seen = Mutex::new(HashSet::new());
            let made = map(threads, &items, |i| {
                seen.lock().unwrap().insert(thread::current().id());
                thread::sleep(Duration::from_micros(200));
                i * i
            });
            assert!(made.iter().enumerate().all(|(i, made)| *made == i * i) && made.len() == 200);
            assert!((1..=threads.max(1)).contains(&seen.lock().unwrap().len()));
        }
        assert!(map(4, &[] as &[u8], |_| 0).is_empty());
    }

    #[test]
    fn who_falls_over_is_not_passed_over() {
        let fallen = catch_unwind(|| map(4, &[1, 2, 3, 4, 5, 6], |i| assert!(*i != 5, "at {i}")));
        assert_eq!(fallen.unwrap_err().downcast_ref::<String>().map(String::as_str), Some("at 5"));
    }
}
