//! Ends the program when its loop no longer can: it hangs in a write to a terminal that takes nothing. This thread
//! then drops what waits to be taken, so that the loop can end as it should. Where even that does not help it gives
//! the terminal back as far as that goes without waiting, and leaves.

use std::process;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::thread;
use std::time::Duration;

use super::guard;
use super::signals::HANG_UP;

const LOOK: Duration = Duration::from_millis(250);
/// Looks without a beat of the loop before a signal, Ctrl-C, or a terminal that is gone ends the program: the loop
/// beats ten times a second.
const PATIENCE: u32 = 2;
/// Looks after that, until the loop is not waited for any more.
const END: u32 = 3;

/// Beats of the event loop.
#[derive(Clone, Debug, Default)]
pub struct Heart(Arc<AtomicU64>);

impl Heart {
    pub fn beat(&self) {
        self.0.fetch_add(1, Ordering::Relaxed);
    }

    /// Watches until the program ends. `signal` gives the number of a signal that asked to end, or that a key stands
    /// for.
    pub fn watch(&self, signal: impl Fn() -> Option<i32> + Send + 'static) {
        let beats = Arc::clone(&self.0);
        // Without a thread to watch the program still works; it only cannot leave a closed terminal by itself.
        let _ = thread::Builder::new().name("watch".to_owned()).spawn(move || {
            let (mut before, mut still, mut asked) = (0, 0, 0);
            loop {
                thread::sleep(LOOK);
                let now = beats.load(Ordering::Relaxed);
                still = if now == before { still + 1 } else { 0 };
                before = now;
                let number = signal().or_else(|| gone().then_some(HANG_UP)).filter(|_| still >= PATIENCE);
                let Some(number) = number else {
                    asked = 0;
                    continue;
                };
                asked += 1;
                if asked < END {
                    guard::make_room();
                } else {
                    guard::give_back_at_once();
                    process::exit(128 + number);
                }
            }
        });
    }
}

fn gone() -> bool {
    crossterm::terminal::window_size().is_err()
}
