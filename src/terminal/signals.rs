//! Signals: those that ask to end, and the one that asks to stop.

/// The number of the signal for a terminal that hung up.
pub const HANG_UP: i32 = 1;

/// Number of the signal for Ctrl-C.
pub const INTERRUPT: i32 = 2;

#[cfg(unix)]
pub use unix::{Signals, heed_size_limits, stop_here};

#[cfg(not(unix))]
pub use other::{Signals, heed_size_limits, stop_here};

#[cfg(unix)]
mod unix {
    use std::io;
    use std::sync::Arc;
    use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

    use signal_hook::consts::{SIGHUP, SIGINT, SIGQUIT, SIGTERM, SIGTSTP, SIGXFSZ};

    pub struct Signals {
        end: Arc<AtomicUsize>,
        stop: Arc<AtomicBool>,
        ids: Vec<signal_hook::SigId>,
    }

    impl Signals {
        /// Listens from now on, until dropped.
        pub fn listen() -> io::Result<Self> {
            let (end, stop) = (Arc::new(AtomicUsize::new(0)), Arc::new(AtomicBool::new(false)));
            let mut ids = Vec::new();
            for number in [SIGTERM, SIGHUP, SIGINT, SIGQUIT] {
                let value = usize::try_from(number).unwrap_or(1);
                ids.push(signal_hook::flag::register_usize(number, Arc::clone(&end), value)?);
            }
            ids.push(signal_hook::flag::register(SIGTSTP, Arc::clone(&stop))?);
            Ok(Self { end, stop, ids })
        }
        pub fn end(&self) -> Option<i32> {
            asked(&self.end)
        }
        /// The same for another thread.
        pub fn asked(&self) -> impl Fn() -> Option<i32> + Send + 'static {
            let end = Arc::clone(&self.end);
            move || asked(&end)
        }
        /// Takes no notice of a Ctrl-C so far.
        pub fn forgive(&self) {
            let interrupt = usize::try_from(SIGINT).unwrap_or(1);
            let _ = self.end.compare_exchange(interrupt, 0, Ordering::AcqRel, Ordering::Acquire);
        }
        /// Whether one asked to stop since the last look.
        pub fn stop(&self) -> bool {
            self.stop.swap(false, Ordering::AcqRel)
        }
    }

    fn asked(end: &AtomicUsize) -> Option<i32> {
        match end.load(Ordering::Acquire) {
            0 => None,
            n => i32::try_from(n).ok(),
        }
    }

    impl Drop for Signals {
        fn drop(&mut self) {
            for id in self.ids.drain(..) {
                signal_hook::low_level::unregister(id);
            }
        }
    }

    /// From now on a limit on the size of files is an error of whoever writes, and does not end the program.
    pub fn heed_size_limits() {
        // Where it cannot be listened for, it ends the program as ever.
        let _ = signal_hook::flag::register(SIGXFSZ, Arc::default());
    }

    /// Stops this program as the shell's own key would; returns when it is continued.
    pub fn stop_here() -> io::Result<()> {
        signal_hook::low_level::emulate_default_handler(SIGTSTP)
    }
}

#[cfg(not(unix))]
mod other {
    use std::io;

    /// None here: the console's own events come as keys.
    pub struct Signals;

    impl Signals {
        pub fn listen() -> io::Result<Self> {
            Ok(Self)
        }
        pub fn end(&self) -> Option<i32> {
            None
        }
        pub fn asked(&self) -> impl Fn() -> Option<i32> + Send + 'static {
            || None
        }
        pub fn forgive(&self) {}
        pub fn stop(&self) -> bool {
            false
        }
    }

    pub fn heed_size_limits() {}

    pub fn stop_here() -> io::Result<()> {
        Ok(())
    }
}
