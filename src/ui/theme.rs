//! Styles and signs. Colour means four things: better, worse, dim for what is secondary, and what calls for attention;
//! each has a sign or a word beside it that says the same without colour. Better and worse bring their own ground, so
//! that they read on any; text and ground are the terminal's own.

use ratatui::style::{Color, Modifier, Style};

use crate::app::state::Look;
use crate::model::Role;

#[derive(Clone, Copy, Debug)]
pub struct Theme {
    mono: bool,
}

impl Theme {
    pub fn new(look: Look) -> Self {
        Self { mono: look.mono }
    }
    fn coloured(self, style: Style) -> Style {
        if self.mono { Style::new() } else { style }
    }
    pub fn text(self) -> Style {
        Style::new()
    }
    /// Secondary or unknown: low–high, units, rules.
    pub fn quiet(self) -> Style {
        Style::new().add_modifier(Modifier::DIM)
    }
    /// The one figure that answers.
    pub fn answer(self) -> Style {
        Style::new().add_modifier(Modifier::BOLD)
    }
    pub fn better(self) -> Style {
        self.coloured(Style::new().fg(Color::White).bg(Color::Blue))
    }
    pub fn worse(self) -> Style {
        self.coloured(Style::new().fg(Color::Black).bg(Color::Yellow))
    }
    /// Attention: a broken file, a requirement missed, safety. A `!` stands beside it.
    pub fn warn(self) -> Style {
        self.coloured(Style::new().fg(Color::LightRed))
    }
    pub fn cursor(self) -> Style {
        Style::new().add_modifier(Modifier::REVERSED)
    }
    pub fn key(self) -> Style {
        Style::new().add_modifier(Modifier::BOLD)
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
    format!("{sign}{sign} {} {}", role.letter(), role.called())
}

/// The ASCII sign for one of ours; a foreign letter that has none becomes a question mark. `twin` tells that the same
/// sign stands beside it: a hatch, and no sign between words. What takes two signs, `->` and `..`, is [`to_ascii`]'s.
pub fn ascii(c: char, twin: bool) -> char {
    match c {
        ' '..='~' => c,
        '·' => {
            if twin {
                '.'
            } else {
                '/'
            }
        }
        // `┄` and `┆`, dotted: assumed.
        '…' | '○' | '┄' => '.',
        '•' | '●' => '*',
        '░' | '┆' => ':',
        '▒' => '%',
        '≈' => {
            if twin {
                '~'
            } else {
                '='
            }
        }
        '≡' => '=',
        '–' | '−' | '—' | '─' | '▁' => '-',
        '│' => '|',
        '▓' | '█' | '▏' | '▎' | '▍' | '▌' | '▋' | '▊' | '▉' => '#',
        '↑' | '▲' => '^',
        '↓' | '▼' | '▾' => 'v',
        '←' | '◄' | '≤' => '<',
        '→' | '►' | '≥' => '>',
        'À'..='Å' => 'A',
        'à'..='å' => 'a',
        'È'..='Ë' => 'E',
        'è'..='ë' => 'e',
        'Ì'..='Ï' => 'I',
        'ì'..='ï' => 'i',
        'Ò'..='Ö' | 'Ø' => 'O',
        'ò'..='ö' | 'ø' | '°' => 'o',
        'Ù'..='Ü' => 'U',
        'ù'..='ü' => 'u',
        'Ç' => 'C',
        'ç' => 'c',
        'Ñ' => 'N',
        'ñ' => 'n',
        '×' => 'x',
        '÷' => '/',
        '²' => '2',
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

pub fn to_ascii(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut before = ' ';
    let mut signs = text.chars().peekable();
    while let Some(c) = signs.next() {
        match c {
            '→' => out.push_str("->"),
            '…' => out.push_str(".."),
            c => out.push(ascii(c, before == c || signs.peek() == Some(&c))),
        }
        before = c;
    }
    out
}
