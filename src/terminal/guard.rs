//! Takes the terminal and gives it back: on drop, and before the words of a panic.

use std::io::{self, Write};
use std::panic;
use std::sync::Once;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;

use crossterm::cursor::{Hide, Show};
use crossterm::event::{
    DisableBracketedPaste, DisableMouseCapture, EnableBracketedPaste, EnableMouseCapture,
};
use crossterm::style::Print;
use crossterm::terminal::{EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode, enable_raw_mode};
use crossterm::{execute, queue};

static OURS: AtomicBool = AtomicBool::new(false);
static HOOK: Once = Once::new();

/// The terminal is ours while this lives.
pub struct Guard(());

impl Guard {
    pub fn take(mouse: bool) -> io::Result<Self> {
        let ui = thread::current().id();
        HOOK.call_once(|| {
            let before = panic::take_hook();
            panic::set_hook(Box::new(move |info| {
                if !OURS.load(Ordering::Acquire) {
                    before(info);
                } else if thread::current().id() == ui {
                    give_back();
                    before(info);
                }
                // A panic of a background thread is caught there and told on the screen: words written here
                // would only scatter over it.
            }));
        });
        let guard = Self(());
        take(mouse)?;
        Ok(guard)
    }
}

impl Drop for Guard {
    fn drop(&mut self) {
        give_back();
    }
}

/// Takes the terminal; also again after it was given back.
pub fn take(mouse: bool) -> io::Result<()> {
    // Set first: whatever of it succeeds is undone by giving it back.
    OURS.store(true, Ordering::Release);
    enable_raw_mode()?;
    execute!(io::stdout(), EnterAlternateScreen, EnableBracketedPaste, Hide)?;
    self::mouse(mouse)
}

/// The reports 1000 and 1006 of xterm's control sequences.
const PRESSES: &str = "\x1b[?1000h\x1b[?1006h";

/// Has the terminal report the mouse, or leaves it alone.
pub fn mouse(on: bool) -> io::Result<()> {
    // Presses and the wheel, in numbers; where the pointer goes is nobody's business.
    match on {
        // There it is a setting of the console.
        true if cfg!(windows) => execute!(io::stdout(), EnableMouseCapture),
        true => execute!(io::stdout(), Print(PRESSES)),
        false => execute!(io::stdout(), DisableMouseCapture),
    }
}

/// Gives the terminal back, once. Each step is tried whatever became of the one before; there is nobody left
/// to tell of a failure. The settings go first: what is written may wait for a terminal that takes nothing.
pub fn give_back() {
    if OURS.swap(false, Ordering::AcqRel) {
        let _ = disable_raw_mode();
        let mut out = io::stdout();
        let _ = out.write_all(&farewell());
        let _ = out.flush();
    }
}

/// Drops what the terminal has not taken yet, so that a write that waits for it goes on.
pub fn make_room() {
    #[cfg(unix)]
    {
        use rustix::process::{Signal, getpid, kill_process};
        use rustix::termios::{QueueSelector, tcflush};

        let _ = tcflush(rustix::stdio::stdout(), QueueSelector::OFlush);
        // The kernel does not tell a write that there is room now; a signal that means nothing has it look.
        let _ = kill_process(getpid(), Signal::WINCH);
    }
}

/// Gives the terminal back as far as that goes without waiting, for a thread that ends the program while another
/// hangs in a write.
pub fn give_back_at_once() {
    OURS.store(false, Ordering::Release);
    let _ = disable_raw_mode();
    make_room();
    #[cfg(unix)]
    {
        use rustix::fs::{Mode, OFlags, open};

        // Opened anew, so that not to wait is no setting of those who share the terminal.
        let flags = OFlags::WRONLY | OFlags::NONBLOCK | OFlags::NOCTTY;
        if let Ok(tty) = open("/dev/tty", flags, Mode::empty()) {
            let _ = rustix::io::write(tty, &farewell());
        }
    }
}

/// What undoes all that was asked of the terminal.
fn farewell() -> Vec<u8> {
    let mut out = Vec::new();
    let _ = queue!(out, DisableMouseCapture, DisableBracketedPaste, LeaveAlternateScreen, Show);
    out
}
