//! Styles and signs. The terminal's own colours for text and ground, weight and reverse for what matters, and
//! few named colours besides, each with a sign that says the same without colour. Of the terminal's 16 only
//! those are taken that can be read on white and on black alike; blue and red stay apart for eyes that do not tell
//! red from green.

use ratatui::style::{Color, Modifier, Style};

use crate::app::state::Look;
use crate::model::medium::Role;

#[derive(Clone, Copy, Debug)]
pub struct Theme {
    mono: bool,
}

impl Theme {
    pub fn new(look: Look) -> Self {
        Self { mono: look.mono }
    }
    fn colour(self, colour: Color) -> Style {
        if self.mono { Style::new() } else { Style::new().fg(colour) }
    }
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
        self.colour(Color::LightRed).add_modifier(Modifier::BOLD)
    }
    pub fn water(self) -> Style {
        self.colour(Color::LightBlue).add_modifier(Modifier::BOLD)
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
            Role::Coarse | Role::Medium | Role::Fine | Role::Polishing => self.colour(Color::LightBlue),
            Role::Biological => self.colour(Color::Magenta),
            Role::Chemical => self.colour(Color::LightRed),
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
        '÷' => '/',
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

    /// Relative luminance of a colour, WCAG 2.1.
    fn luminance(rgb: [u8; 3]) -> f64 {
        let [r, g, b] = rgb.map(|c| {
            let c = f64::from(c) / 255.0;
            if c <= 0.03928 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
        });
        0.2126 * r + 0.7152 * g + 0.0722 * b
    }

    /// xterm's own colours, as its resource file has them; values from memory.
    fn xterm(colour: Color) -> Option<[u8; 3]> {
        Some(match colour {
            Color::Red => [205, 0, 0],
            Color::Green => [0, 205, 0],
            Color::Yellow => [205, 205, 0],
            Color::Blue => [0, 0, 238],
            Color::Magenta => [205, 0, 205],
            Color::Cyan => [0, 205, 205],
            Color::LightRed => [255, 0, 0],
            Color::LightBlue => [92, 92, 255],
            _ => return None,
        })
    }

    /// 3 to 1 is what WCAG 2.1 asks of large text and of graphical objects (1.4.3, 1.4.11).
    fn reads(colour: Color) -> bool {
        let Some(rgb) = xterm(colour) else { return false };
        let l = luminance(rgb);
        (l + 0.05) / 0.05 >= 3.0 && 1.05 / (l + 0.05) >= 3.0
    }

    #[test]
    fn every_colour_can_be_read_on_white_and_on_black_and_none_paints_the_ground() {
        // The measure tells good from bad: blue vanishes on black, yellow, green and cyan on white.
        for poor in [Color::Blue, Color::Yellow, Color::Green, Color::Cyan] {
            assert!(!reads(poor), "{poor:?}");
        }
        let theme = Theme::new(Look::default());
        let plain = [theme.text(), theme.strong(), theme.quiet(), theme.cursor()];
        let coloured = [theme.warn(), theme.water(), theme.key()];
        let roles = Role::ALL.map(|role| theme.role(role));
        for style in plain.iter().chain(&coloured).chain(&roles) {
            assert_eq!(style.bg, None);
            assert!(style.fg.is_none_or(reads), "{style:?}");
        }
        assert!(plain.iter().all(|style| style.fg.is_none()));
        let mono = Theme::new(Look { mono: true, ..Look::default() });
        for style in
            [mono.warn(), mono.water(), mono.key()].into_iter().chain(Role::ALL.map(|r| mono.role(r)))
        {
            assert_eq!((style.fg, style.bg), (None, None));
        }
    }

    #[test]
    fn hatches_differ_in_ascii_too() {
        let signs: Vec<char> = Role::ALL.iter().map(|r| ascii(hatch(*r))).collect();
        for (i, a) in signs.iter().enumerate() {
            assert!(a.is_ascii() && !signs.iter().skip(i + 1).any(|b| a == b), "{signs:?}");
        }
    }
}
