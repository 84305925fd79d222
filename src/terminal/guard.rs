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
use crossterm::terminal::{EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode, enable_raw_mode};
use crossterm::{execute, queue};

/// Whether the terminal is ours now.
static OURS: AtomicBool = AtomicBool::new(false);
static HOOK: Once = Once::new();

/// The terminal is ours while this lives.
pub struct Guard(());

impl Guard {
    /// Takes the terminal.
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

/// Has the terminal report the mouse, or leaves it alone.
pub fn mouse(on: bool) -> io::Result<()> {
    if on { execute!(io::stdout(), EnableMouseCapture) } else { execute!(io::stdout(), DisableMouseCapture) }
}

/// Gives the terminal back, once. Each step is tried whatever became of the one before; there is nobody left
/// to tell of a failure.
pub fn give_back() {
    if !OURS.swap(false, Ordering::AcqRel) {
        return;
    }
    let mut out = io::stdout();
    let _ = queue!(out, DisableMouseCapture);
    let _ = queue!(out, DisableBracketedPaste);
    let _ = queue!(out, LeaveAlternateScreen);
    let _ = queue!(out, Show);
    let _ = out.flush();
    let _ = disable_raw_mode();
}
