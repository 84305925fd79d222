//! One key press, apart from any terminal library, so that tests and the table of actions can write it down.

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Code {
    /// A letter, digit or sign as it arrives; shift is already in it.
    Char(char),
    Enter,
    Esc,
    Tab,
    BackTab,
    Backspace,
    Delete,
    Up,
    Down,
    Left,
    Right,
    Home,
    End,
    PageUp,
    PageDown,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Key {
    pub code: Code,
    pub ctrl: bool,
    /// Shift is held, where the key does not carry it already.
    pub shift: bool,
}

const NAMED: [(&str, Code, &str); 14] = [
    ("enter", Code::Enter, "Enter"),
    ("esc", Code::Esc, "Esc"),
    ("tab", Code::Tab, "Tab"),
    ("backtab", Code::BackTab, "Shift-Tab"),
    ("backspace", Code::Backspace, "Backspace"),
    ("delete", Code::Delete, "Delete"),
    ("up", Code::Up, "↑"),
    ("down", Code::Down, "↓"),
    ("left", Code::Left, "←"),
    ("right", Code::Right, "→"),
    ("home", Code::Home, "Home"),
    ("end", Code::End, "End"),
    ("pageup", Code::PageUp, "PgUp"),
    ("pagedown", Code::PageDown, "PgDn"),
];

impl Key {
    pub const fn plain(code: Code) -> Self {
        Self { code, ctrl: false, shift: false }
    }

    /// Reads one name: `a`, `?`, `space`, `enter`, `ctrl-c`, `shift-up`.
    pub fn named(name: &str) -> Option<Self> {
        let mut rest = name;
        let (mut ctrl, mut shift) = (false, false);
        loop {
            if let Some(r) = rest.strip_prefix("ctrl-").filter(|r| !r.is_empty()) {
                (ctrl, rest) = (true, r);
            } else if let Some(r) = rest.strip_prefix("shift-").filter(|r| !r.is_empty()) {
                (shift, rest) = (true, r);
            } else {
                break;
            }
        }
        let mut chars = rest.chars();
        let code = match (chars.next(), chars.next()) {
            (Some(c), None) => Code::Char(c),
            _ if rest == "space" => Code::Char(' '),
            _ => NAMED.iter().find(|(n, ..)| *n == rest)?.1,
        };
        Some(Self { code, ctrl, shift }.as_sent())
    }

    /// The key as a terminal sends it: shift is in a letter already, and some keys are sent as others are.
    fn as_sent(self) -> Self {
        let Self { code, ctrl, shift } = self;
        match code {
            Code::Tab if shift => Self { code: Code::BackTab, ctrl, shift: false },
            Code::Char('i') if ctrl => Self::plain(Code::Tab),
            Code::Char('m') if ctrl => Self::plain(Code::Enter),
            Code::Char('[') if ctrl => Self::plain(Code::Esc),
            Code::Char(c) if ctrl => Self { code: Code::Char(c.to_ascii_lowercase()), ctrl, shift: false },
            Code::Char(c) if shift => {
                Self { code: Code::Char(c.to_uppercase().next().unwrap_or(c)), ctrl, shift: false }
            }
            _ => self,
        }
    }

    /// The names that are more than one sign, as a file of keys writes them.
    pub fn names() -> Vec<&'static str> {
        std::iter::once("space").chain(NAMED.iter().map(|(name, ..)| *name)).collect()
    }

    /// As a file of keys writes it: `ctrl-c`, `space`, `?`.
    pub fn name(self) -> String {
        let name = match self.code {
            Code::Char(' ') => "space".to_owned(),
            Code::Char(c) => c.to_string(),
            other => NAMED.iter().find(|(_, code, _)| *code == other).map_or("", |n| n.0).to_owned(),
        };
        let ctrl = if self.ctrl { "ctrl-" } else { "" };
        let shift = if self.shift { "shift-" } else { "" };
        format!("{ctrl}{shift}{name}")
    }

    /// As written in footer and help: `↑`, `space`, `Ctrl-C`.
    pub fn label(self) -> String {
        let name = match self.code {
            Code::Char(' ') => "space".to_owned(),
            Code::Char(c) if self.ctrl => c.to_uppercase().to_string(),
            Code::Char(c) => c.to_string(),
            other => NAMED.iter().find(|(_, code, _)| *code == other).map_or("", |n| n.2).to_owned(),
        };
        let ctrl = if self.ctrl { "Ctrl-" } else { "" };
        let shift = if self.shift { "Shift-" } else { "" };
        format!("{ctrl}{shift}{name}")
    }
}

#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Keys {
    /// Actions by their names, with their keys; none at all takes an action off the keys.
    pub(super) own: Vec<(String, Vec<Key>)>,
}

impl Keys {
    pub fn own(own: Vec<(String, Vec<Key>)>) -> Self {
        Self { own }
    }
}
