//! Styles and signs. The terminal's own colours for text and ground, weight and reverse for what matters, and
//! few named colours besides, each with a sign that says the same without colour.

use ratatui::style::{Color, Modifier, Style};

use crate::app::state::Look;
use crate::filter::medium::Role;

/// Styles for a look.
#[derive(Clone, Copy, Debug)]
pub struct Theme {
    mono: bool,
}

impl Theme {
    /// The theme of a look.
    pub fn new(look: Look) -> Self {
        Self { mono: look.mono }
    }
    fn colour(self, colour: Color) -> Style {
        if self.mono { Style::new() } else { Style::new().fg(colour) }
    }
    /// Plain text.
    pub fn text(self) -> Style {
        Style::new()
    }
    /// Heads and names that matter.
    pub fn strong(self) -> Style {
        Style::new().add_modifier(Modifier::BOLD)
    }
    /// Beside the point.
    pub fn quiet(self) -> Style {
        Style::new().add_modifier(Modifier::DIM)
    }
    /// Broken, leaking, against the rules; a sign stands beside it.
    pub fn warn(self) -> Style {
        self.colour(Color::Red).add_modifier(Modifier::BOLD)
    }
    /// Water.
    pub fn water(self) -> Style {
        self.colour(Color::Blue).add_modifier(Modifier::BOLD)
    }
    /// Under the cursor.
    pub fn cursor(self) -> Style {
        Style::new().add_modifier(Modifier::REVERSED | Modifier::BOLD)
    }
    /// A key in footer and help.
    pub fn key(self) -> Style {
        self.colour(Color::Magenta).add_modifier(Modifier::BOLD)
    }
    /// A role of media, beside its letter and hatch.
    pub fn role(self, role: Role) -> Style {
        match role {
            Role::Settlement => self.text(),
            Role::Coarse | Role::Medium | Role::Fine | Role::Polishing => self.colour(Color::Green),
            Role::Biological => self.colour(Color::Magenta),
            Role::Chemical => self.colour(Color::Red),
        }
    }
}

/// The hatch of a role: mechanical ones darker the finer they are.
pub fn hatch(role: Role) -> char {
    match role {
        Role::Settlement => '·',
        Role::Coarse => '░',
        Role::Medium => '▒',
        Role::Fine => '▓',
        Role::Polishing => '≈',
        Role::Biological => 'o',
        Role::Chemical => '+',
    }
}

/// A role as legends show it: hatch, letter, word.
pub fn sample(role: Role) -> String {
    let sign = hatch(role);
    format!("{sign}{sign} {} {}", role.letter(), role.word())
}

/// The ASCII sign for one of ours; a foreign letter that has none becomes a question mark. Each hatch and
/// each sign that stands beside another keeps a sign of its own.
pub fn ascii(c: char) -> char {
    match c {
        ' '..='~' => c,
        '·' | '…' => '.',
        '•' => '*',
        '░' => ':',
        '▒' => '%',
        '▓' | '█' => '#',
        '≈' | '≡' | '═' => '=',
        // `612 ~48`: give or take.
        '±' => '~',
        '–' | '−' | '—' | '─' | '┄' | '▁' => '-',
        '│' | '┆' | '║' | '▏' | '▎' | '▍' | '▌' | '▋' | '▊' | '▉' | '├' | '┤' | '╟' | '╢' => {
            '|'
        }
        '↑' | '▲' => '^',
        '↓' | '▼' => 'v',
        '←' | '◄' => '<',
        '→' | '►' => '>',
        '×' => 'x',
        '°' => 'o',
        '’' | '‘' => '\'',
        '“' | '”' => '"',
        '\u{2501}'..='\u{257f}' => '+',
        // Braille of the plots: by how many dots it has.
        '\u{2800}'..='\u{28ff}' => match (u32::from(c) & 0xff).count_ones() {
            0 => ' ',
            1 => '.',
            2 | 3 => ':',
            _ => '*',
        },
        _ => '?',
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hatches_differ_in_ascii_too() {
        let signs: Vec<char> = Role::ALL.iter().map(|r| ascii(hatch(*r))).collect();
        for (i, a) in signs.iter().enumerate() {
            assert!(a.is_ascii() && !signs.iter().skip(i + 1).any(|b| a == b), "{signs:?}");
        }
    }
}
