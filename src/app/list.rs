//! A list with a cursor in a window, what is looked for in it, and what it is narrowed to by typing: plain substrings,
//! letters of either case.

use super::{Code, Key};

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct List {
    pub cursor: usize,
    /// First line in the window.
    pub top: usize,
}

impl List {
    pub fn step(&mut self, by: isize, len: usize) {
        self.cursor = moved(self.cursor, by, len);
    }
    pub fn keep(&mut self, rows: usize, len: usize) {
        self.cursor = self.cursor.min(len.saturating_sub(1));
        self.top = keep_row_in_window(self.top, self.cursor, rows, len);
    }
}

/// A word whose line one goes to, in lists that are not narrowed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Seek {
    pub word: String,
    pub nowhere: bool,
    /// Where one was when it was typed.
    pub from: usize,
}

pub fn moved(from: usize, by: isize, len: usize) -> usize {
    from.saturating_add_signed(by).min(len.saturating_sub(1))
}

/// So many windows of that many rows, in lines; a line of the window before stays in view.
pub fn pages(by: isize, rows: usize) -> isize {
    by.saturating_mul(isize::try_from(rows.saturating_sub(1).max(1)).unwrap_or(isize::MAX))
}

/// The first row to show so that `cursor` is in a window of `rows`, moving as little as may be.
pub fn keep_row_in_window(top: usize, cursor: usize, rows: usize, len: usize) -> usize {
    let rows = rows.max(1);
    let top = if cursor < top {
        cursor
    } else if cursor >= top + rows {
        cursor + 1 - rows
    } else {
        top
    };
    top.min(len.saturating_sub(rows))
}

/// Whether `text` holds every word of `wanted`, in any order; an empty wish holds everywhere.
pub fn holds(text: &str, wanted: &str) -> bool {
    if wanted.is_empty() {
        return true;
    }
    let text = text.to_lowercase();
    wanted.to_lowercase().split_whitespace().all(|word| text.contains(word))
}

/// What of a pasted or typed text may enter a line: one line, no control characters, at most 200 characters.
pub fn one_line(text: &str) -> String {
    text.lines().next().unwrap_or_default().chars().filter(|c| !c.is_control()).take(200).collect()
}

/// The key that begins a search elsewhere, before anything was typed: no part of what is looked for.
pub fn begins(word: &str, key: Key) -> bool {
    word.is_empty() && key.code == Code::Char('/')
}

/// What a key does to a word that is searched for as it is typed; whether it did anything.
pub fn edit(word: &mut String, key: Key) -> bool {
    match key.code {
        _ if begins(word, key) => {}
        Code::Char(c) if !key.ctrl && !c.is_control() && word.chars().count() < 200 => word.push(c),
        Code::Backspace => drop(word.pop()),
        _ => return false,
    }
    true
}

/// Lines that a key goes in a list that lies over the screen.
pub fn steps(key: Key) -> isize {
    match key.code {
        Code::Up => -1,
        Code::Down => 1,
        Code::PageUp => -10,
        Code::PageDown => 10,
        _ => 0,
    }
}
