//! One line of text being typed, with a caret in it.

use unicode_segmentation::UnicodeSegmentation;

use super::key::{Code, Key};

/// Longest line, in characters.
const MOST: usize = 4000;

/// What a typed line is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Goal {
    /// The field of the tank's form at that place.
    Field(usize),
    /// The file to save the tank in.
    SaveTank,
    /// What sources are narrowed to.
    Sources,
    /// The word whose line one goes to.
    Seek,
    /// Something on the Restack screen.
    Restack,
    /// The folder for a report.
    Report,
}

/// A line being typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// What it is for.
    pub goal: Goal,
    /// Left of the caret.
    pub before: String,
    /// Right of it.
    pub after: String,
}

/// What a key did to a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Done {
    /// It is still typed.
    No,
    /// It is to be taken; then the cursor goes so many lines on.
    Take(isize),
    /// It is to be dropped.
    Drop,
}

impl Line {
    /// A line with the caret at its end.
    pub fn new(goal: Goal, text: &str) -> Self {
        Self { goal, before: text.to_owned(), after: String::new() }
    }
    /// The whole of it.
    pub fn text(&self) -> String {
        format!("{}{}", self.before, self.after)
    }
    /// Puts text in at the caret: one line, no control characters.
    pub fn insert(&mut self, text: &str) {
        let room = MOST.saturating_sub(self.before.chars().count() + self.after.chars().count());
        let line = text.lines().next().unwrap_or_default();
        self.before.extend(line.chars().filter(|c| !c.is_control()).take(room));
    }
    /// What a key does.
    pub fn key(&mut self, key: Key) -> Done {
        match key.code {
            Code::Char('u') if key.ctrl => {
                self.before.clear();
                self.after.clear();
            }
            Code::Char(c) if !key.ctrl => self.insert(c.encode_utf8(&mut [0; 4])),
            Code::Backspace => {
                self.step_back();
            }
            Code::Delete => {
                self.step_on();
            }
            Code::Left => {
                let over = self.step_back();
                self.after.insert_str(0, &over);
            }
            Code::Right => {
                let over = self.step_on();
                self.before.push_str(&over);
            }
            Code::Home => {
                let before = std::mem::take(&mut self.before);
                self.after.insert_str(0, &before);
            }
            Code::End => {
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

    /// Takes away the letter right of the caret.
    fn step_on(&mut self) -> String {
        let letter = self.after.graphemes(true).next().unwrap_or_default().to_owned();
        self.after.drain(..letter.len());
        letter
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(text: &str, keys: &str) -> String {
        let mut line = Line::new(Goal::Sources, text);
        for key in Key::list(keys) {
            assert_eq!(line.key(key), Done::No);
        }
        format!("{}|{}", line.before, line.after)
    }

    #[test]
    fn letters_go_where_the_caret_is() {
        assert_eq!(typed("l(180)", "<left><backspace>5"), "l(185|)");
        assert_eq!(typed("l(180)", "<home><delete>ml<end>!"), "ml(180)!|");
        assert_eq!(typed("abc", "<ctrl-u>x"), "x|");
        assert_eq!(typed("", "<left><right><backspace><delete>"), "|");
    }

    #[test]
    fn a_letter_of_several_characters_is_one() {
        // An e with a combining accent, and a family.
        assert_eq!(typed("e\u{301}", "<backspace>"), "|");
        assert_eq!(typed("a👨‍👩‍👧", "<left>"), "a|👨‍👩‍👧");
        assert_eq!(typed("濾過", "<left><backspace>"), "|過");
    }

    #[test]
    fn pasted_text_stays_one_harmless_line() {
        let mut line = Line::new(Goal::Sources, "");
        line.insert("l(1\u{1b}80)\nq");
        assert_eq!(line.text(), "l(180)");
        line.insert(&"x".repeat(MOST * 2));
        assert!(line.text().chars().count() <= MOST);
    }
}
