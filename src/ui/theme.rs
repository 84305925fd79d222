//! Styles and signs. Colour means four things: better, worse, dim for what is secondary, and what calls for attention;
//! each has a sign or a word beside it that says the same without colour. Better and worse bring their own ground, so
//! that they read on any; text and ground are the terminal's own.

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
    /// Under the cursor.
    pub fn cursor(self) -> Style {
        Style::new().add_modifier(Modifier::REVERSED)
    }
    /// A key in footer and help.
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
    format!("{sign}{sign} {} {}", role.letter(), role.word())
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
        '…' => '.',
        '•' => '*',
        '░' => ':',
        '▒' => '%',
        '▓' | '█' => '#',
        '≈' => {
            if twin {
                '~'
            } else {
                '='
            }
        }
        '≡' => '=',
        '–' | '−' | '—' | '─' | '┄' | '▁' => '-',
        '│' | '┆' => '|',
        '▏' | '▎' | '▍' | '▌' | '▋' | '▊' | '▉' => '#',
        '↑' | '▲' => '^',
        '↓' | '▼' => 'v',
        '←' | '◄' => '<',
        '→' | '►' => '>',
        '×' => 'x',
        '÷' => '/',
        '²' => '2',
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

/// Text in ASCII.
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

    /// Black, yellow, blue, bright red and bright white of the sixteen as four terminals ship them: the console of
    /// Windows (Campbell, docs of Windows Terminal), Terminal of macOS (Basic), the Tango colours of the terminals of
    /// Linux desktops (Tango Desktop Project's palette), and xterm (XTerm-col.ad). Values from memory.
    const PALETTES: [(&str, [[u8; 3]; 5]); 4] = [
        ("Campbell", [[12, 12, 12], [193, 156, 0], [0, 55, 218], [231, 72, 86], [242, 242, 242]]),
        ("Basic", [[0, 0, 0], [153, 153, 0], [0, 0, 178], [230, 0, 0], [230, 230, 230]]),
        ("Tango", [[46, 52, 54], [196, 160, 0], [52, 101, 164], [239, 41, 41], [238, 238, 236]]),
        ("xterm", [[0, 0, 0], [205, 205, 0], [0, 0, 238], [255, 0, 0], [255, 255, 255]]),
    ];

    fn of(palette: &[[u8; 3]; 5], colour: Color) -> [u8; 3] {
        let at = match colour {
            Color::Black => 0,
            Color::Yellow => 1,
            Color::Blue => 2,
            Color::LightRed => 3,
            Color::White => 4,
            other => panic!("{other:?} is in no palette here"),
        };
        palette[at]
    }

    fn contrast(a: [u8; 3], b: [u8; 3]) -> f64 {
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    #[test]
    fn every_pair_of_colours_can_be_read_on_four_palettes_and_on_either_ground() {
        let theme = Theme::new(Look::default());
        let plain = [theme.text(), theme.quiet(), theme.answer(), theme.cursor(), theme.key()];
        assert!(plain.iter().all(|style| (style.fg, style.bg) == (None, None)));
        for (name, palette) in PALETTES {
            for style in [theme.better(), theme.worse(), theme.warn()] {
                let ink = of(&palette, style.fg.unwrap());
                let grounds = style.bg.map_or(vec![[0; 3], [255; 3]], |bg| vec![of(&palette, bg)]);
                for ground in grounds {
                    // 3 to 1 is what WCAG 2.1 asks of large text and of graphical objects (1.4.3, 1.4.11).
                    assert!(contrast(ink, ground) >= 3.0, "{name}: {style:?} {}", contrast(ink, ground));
                }
            }
        }
        // The measure tells good from bad: yellow alone vanishes on white, blue on black.
        assert!(contrast(PALETTES[3].1[1], [255; 3]) < 3.0 && contrast(PALETTES[3].1[2], [0; 3]) < 3.0);
        let mono = Theme::new(Look { mono: true, ..Look::default() });
        for style in [mono.better(), mono.worse(), mono.warn()] {
            assert_eq!((style.fg, style.bg), (None, None));
        }
    }

    #[test]
    fn hatches_differ_in_ascii_too() {
        let signs: Vec<char> = Role::ALL.iter().map(|r| ascii(hatch(*r), true)).collect();
        for (i, a) in signs.iter().enumerate() {
            assert!(a.is_ascii() && !signs.iter().skip(i + 1).any(|b| a == b), "{signs:?}");
        }
    }
}
