//! The real terminal: taken at the start, given back whatever happens; events in, drawing out, only when
//! something changed. The only place that writes escapes.

#[cfg(unix)]
pub mod bytes;
pub mod clipboard;
pub mod editor;
mod guard;
pub mod input;
mod signals;
mod source;
mod watch;

pub use self::signals::heed_size_limits;

use std::collections::VecDeque;
use std::io::{self, BufWriter, Stdout};
use std::path::Path;
use std::sync::Arc;
use std::sync::mpsc::Sender;
use std::thread;
use std::time::{Duration, Instant};

use crossterm::event::{Event, KeyCode, KeyEvent, KeyEventKind, KeyModifiers, MouseButton, MouseEventKind};
use ratatui::backend::CrosstermBackend;
use ratatui::layout::Rect;
use ratatui::{Terminal, TerminalOptions, Viewport};

use self::guard::Guard;
use self::input::Input;
use self::signals::{HANG_UP, Signals};
use self::source::Reader;
use self::watch::Heart;
use crate::app::effect::{Choice, Mouse, Spot};
use crate::app::jobs::{Hooks, Jobs};
use crate::app::settings::Settings;
use crate::app::update::App;
use crate::app::{Code, Effect, Key, Message, State};
use crate::profile::store;
use crate::ui::{plain, view};

/// Longest wait for input before signals are looked at again.
const IDLE: Duration = Duration::from_millis(100);
/// The same while something is being worked out in the background.
const BUSY: Duration = Duration::from_millis(20);
/// What was told stands so long, unless a key is pressed before.
const TOLD: Duration = Duration::from_secs(5);
/// What a person has set up is kept so long after it changed.
const REST: Duration = Duration::from_secs(1);
/// Longest that events, or what came of work, are taken in before it is drawn.
const BATCH: Duration = Duration::from_millis(50);
/// Most columns and rows that are drawn; what a terminal has beyond them stays empty.
const MOST_CELLS: (u16, u16) = (1000, 500);

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ended {
    Left,
    /// A signal of that number asked for it.
    Signal(i32),
}

/// Shows the screens until the user leaves; how they ended and what to keep for next time comes back. `ready`
/// gets a sender through which others, such as a watcher of files, may send messages in; `keep` gets what to keep
/// a little after it changed and before the terminal goes to the shell, so that little is lost to a program that
/// is killed.
pub fn run(
    state: State,
    hooks: Hooks,
    threads: usize,
    ready: impl FnOnce(Sender<Message>),
    keep: &mut dyn FnMut(&Settings),
) -> io::Result<(Ended, Settings)> {
    let signals = Signals::listen()?;
    let (heart, input) = (Heart::default(), Arc::<Input>::default());
    let (asked, pressed) = (signals.asked(), Arc::clone(&input));
    heart.watch(move || asked().or_else(|| pressed.way_out().then_some(signals::INTERRUPT)));
    let guard = Guard::take(state.mouse)?;
    // From here on another size is told of; a change before is in the size asked for next.
    let reader = Some(Reader::start(&input)?);
    let area = size()?;
    let options = TerminalOptions { viewport: Viewport::Fixed(area) };
    let terminal = Terminal::with_options(CrosstermBackend::new(BufWriter::new(io::stdout())), options)?;
    let jobs = Jobs::new(hooks, threads);
    ready(jobs.sender());
    let mut state = App::new(state);
    state.update(Message::Size(area.width, area.height));
    jobs.load();

    let kept = state.settings();
    let news = VecDeque::new();
    let mut shell = Shell {
        state,
        jobs,
        news,
        terminal,
        signals,
        input,
        reader,
        heart,
        kept,
        changed: None,
        told: None,
        keep,
    };
    let ended = shell.go();
    shell.jobs.cancel();
    let settings = shell.state.settings();
    shell.reader = None;
    // Before all that is known goes: with thousands of builds that takes a while.
    drop(guard);
    Ok((ended?, settings))
}

/// What of the terminal is drawn on.
fn size() -> io::Result<Rect> {
    let (w, h) = crossterm::terminal::size()?;
    Ok(Rect::new(0, 0, w.min(MOST_CELLS.0), h.min(MOST_CELLS.1)))
}

type Screen = Terminal<CrosstermBackend<BufWriter<Stdout>>>;

struct Shell<'k> {
    state: App,
    jobs: Jobs,
    /// What came of them and is not taken in yet.
    news: VecDeque<Message>,
    terminal: Screen,
    signals: Signals,
    input: Arc<Input>,
    reader: Option<Reader>,
    heart: Heart,
    kept: Settings,
    changed: Option<Instant>,
    told: Option<(String, Instant)>,
    keep: &'k mut dyn FnMut(&Settings),
}

enum Next {
    On,
    Leave,
}

impl Shell<'_> {
    fn go(&mut self) -> io::Result<Ended> {
        let mut changed = true;
        loop {
            self.heart.beat();
            if let Some(number) = self.signals.end() {
                return Ok(Ended::Signal(number));
            }
            if self.input.gone() {
                return Ok(Ended::Signal(HANG_UP));
            }
            if self.signals.stop() {
                self.suspend()?;
                changed = true;
            }
            if self.input.resized() {
                self.fit()?;
                changed = true;
            }
            if let Some(told) = self.input.lost().told() {
                self.state.update(Message::Tell(told));
                changed = true;
            }
            self.news.extend(self.jobs.drain());
            let begun = Instant::now();
            while begun.elapsed() < BATCH
                && !self.input.way_out()
                && let Some(message) = self.news.pop_front()
            {
                changed = true;
                if let Next::Leave = self.take(message)? {
                    return Ok(Ended::Left);
                }
            }
            if changed && !self.input.way_out() {
                self.draw()?;
                changed = false;
                if self.changed.is_none() && self.state.settings() != self.kept {
                    self.changed = Some(Instant::now());
                }
            }
            if self.told.as_ref().map(|(said, _)| said) != self.state.status.as_ref() {
                self.told = self.state.status.clone().map(|said| (said, Instant::now()));
            } else if self.told.as_ref().is_some_and(|(_, since)| since.elapsed() >= TOLD) {
                self.state.update(Message::Choose(Choice::Heard));
                changed = true;
            }
            if self.changed.is_some_and(|since| since.elapsed() >= REST) {
                self.keep_now();
            }
            let busy = self.state.loading || self.state.unjudged() > 0 || self.state.restack.waits();
            let most = match (self.news.is_empty(), busy) {
                (false, _) => Duration::ZERO,
                (_, true) => BUSY,
                _ => IDLE,
            };
            if let Some(reader) = &mut self.reader {
                reader.wait(most);
            }
            let begun = Instant::now();
            while let Some(event) = self.input.next() {
                for message in messages(&event) {
                    changed = true;
                    if let Next::Leave = self.take(message)? {
                        return Ok(Ended::Left);
                    }
                }
                if begun.elapsed() >= BATCH {
                    break;
                }
            }
        }
    }

    fn draw(&mut self) -> io::Result<()> {
        // Whether there is more to scroll to comes out of drawing, and the footer says so.
        for _ in 0..2 {
            let (state, was) = (&self.state, self.state.drawn);
            let mut drawn = was;
            self.terminal.draw(|frame| drawn = view::draw(state, frame))?;
            self.state.update(Message::Drawn(drawn));
            if (drawn.overlay > 0) == (was.overlay > 0) && (drawn.pane > 0) == (was.pane > 0) {
                break;
            }
        }
        Ok(())
    }

    fn take(&mut self, message: Message) -> io::Result<Next> {
        for effect in self.state.update(message) {
            match effect {
                Effect::Quit => return Ok(Next::Leave),
                Effect::Suspend => self.suspend()?,
                Effect::Edit { path, at } => self.edit(&path, &at)?,
                Effect::Redraw => self.wipe()?,
                Effect::Mouse(on) => guard::mouse(on)?,
                Effect::CopyPane => self.copy(&plain::pane(&self.state))?,
                Effect::CopyHere => self.copy(&plain::here(&self.state))?,
                Effect::CopyText(text) => self.copy(&text)?,
                work => self.jobs.obey(&self.state, work),
            }
        }
        Ok(Next::On)
    }

    fn copy(&mut self, text: &str) -> io::Result<()> {
        let said = clipboard::copy(text)?;
        self.state.update(Message::Tell(said));
        Ok(())
    }

    fn keep_now(&mut self) {
        let kept = self.state.settings();
        if kept != self.kept {
            (self.keep)(&kept);
            self.kept = kept;
        }
        self.changed = None;
    }

    fn suspend(&mut self) -> io::Result<()> {
        self.keep_now();
        guard::give_back();
        signals::stop_here()?;
        guard::take(self.state.mouse)?;
        self.fit()
    }

    /// Opens a file in the user's editor, waits until it is closed, and reads the files again.
    fn edit(&mut self, path: &Path, at: &Spot) -> io::Result<()> {
        let line = match at {
            Spot::Line(line) => Ok(*line),
            Spot::Saying(text) => store::line_of(path, text),
        };
        let told = match line.map(|line| editor::command(path, line)) {
            Err(why) => format!("{} cannot be opened: {why}", path.display()),
            Ok(None) => "no editor is known: set VISUAL or EDITOR".to_owned(),
            Ok(Some(mut command)) => {
                self.keep_now();
                self.reader = None;
                guard::give_back();
                let ended = command.spawn().and_then(|mut child| {
                    loop {
                        self.heart.beat();
                        if let Some(status) = child.try_wait()? {
                            return Ok(status);
                        }
                        // A key of the editor's stops both, so that the shell has the terminal.
                        if self.signals.stop() {
                            signals::stop_here()?;
                        }
                        thread::sleep(BUSY);
                    }
                });
                // Ctrl-C meanwhile was meant for it.
                self.signals.forgive();
                guard::take(self.state.mouse)?;
                self.reader = Some(Reader::start(&self.input)?);
                self.fit()?;
                match ended {
                    Ok(status) if status.success() => {
                        for effect in self.state.update(Message::Changed) {
                            self.jobs.obey(&self.state, effect);
                        }
                        return Ok(());
                    }
                    Ok(status) => format!("the editor ended with {status}"),
                    Err(why) => format!("the editor could not be started: {why}"),
                }
            }
        };
        self.state.update(Message::Tell(told));
        Ok(())
    }

    fn fit(&mut self) -> io::Result<()> {
        let area = size()?;
        self.terminal.resize(area)?;
        self.state.update(Message::Size(area.width, area.height));
        Ok(())
    }

    /// Forgets what is on the screen, so that all of it is drawn again. Not by the library's `clear`: that one
    /// asks the terminal where the cursor is, and waits for an answer which may never come.
    fn wipe(&mut self) -> io::Result<()> {
        self.terminal.resize(size()?)
    }
}

/// An event of the terminal as messages; none for what means nothing here.
pub fn messages(event: &Event) -> Vec<Message> {
    // Escape and a key that arrive in one read look like the key held with alt. No key here has alt, and a hand
    // that steps back and goes on is common.
    if let Event::Key(key) = event
        && key.modifiers.contains(KeyModifiers::ALT)
        && key.kind != KeyEventKind::Release
    {
        let bare = KeyEvent { modifiers: key.modifiers.difference(KeyModifiers::ALT), ..*key };
        let escape = Message::Key(Key::plain(Code::Esc));
        return std::iter::once(escape).chain(message(&Event::Key(bare))).collect();
    }
    message(event).into_iter().collect()
}

fn message(event: &Event) -> Option<Message> {
    match event {
        Event::Key(key) if key.kind != KeyEventKind::Release => {
            let code = match key.code {
                KeyCode::Char(c) => Code::Char(c),
                KeyCode::Enter => Code::Enter,
                KeyCode::Esc => Code::Esc,
                KeyCode::Tab => Code::Tab,
                KeyCode::BackTab => Code::BackTab,
                KeyCode::Backspace => Code::Backspace,
                KeyCode::Delete => Code::Delete,
                KeyCode::Up => Code::Up,
                KeyCode::Down => Code::Down,
                KeyCode::Left => Code::Left,
                KeyCode::Right => Code::Right,
                KeyCode::Home => Code::Home,
                KeyCode::End => Code::End,
                KeyCode::PageUp => Code::PageUp,
                KeyCode::PageDown => Code::PageDown,
                _ => return None,
            };
            // With a letter, shift is in the letter already.
            let ctrl = key.modifiers.contains(KeyModifiers::CONTROL);
            let carries = matches!(code, Code::Char(_) | Code::BackTab);
            let shift = key.modifiers.contains(KeyModifiers::SHIFT) && !carries;
            let code = match code {
                Code::Char(c) if ctrl => Code::Char(c.to_ascii_lowercase()),
                other => other,
            };
            Some(Message::Key(Key { code, ctrl, shift }))
        }
        Event::Paste(text) => Some(Message::Paste(text.clone())),
        Event::Mouse(mouse) => {
            let what = match mouse.kind {
                MouseEventKind::Down(MouseButton::Left) => Mouse::Press,
                MouseEventKind::ScrollUp => Mouse::WheelUp,
                MouseEventKind::ScrollDown => Mouse::WheelDown,
                _ => return None,
            };
            Some(Message::Mouse { what, x: mouse.column, y: mouse.row })
        }
        _ => None,
    }
}
