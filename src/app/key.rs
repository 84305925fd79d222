//! One key press, apart from any terminal library, so that tests and the table of actions can write it down.

/// Which key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Code {
    /// A letter, digit or sign as it arrives; shift is already in it.
    Char(char),
    /// Enter.
    Enter,
    /// Escape.
    Esc,
    /// Tab.
    Tab,
    /// Shift and Tab.
    BackTab,
    /// Backspace.
    Backspace,
    /// Delete.
    Delete,
    /// Arrow.
    Up,
    /// Arrow.
    Down,
    /// Arrow.
    Left,
    /// Arrow.
    Right,
    /// Home.
    Home,
    /// End.
    End,
    /// Page up.
    PageUp,
    /// Page down.
    PageDown,
}

/// A key with what is held down beside it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Key {
    /// Which key.
    pub code: Code,
    /// Control is held.
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
    /// A key alone.
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
        Some(Self { code, ctrl, shift })
    }

    /// Reads a string of keys in which named ones stand in angle brackets: `/tam<enter><down>s`. A `<` that
    /// opens no known name is itself.
    pub fn list(text: &str) -> Vec<Self> {
        let mut out = Vec::new();
        let mut rest = text;
        while let Some(c) = rest.chars().next() {
            let named = rest
                .strip_prefix('<')
                .and_then(|r| r.split_once('>'))
                .and_then(|(name, after)| Self::named(name).map(|k| (k, after)));
            if let Some((key, after)) = named {
                out.push(key);
                rest = after;
            } else {
                out.push(Self::plain(Code::Char(c)));
                rest = rest.strip_prefix(c).unwrap_or_default();
            }
        }
        out
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_string_of_keys_reads_back() {
        let keys = Key::list("/t<enter> <ctrl-c><<shift-up>");
        let labels: Vec<String> = keys.into_iter().map(Key::label).collect();
        assert_eq!(labels, ["/", "t", "Enter", "space", "Ctrl-C", "<", "Shift-↑"]);
    }
}
