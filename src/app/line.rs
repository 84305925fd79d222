//! One line of text being typed, with a caret in it.

use unicode_segmentation::UnicodeSegmentation;

use super::{Code, Key};
use crate::model::edit::Place;

/// Longest line, in characters.
pub const MOST: usize = 4000;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Goal {
    /// The field of the form under the cursor, or a new item of its list.
    Form(bool),
    /// One of the three numbers of a new filter.
    New,
    SaveFilter,
    SaveTank,
    Sources,
    /// The word whose line one goes to.
    Seek,
    Restack(Typing),
    Report,
    Reply,
}

/// What a line on the Restack screen is typed for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Typing {
    Amount(Place),
    /// The clear width at a pad's edge.
    Slack(Place),
    Hole(Place),
    /// How far a pad is pressed.
    Squeeze(Place),
    /// The gap of a tray's seal.
    Gap(usize),
    Name,
    File,
    Narrow,
}

impl Typing {
    /// What to type, before the line.
    pub fn asks(self) -> &'static str {
        match self {
            Self::Amount(_) => "how much (25, 25 mm, 0.9 l, 400 g, rest)",
            Self::Slack(_) => "edge gap, mm (0 closes it)",
            Self::Hole(_) => "hole through it, mm (0 mends it)",
            Self::Squeeze(_) => "pressed by, % (0 leaves it free)",
            Self::Gap(_) => "gap of the seal, mm",
            Self::Name => "name of the build",
            Self::File => "save in the new file",
            Self::Narrow => "only media with",
        }
    }
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    pub goal: Goal,
    /// Left of the caret.
    pub before: String,
    /// Right of it.
    pub after: String,
}

/// What a key did to a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Done {
    No,
    /// It is to be taken; then the cursor goes so many lines on.
    Take(isize),
    Drop,
}

impl Line {
    pub fn new(goal: Goal, text: &str) -> Self {
        Self { goal, before: text.to_owned(), after: String::new() }
    }
    pub fn text(&self) -> String {
        format!("{}{}", self.before, self.after)
    }
    /// Puts text in at the caret: one line, no control characters.
    pub fn insert(&mut self, text: &str) {
        let room = MOST.saturating_sub(self.before.chars().count() + self.after.chars().count());
        let line = text.lines().next().unwrap_or_default();
        self.before.extend(line.chars().filter(|c| !c.is_control()).take(room));
    }
    pub fn key(&mut self, key: Key) -> Done {
        match key.code {
            Code::Char('u') if key.ctrl => {
                self.before.clear();
                self.after.clear();
            }
            Code::Char('w') if key.ctrl => drop(self.word_back()),
            Code::Char(c) if !key.ctrl => self.insert(c.encode_utf8(&mut [0; 4])),
            Code::Backspace => {
                self.step_back();
            }
            Code::Delete => {
                self.step_on();
            }
            Code::Left => {
                let over = if key.ctrl { self.word_back() } else { self.step_back() };
                self.after.insert_str(0, &over);
            }
            Code::Right => {
                let over = if key.ctrl { self.word_on() } else { self.step_on() };
                self.before.push_str(&over);
            }
            Code::Home | Code::Char('a') => {
                let before = std::mem::take(&mut self.before);
                self.after.insert_str(0, &before);
            }
            Code::End | Code::Char('e') => {
                let after = std::mem::take(&mut self.after);
                self.before.push_str(&after);
            }
            Code::Enter => return Done::Take(0),
            Code::Down | Code::Tab => return Done::Take(1),
            Code::Up | Code::BackTab => return Done::Take(-1),
            Code::Esc => return Done::Drop,
            Code::Char(_) | Code::PageUp | Code::PageDown => {}
        }
        Done::No
    }

    /// Takes away the letter left of the caret: what people see as one, however many characters.
    fn step_back(&mut self) -> String {
        let at = self.before.grapheme_indices(true).next_back().map_or(0, |(at, _)| at);
        self.before.split_off(at)
    }

    /// Takes away the word left of the caret, with what parts it from the caret.
    fn word_back(&mut self) -> String {
        let at = self.before.unicode_word_indices().next_back().map_or(0, |(at, _)| at);
        self.before.split_off(at)
    }
    /// Takes away the word right of the caret, with what stands before it.
    fn word_on(&mut self) -> String {
        let end = self.after.unicode_word_indices().next().map_or(self.after.len(), |(at, w)| at + w.len());
        self.after.drain(..end).collect()
    }
    fn step_on(&mut self) -> String {
        let letter = self.after.graphemes(true).next().unwrap_or_default().to_owned();
        self.after.drain(..letter.len());
        letter
    }
}
