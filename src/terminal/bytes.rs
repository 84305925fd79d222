//! Bytes of a terminal as events. Whatever comes, nothing waits for more than a pause: what is unfinished then is
//! dropped, and a lone escape is the key. Ctrl-C is seen in any state, inside a paste or a broken sequence too.
//!
//! The sequences are those of ECMA-48 (control sequences, 5.4) and of xterm's control sequences (keys with
//! modifiers, mouse reports 1000, 1006 and 1015, bracketed paste 2004), from memory.

use super::input::Lost;
use crossterm::event::{
    Event, KeyCode, KeyEvent, KeyEventKind, KeyModifiers, MouseButton, MouseEvent, MouseEventKind,
};

/// Most bytes kept of one sequence; of a longer one only the end is looked for.
pub const LONGEST: usize = 64;
/// Most bytes kept of one paste.
pub const LONGEST_PASTE: usize = 65_536;
/// After a pause inside a paste, fewer bytes than this at once are a hand's, not the rest of the paste.
const BY_HAND: usize = 24;

const CTRL_C: u8 = 3;
const ESC: u8 = 0x1b;
const PASTE_ENDS: &[u8] = b"\x1b[201~";

/// Turns bytes into events, one read after the other.
#[derive(Debug, Default)]
pub struct Bytes {
    /// A sequence that is not whole yet.
    pub held: Vec<u8>,
    pub paste: Option<Paste>,
    lost: Lost,
}

#[derive(Debug, Default)]
pub struct Paste {
    pub text: Vec<u8>,
    paused: bool,
}

/// What the first bytes of those held are.
enum Part {
    /// The beginning of something.
    More,
    /// So many bytes, and what they mean.
    Whole(usize, Meaning),
}

enum Meaning {
    Nothing,
    Event(Event),
    PasteBegins,
}

impl Bytes {
    pub fn feed(&mut self, bytes: &[u8], out: &mut Vec<Event>) {
        if let Some(paste) = &mut self.paste {
            let ends = bytes.windows(PASTE_ENDS.len()).any(|w| w == PASTE_ENDS);
            if paste.paused && bytes.len() < BY_HAND && !ends {
                self.lost.broken_off = true;
                self.paste = None;
            } else {
                paste.paused = false;
            }
        }
        for byte in bytes {
            if *byte == CTRL_C {
                self.held.clear();
                self.paste = None;
                out.push(key(KeyCode::Char('c'), KeyModifiers::CONTROL));
            } else if self.paste.is_some() {
                self.pasted(*byte, out);
            } else {
                if self.held.len() >= LONGEST {
                    // The beginning says what it is and the end where it stops: a byte between goes.
                    self.held.remove(LONGEST / 2);
                }
                self.held.push(*byte);
                self.read(out);
            }
        }
    }

    pub fn pause(&mut self, out: &mut Vec<Event>) {
        match self.held.as_slice() {
            [ESC] => out.push(plain(KeyCode::Esc)),
            // Where a string begins, and nothing of one followed: a key held with alt.
            [ESC, letter @ (b']' | b'P')] => {
                out.extend([plain(KeyCode::Esc), plain(KeyCode::Char(char::from(*letter)))]);
            }
            _ => {}
        }
        self.held.clear();
        if let Some(paste) = &mut self.paste {
            paste.paused = true;
        }
    }

    /// Whether a pause would change something.
    pub fn waits(&self) -> bool {
        !self.held.is_empty() || self.paste.as_ref().is_some_and(|paste| !paste.paused)
    }

    /// What was lost of pastes since it was last asked.
    pub fn lost(&mut self) -> Lost {
        std::mem::take(&mut self.lost)
    }

    fn pasted(&mut self, byte: u8, out: &mut Vec<Event>) {
        let Some(paste) = &mut self.paste else { return };
        if paste.text.len() >= LONGEST_PASTE + PASTE_ENDS.len() {
            // The end is still looked for in the last bytes.
            paste.text.remove(LONGEST_PASTE);
            self.lost.cut = true;
        }
        paste.text.push(byte);
        if let Some(text) = paste.text.strip_suffix(PASTE_ENDS) {
            out.push(Event::Paste(String::from_utf8_lossy(text).into_owned()));
            self.paste = None;
        }
    }

    fn read(&mut self, out: &mut Vec<Event>) {
        while !self.held.is_empty() {
            let Part::Whole(length, meaning) = part(&self.held) else { return };
            self.held.drain(..length.min(self.held.len()));
            match meaning {
                Meaning::Nothing => {}
                Meaning::Event(event) => out.push(event),
                // Only the last byte of what is held can have ended it.
                Meaning::PasteBegins => self.paste = Some(Paste::default()),
            }
        }
    }
}

fn part(held: &[u8]) -> Part {
    let whole = |length, event| Part::Whole(length, Meaning::Event(event));
    let escape = || whole(1, plain(KeyCode::Esc));
    match held {
        [] | [ESC] | [ESC, b'O' | b']' | b'P'] => Part::More,
        [ESC, b'[', rest @ ..] => sequence(rest),
        [ESC, b'O', last, ..] if last.is_ascii_graphic() => Part::Whole(3, named(*last, KeyModifiers::NONE)),
        [ESC, b'O', ..] => Part::Whole(2, Meaning::Nothing),
        // An answer to a question of whoever had the terminal before: as far as its end, it means nothing here.
        [ESC, b']', b'0'..=b'9', ..] | [ESC, b'P', b'0'..=b'9' | b'!' | b'$' | b'>', ..] => match held {
            [.., 7] | [.., ESC, b'\\'] => Part::Whole(held.len(), Meaning::Nothing),
            _ => Part::More,
        },
        // Escape and a key in one read: a key held with alt, or a hand that steps back and goes on.
        [ESC, ..] => escape(),
        [first, ..] if first.is_ascii() => match control(*first) {
            Some(event) => whole(1, event),
            None => whole(1, character(char::from(*first))),
        },
        [first, ..] => {
            let length = match first {
                0xc2..=0xdf => 2,
                0xe0..=0xef => 3,
                0xf0..=0xf4 => 4,
                _ => return Part::Whole(1, Meaning::Nothing),
            };
            let Some(bytes) = held.get(..length) else {
                let stray = held.iter().skip(1).any(|byte| byte & 0xc0 != 0x80);
                return if stray { Part::Whole(1, Meaning::Nothing) } else { Part::More };
            };
            match std::str::from_utf8(bytes).ok().and_then(|text| text.chars().next()) {
                Some(c) => whole(length, character(c)),
                None => Part::Whole(1, Meaning::Nothing),
            }
        }
    }
}

/// A control sequence, given from behind its introducer.
fn sequence(rest: &[u8]) -> Part {
    const BEGIN: usize = 2;
    match rest {
        // The oldest way to report the mouse: three bytes, each 32 too high, places from 1.
        [b'M', button, x, y, ..] => {
            let from = |byte: &u8| u32::from(*byte).saturating_sub(32);
            return Part::Whole(BEGIN + 4, mouse(from(button), from(x), from(y)));
        }
        [b'M', ..] | [b'['] => return Part::More,
        // A key of the kernel's own terminal that is none here.
        [b'[', _, ..] => return Part::Whole(BEGIN + 2, Meaning::Nothing),
        _ => {}
    }
    let Some(end) = rest.iter().position(|byte| !(0x20..=0x3f).contains(byte)) else { return Part::More };
    let (Some(body), Some(last)) = (rest.get(..end), rest.get(end)) else { return Part::More };
    if !(0x40..=0x7e).contains(last) {
        // Broken off: what broke it stands for itself.
        return Part::Whole(BEGIN + end, Meaning::Nothing);
    }
    let meaning = if body.len() + BEGIN + 1 >= LONGEST { Meaning::Nothing } else { meant(body, *last) };
    Part::Whole(BEGIN + end + 1, meaning)
}

fn meant(body: &[u8], last: u8) -> Meaning {
    let body = std::str::from_utf8(body).unwrap_or_default();
    let numbers = |text: &str| -> Vec<u32> {
        text.split(';').map(|n| n.split(':').next().and_then(|n| n.parse().ok()).unwrap_or(0)).collect()
    };
    if let Some(report) = body.strip_prefix('<') {
        return match (numbers(report).as_slice(), last) {
            ([button, x, y], b'M') => mouse(*button, *x, *y),
            _ => Meaning::Nothing,
        };
    }
    // A key that is let go is no second press of it.
    if body.split(';').nth(1).is_some_and(|part| part.ends_with(":3")) {
        return Meaning::Nothing;
    }
    let all = numbers(body);
    let held = modifiers(all.get(1).copied().unwrap_or(1));
    match (all.as_slice(), last) {
        ([200], b'~') => Meaning::PasteBegins,
        ([27, _, code], b'~') | ([code] | [code, ..], b'u') => coded(*code, held),
        ([number, ..], b'~') => match number {
            1 | 7 => Meaning::Event(key(KeyCode::Home, held)),
            3 => Meaning::Event(key(KeyCode::Delete, held)),
            4 | 8 => Meaning::Event(key(KeyCode::End, held)),
            5 => Meaning::Event(key(KeyCode::PageUp, held)),
            6 => Meaning::Event(key(KeyCode::PageDown, held)),
            _ => Meaning::Nothing,
        },
        ([button, x, y], b'M') => mouse(button.saturating_sub(32), *x, *y),
        (_, b'Z') => Meaning::Event(key(KeyCode::BackTab, KeyModifiers::SHIFT)),
        _ => named(last, held),
    }
}

/// A key by the letter that ends its sequence.
fn named(last: u8, held: KeyModifiers) -> Meaning {
    let code = match last {
        b'A' => KeyCode::Up,
        b'B' => KeyCode::Down,
        b'C' => KeyCode::Right,
        b'D' => KeyCode::Left,
        b'F' => KeyCode::End,
        b'H' => KeyCode::Home,
        _ => return Meaning::Nothing,
    };
    Meaning::Event(key(code, held))
}

/// A key by the number of its character.
fn coded(code: u32, held: KeyModifiers) -> Meaning {
    let code = match char::from_u32(code) {
        Some('\u{1b}') => KeyCode::Esc,
        Some('\r') => KeyCode::Enter,
        Some('\t') if held.contains(KeyModifiers::SHIFT) => KeyCode::BackTab,
        Some('\t') => KeyCode::Tab,
        Some('\u{7f}' | '\u{8}') => KeyCode::Backspace,
        Some(c) if !c.is_control() => KeyCode::Char(c),
        _ => return Meaning::Nothing,
    };
    Meaning::Event(key(code, held))
}

/// Modifiers as keys report them: one more than a sum of 1 for shift, 2 for alt, 4 for control.
fn modifiers(sent: u32) -> KeyModifiers {
    let bits = sent.saturating_sub(1);
    [(1, KeyModifiers::SHIFT), (2, KeyModifiers::ALT), (4, KeyModifiers::CONTROL)]
        .into_iter()
        .filter(|(bit, _)| bits & bit != 0)
        .fold(KeyModifiers::NONE, |all, (_, one)| all | one)
}

/// A press of the first button or a turn of the wheel; nothing else of the mouse is heeded. Places from 1.
fn mouse(button: u32, x: u32, y: u32) -> Meaning {
    // Shift, alt and control add 4, 8 and 16, a movement 32.
    let kind = match button & !0b1_1100 {
        0 => MouseEventKind::Down(MouseButton::Left),
        64 => MouseEventKind::ScrollUp,
        65 => MouseEventKind::ScrollDown,
        _ => return Meaning::Nothing,
    };
    let from_zero = |place: u32| u16::try_from(place).ok()?.checked_sub(1);
    match (from_zero(x), from_zero(y)) {
        (Some(column), Some(row)) => {
            Meaning::Event(Event::Mouse(MouseEvent { kind, column, row, modifiers: KeyModifiers::NONE }))
        }
        _ => Meaning::Nothing,
    }
}

/// A control character as the key that sends it; none for what is no control character.
fn control(byte: u8) -> Option<Event> {
    Some(match byte {
        b'\r' => plain(KeyCode::Enter),
        b'\t' => plain(KeyCode::Tab),
        0x7f => plain(KeyCode::Backspace),
        0 => key(KeyCode::Char(' '), KeyModifiers::CONTROL),
        1..=0x1a => key(KeyCode::Char(char::from(byte - 1 + b'a')), KeyModifiers::CONTROL),
        0x1c..=0x1f => key(KeyCode::Char(char::from(byte - 0x1c + b'4')), KeyModifiers::CONTROL),
        _ => return None,
    })
}

fn character(c: char) -> Event {
    let shift = if c.is_uppercase() { KeyModifiers::SHIFT } else { KeyModifiers::NONE };
    key(KeyCode::Char(c), shift)
}

fn plain(code: KeyCode) -> Event {
    key(code, KeyModifiers::NONE)
}

fn key(code: KeyCode, held: KeyModifiers) -> Event {
    Event::Key(KeyEvent::new_with_kind(code, held, KeyEventKind::Press))
}
