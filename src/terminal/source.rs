//! Reads the terminal on a thread of its own, which waits for nothing else and holds nothing up. Where no thread is
//! to be had, the loop reads by itself, for as long as it would have waited.

use std::io;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel, sync_channel};
use std::thread;
use std::time::Duration;

use super::input::Input;
use sys::Source;

/// Longest wait for the reading to end: it ends at once, unless a read waits for what another program took.
const END: Duration = Duration::from_millis(100);

/// The reading of the terminal; it ends when this is dropped.
pub struct Reader {
    input: Arc<Input>,
    /// Where the loop has to read by itself.
    own: Option<Source>,
    stop: Option<sys::Stop>,
    /// Nothing ever comes; it is shut when the thread has ended.
    ended: Receiver<()>,
}

impl Reader {
    pub fn start(input: &Arc<Input>) -> io::Result<Self> {
        let (source, stop) = Source::new()?;
        let (give, taken) = sync_channel(1);
        let (end, ended) = channel();
        let to = Arc::clone(input);
        // The source is handed over once the thread is there: a refused one would take it along.
        let thread = thread::Builder::new().name("keys".to_owned()).spawn(move || {
            let (_end, Ok(mut source)): (Sender<()>, Result<Source, _>) = (end, taken.recv()) else { return };
            while source.turn(None, &to) {}
        });
        let own = match thread {
            Ok(_) => give.send(source).err().map(|unsent| unsent.0),
            Err(_) => Some(source),
        };
        Ok(Self { input: Arc::clone(input), own, stop: Some(stop), ended })
    }

    pub fn wait(&mut self, most: Duration) {
        match &mut self.own {
            Some(source) => drop(source.turn(Some(most), &self.input)),
            None => self.input.wait(most),
        }
    }
}

impl Drop for Reader {
    /// What is typed from now on is the next program's.
    fn drop(&mut self) {
        self.stop = None;
        let _ = self.ended.recv_timeout(END);
    }
}

#[cfg(unix)]
mod sys {
    use std::io::{self, PipeReader, PipeWriter};
    use std::os::fd::AsFd;
    use std::os::unix::net::UnixStream;
    use std::time::{Duration, Instant};

    use rustix::event::{PollFd, PollFlags, Timespec, poll};
    use rustix::io::Errno;
    use rustix::stdio::stdin;
    use signal_hook::consts::SIGWINCH;
    use signal_hook::iterator::backend::SignalDelivery;
    use signal_hook::iterator::exfiltrator::SignalOnly;

    use super::super::bytes::Bytes;
    use super::super::input::{Input, PAUSE};

    /// The terminal's bytes, and word of another size.
    pub struct Source {
        bytes: Bytes,
        last: Instant,
        sizes: SignalDelivery<UnixStream, SignalOnly>,
        stop: PipeReader,
    }

    /// The reading ends when this is dropped: the other end of the pipe sees it.
    pub struct Stop(#[expect(dead_code)] PipeWriter);

    impl Source {
        pub fn new() -> io::Result<(Self, Stop)> {
            let (read, write) = UnixStream::pair()?;
            let (stop, stopped) = io::pipe()?;
            let sizes = SignalDelivery::with_pipe(read, write, SignalOnly, [SIGWINCH])?;
            Ok((Self { bytes: Bytes::default(), last: Instant::now(), sizes, stop }, Stop(stopped)))
        }

        /// Waits for something and takes it in; false when nothing more will come.
        pub fn turn(&mut self, most: Option<Duration>, input: &Input) -> bool {
            let rest = self.bytes.waits().then(|| PAUSE.saturating_sub(self.last.elapsed()));
            let wait = match (most, rest) {
                (Some(most), Some(rest)) => Some(most.min(rest)),
                (most, rest) => most.or(rest),
            };
            let wait = wait.and_then(|wait| Timespec::try_from(wait).ok());
            let watched = [stdin(), self.sizes.get_read().as_fd(), self.stop.as_fd()];
            let mut ready = watched.map(|fd| PollFd::from_borrowed_fd(fd, PollFlags::IN));
            match poll(&mut ready, wait.as_ref()) {
                Ok(_) => {}
                Err(Errno::INTR) => return true,
                Err(_) => {
                    input.end();
                    return false;
                }
            }
            let [keys, size, stop] = ready.map(|fd| !fd.revents().is_empty());
            if stop {
                return false;
            }
            if size {
                drop(self.sizes.pending());
                input.resize();
            }
            if keys {
                return self.read(input);
            }
            if self.bytes.waits() && self.last.elapsed() >= PAUSE {
                let mut events = Vec::new();
                self.bytes.pause(&mut events);
                input.put(events, self.bytes.lost(), Instant::now());
            }
            true
        }

        fn read(&mut self, input: &Input) -> bool {
            // More than the kernel keeps of what nobody has read yet.
            let mut bytes = [0; 8192];
            match rustix::io::read(stdin(), &mut bytes) {
                Ok(0) => {}
                Ok(length) => {
                    let mut events = Vec::new();
                    self.bytes.feed(bytes.get(..length).unwrap_or_default(), &mut events);
                    self.last = Instant::now();
                    input.put(events, self.bytes.lost(), self.last);
                    return true;
                }
                Err(Errno::INTR | Errno::AGAIN) => return true,
                Err(_) => {}
            }
            input.end();
            false
        }
    }
}

#[cfg(not(unix))]
mod sys {
    use std::io;
    use std::sync::Arc;
    use std::sync::atomic::{AtomicBool, Ordering};
    use std::time::{Duration, Instant};

    use crossterm::event::{self, Event};

    use super::super::input::{Input, Lost};

    /// How often it is seen whether the reading ends.
    const LOOK: Duration = Duration::from_millis(100);

    /// The console's events, which come whole.
    pub struct Source(Arc<AtomicBool>);

    /// The reading ends when this is dropped.
    pub struct Stop(Arc<AtomicBool>);

    impl Drop for Stop {
        fn drop(&mut self) {
            self.0.store(true, Ordering::Release);
        }
    }

    impl Source {
        pub fn new() -> io::Result<(Self, Stop)> {
            let stop = Arc::<AtomicBool>::default();
            Ok((Self(Arc::clone(&stop)), Stop(stop)))
        }

        /// Waits for something and takes it in; false when nothing more will come.
        pub fn turn(&mut self, most: Option<Duration>, input: &Input) -> bool {
            let some = event::poll(most.unwrap_or(LOOK).min(LOOK));
            match some.and_then(|some| if some { event::read().map(Some) } else { Ok(None) }) {
                Ok(Some(Event::Resize(..))) => input.resize(),
                Ok(Some(event)) => input.put(vec![event], Lost::default(), Instant::now()),
                Ok(None) => {}
                Err(_) => {
                    input.end();
                    return false;
                }
            }
            !self.0.load(Ordering::Acquire)
        }
    }
}
