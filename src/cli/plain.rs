//! The screens as a dialogue of lines, for a voice, a braille line, a terminal that can do no more, or a file of
//! commands: a command in, what came of it out. No frames, no moving cursor, nothing written over.

mod commands;

use std::io::BufRead;
use std::mem::{Discriminant, discriminant};
use std::sync::mpsc::Sender;
use std::thread;
use std::time::{Duration, Instant};

use self::commands::{COMMANDS, Command};
use super::{Console, Failure, Status, suggest};
use crate::app::effect::Choice;
use crate::app::jobs::{Hooks, Jobs};
use crate::app::update::App;
use crate::app::{Code, Effect, Id, Key, Keys, Message, Overlay, Place, State, Tab, actions};
use crate::ui::{self, Page, text, theme};

/// Longest line read, in bytes.
const MOST: u64 = 65_536;
/// Longest wait for figures without doubt, and for an answer.
const ANSWER: Duration = Duration::from_secs(120);
/// Longest wait for doubt at the start; after it the dialogue begins, and doubt comes when it comes.
const DOUBT: Duration = Duration::from_secs(3);
const AGAIN: Duration = Duration::from_millis(5);

pub struct Dialogue<'a, 'b> {
    console: &'a mut Console<'b>,
    state: App,
    jobs: Jobs,
    /// Nobody at a terminal reads a prompt.
    prompt: bool,
    left: bool,
    /// What stood on the screens when they were last left.
    seen: Vec<(View, Page)>,
}

/// A screen, what of it is in view, and what lies over it.
type View = (Tab, Place, Option<Discriminant<Overlay>>);

fn view(state: &State) -> View {
    (state.screen, actions::behind(state), state.overlay.as_ref().map(discriminant))
}

/// Talks until the reader ends or the person leaves; what to keep comes back in the state.
pub fn run(
    console: &mut Console<'_>,
    state: State,
    hooks: Hooks,
    threads: usize,
    reader: &mut dyn BufRead,
    ready: impl FnOnce(Sender<Message>),
) -> Result<(Status, App), Failure> {
    let jobs = Jobs::new(hooks, threads);
    ready(jobs.sender());
    let prompt = console.terminal;
    // Nothing has a key here: what a text says to press is said by its name.
    let keys = actions::ACTIONS.iter().map(|row| (row.name.to_owned(), Vec::new())).collect();
    let state = State { keys: Keys::own(keys), ..state };
    let mut dialogue =
        Dialogue { console, state: App::new(state), jobs, prompt, left: false, seen: Vec::new() };
    let done = dialogue.go(reader);
    dialogue.jobs.cancel();
    // A reader that stops early has had enough.
    match done {
        Err(failure) if failure.status() != Status::Fine => Err(failure),
        _ => Ok((Status::Fine, dialogue.state)),
    }
}

impl Dialogue<'_, '_> {
    fn go(&mut self, reader: &mut dyn BufRead) -> Result<(), Failure> {
        // Wide and tall enough that nothing is cut or scrolled for want of room.
        self.take(Message::Size(1000, 1000));
        let told = self.heard();
        self.jobs.load();
        self.wait(|s| !s.loading && s.unjudged() == 0, ANSWER);
        if self.state.samples.is_some() {
            self.wait(|s| s.entries.is_empty() || s.doubted.is_some_and(|d| d >= 1.0), DOUBT);
        }
        self.say(told.as_deref())?;
        self.say(Some(&self.head()))?;
        commands::list(self)?;
        self.say(Some("type a command and Enter; help lists them, quit leaves"))?;
        while !self.left {
            if self.prompt {
                self.console.result("> ")?;
            }
            let Some(line) = read(reader) else { break };
            self.drain();
            self.obey(&line)?;
        }
        Ok(())
    }

    fn head(&self) -> String {
        let s = &self.state;
        let tank = s.tank.as_ref().map_or("no tank".to_owned(), |t| format!("tank {}", t.name));
        let doubt = match (s.doubted, s.samples) {
            (Some(d), Some(n)) if d >= 1.0 => format!("{n} cases"),
            (_, Some(_)) => {
                "cases are being simulated: figures without low–high are nominal so far".to_owned()
            }
            _ => "no cases asked for".to_owned(),
        };
        let (builds, broken) = (s.entries.len(), s.broken.len());
        text::clean(&format!("{}: {builds} builds, {broken} broken files, {tank}, {doubt}", s.source))
    }

    fn obey(&mut self, line: &str) -> Result<(), Failure> {
        // A line is being asked for: it goes in as it stands.
        if actions::place(&self.state).is_none() {
            return self.typed(line);
        }
        let line = line.trim();
        let (word, rest) = line.split_once(char::is_whitespace).map_or((line, ""), |(w, r)| (w, r.trim()));
        let word = word.to_lowercase();
        if word.is_empty() {
            return Ok(());
        }
        if let Some(command) = COMMANDS.iter().find(|c| c.words.contains(&word.as_str())) {
            if command.takes.is_empty() && !rest.is_empty() {
                return self.takes_nothing(&word);
            }
            let Command { act, .. } = command;
            return act(self, rest);
        }
        let name = word.replace('-', "_");
        if actions::place(&self.state).is_some_and(|p| actions::of_place(p).any(|row| row.name == name)) {
            return if rest.is_empty() { self.perform(&name) } else { self.takes_nothing(&word) };
        }
        let known = COMMANDS.iter().flat_map(|c| c.words.iter().copied());
        let hint = suggest::hint(&word, known);
        self.say(Some(&format!("there is no command `{}`{hint} (help lists them)", text::clean(&word))))
    }

    fn takes_nothing(&mut self, word: &str) -> Result<(), Failure> {
        self.say(Some(&format!("`{}` takes nothing behind it: nothing was done", text::clean(word))))
    }

    /// Does an action of the table on the screen in view, and says what came of it.
    fn perform(&mut self, name: &str) -> Result<(), Failure> {
        let from = self.keep();
        self.ask(Message::Act(name.to_owned()));
        if self.left { Ok(()) } else { self.came(from) }
    }

    fn typed(&mut self, line: &str) -> Result<(), Failure> {
        let from = self.keep();
        if line.trim() == "back" {
            self.ask(Message::Key(Key::plain(Code::Esc)));
            return self.came(from);
        }
        // What stood in the line goes first.
        self.take(Message::Key(Key { code: Code::Char('u'), ctrl: true, shift: false }));
        self.take(Message::Paste(line.to_owned()));
        self.ask(Message::Key(Key::plain(Code::Enter)));
        self.came(from)
    }

    /// Keeps what stands in view in mind, for telling what of it is new when one comes back.
    fn keep(&mut self) -> View {
        let view = view(&self.state);
        self.seen.retain(|(of, _)| *of != view);
        self.seen.push((view, ui::plain::page(&self.state)));
        view
    }

    /// Says what was told, what is no longer as it was on the screen, and what is to be typed now.
    fn came(&mut self, from: View) -> Result<(), Failure> {
        let told = self.heard();
        self.say(told.as_deref())?;
        let (view, now) = (view(&self.state), ui::plain::page(&self.state));
        let was = self.seen.iter().find(|(of, _)| *of == view && from.0 == view.0).map(|(_, page)| page);
        if told.is_none() || was != Some(&now) {
            let mut lines = was.map_or_else(|| now.whole(), |was| now.since(was));
            // Back from what lay over it, its title says where one is.
            let back = view != from && view.0 != Tab::Builds && lines.len() < now.lines.len();
            lines.splice(0..0, now.lines.first().filter(|_| back).cloned());
            self.lines(&lines)?;
        }
        let Some(line) = &self.state.line else { return Ok(()) };
        let asks = ui::plain::asks(&self.state);
        let said = format!("type {asks}, `back` drops it; now it is: {}", text::clean(&line.text()));
        self.say(Some(&said))
    }

    fn ask(&mut self, message: Message) {
        self.take(message);
        self.wait(settled, ANSWER);
    }

    fn take(&mut self, message: Message) {
        for effect in self.state.update(message) {
            match effect {
                Effect::Quit => self.left = true,
                Effect::Suspend | Effect::Edit { .. } | Effect::Redraw | Effect::Mouse(_) => {
                    self.take(Message::Tell("that is for the screens, not for this dialogue".to_owned()));
                }
                Effect::CopyPane | Effect::CopyHere | Effect::CopyText(_) => {
                    self.take(Message::Tell("what is written here can be copied as it stands".to_owned()));
                }
                work => self.jobs.obey(&self.state, work),
            }
        }
    }

    fn drain(&mut self) {
        for message in self.jobs.drain() {
            self.take(message);
        }
    }

    fn wait(&mut self, done: impl Fn(&State) -> bool, most: Duration) {
        let end = Instant::now() + most;
        self.drain();
        while !done(&self.state) && Instant::now() < end {
            thread::sleep(AGAIN);
            self.drain();
        }
    }

    /// The build or broken file that a number of the list stands for; without one, that under the cursor.
    fn number(&mut self, number: &str) -> Result<Option<Id>, Failure> {
        if number.is_empty() {
            return Ok(self.state.cursor);
        }
        let at = number.trim_end_matches('.').parse::<usize>().ok().and_then(|n| n.checked_sub(1));
        if let Some(id) = at.and_then(|at| self.state.rows.get(at)) {
            return Ok(Some(*id));
        }
        let most = self.state.rows.len();
        let number = text::clean(number);
        self.say(Some(&format!("`{number}` is no number of the list: 1 to {most}")))?;
        Ok(None)
    }

    /// What is to be told, which is told once.
    fn heard(&mut self) -> Option<String> {
        let told = self.state.status.clone();
        self.take(Message::Choose(Choice::Heard));
        told
    }

    fn lines(&mut self, lines: &[String]) -> Result<(), Failure> {
        lines.iter().try_for_each(|line| self.say(Some(line)))
    }

    fn say(&mut self, line: Option<&str>) -> Result<(), Failure> {
        let Some(line) = line else { return Ok(()) };
        let line = text::clean(line);
        let line = if self.console.ascii { theme::to_ascii(&line) } else { line };
        self.console.result(&format!("{line}\n"))
    }
}

/// Nothing is being waited for that a person asked.
fn settled(state: &State) -> bool {
    let worked = state.screen != Tab::Restack || !state.restack.waits();
    let found = !state.tank_form.choosing || state.tank_form.choices.is_some();
    let explained = !matches!(&state.overlay, Some(Overlay::Explain { lines: None, .. }));
    let replied = !matches!(&state.overlay, Some(Overlay::Reply(r)) if r.text.is_none());
    let why = state.whys.values().all(Option::is_some);
    let ranked = state.screen != Tab::Ranking
        || crate::app::screens::ranking::allowed(state).is_err()
        || (state.ranking.stood.is_some() && !state.ranking.stale);
    !state.loading && state.unjudged() == 0 && explained && replied && why && ranked && worked && found
}

/// One line, however it is encoded; none at the end.
fn read(reader: &mut dyn BufRead) -> Option<String> {
    let mut bytes = Vec::new();
    let mut limited = std::io::Read::take(&mut *reader, MOST);
    match limited.read_until(b'\n', &mut bytes) {
        Ok(0) | Err(_) => None,
        Ok(_) => Some(String::from_utf8_lossy(&bytes).trim_end_matches(['\n', '\r']).to_owned()),
    }
}

/// Whether a dialogue of lines is wanted in place of the screens.
pub fn is_wanted(asked: bool) -> bool {
    let set = |name: &str| std::env::var_os(name).is_some_and(|v| !v.is_empty());
    // A line printer or an editor's window cannot place text. Windows names no kind of terminal.
    let places_text =
        || cfg!(windows) || (set("TERM") && std::env::var_os("TERM").is_some_and(|t| t != "dumb"));
    asked || set("CANSIFT_PLAIN") || !places_text()
}
