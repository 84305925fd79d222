//! Ends the program when its loop no longer can.
//!
//! When a terminal is closed, the event library may read the end of its input for ever and come back neither
//! with an event nor for a signal. This thread then gives the terminal back and leaves.

use std::process;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::thread;
use std::time::Duration;

use super::guard;

/// How often it looks.
const LOOK: Duration = Duration::from_millis(250);
/// Looks without a beat of the loop before a signal, or a terminal that is gone, ends the program: the loop
/// beats ten times a second, or hangs in a write to a terminal that is held.
const PATIENCE: u32 = 2;

/// Beats of the event loop.
#[derive(Clone, Debug, Default)]
pub struct Heart(Arc<AtomicU64>);

impl Heart {
    /// One turn of the loop.
    pub fn beat(&self) {
        self.0.fetch_add(1, Ordering::Relaxed);
    }

    /// Watches until the program ends. `signal` gives the number of a signal that asked to end.
    pub fn watch(&self, signal: impl Fn() -> Option<i32> + Send + 'static) {
        let beats = Arc::clone(&self.0);
        // Without a thread to watch the program still works; it only cannot leave a closed terminal by itself.
        let _ = thread::Builder::new().name("watch".to_owned()).spawn(move || {
            let (mut before, mut still) = (0, 0);
            loop {
                thread::sleep(LOOK);
                let now = beats.load(Ordering::Relaxed);
                still = if now == before { still + 1 } else { 0 };
                before = now;
                if still >= PATIENCE {
                    if let Some(number) = signal() {
                        guard::give_back();
                        process::exit(128 + number);
                    }
                    if gone() {
                        process::exit(128 + HANG_UP);
                    }
                }
            }
        });
    }
}

/// Number of the signal for a terminal that hung up.
const HANG_UP: i32 = 1;

/// Has the terminal gone away?
fn gone() -> bool {
    crossterm::terminal::window_size().is_err()
}
