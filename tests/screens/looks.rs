//! Words, signs and colours of the screens.

mod spoken {

    use cansift::ui::spoken::*;

    #[test]
    fn what_only_draws_is_left_out() {
        assert_eq!(words("  1 Tamsin  ████▁▁  94 % ►"), "1 Tamsin 94 %");
        assert_eq!(words("║░▒▓║ ⠉⠑ "), "");
        assert_eq!(words("612 ±48 l/h → 3 · 5 – x"), "612 ±48 l/h to 3 · 5 – x");
    }
}

mod text {
    use cansift::hidden::is_hidden;

    use cansift::ui::text::*;

    #[test]
    fn nothing_that_drives_a_terminal_passes() {
        let foul = "a\u{1b}[31m\u{7}\u{9b}2J\u{202e}b\u{200b}\u{7f}\r\n\tc\u{feff}";
        let clean = clean(foul);
        assert!(clean.chars().all(|c| !c.is_control() && !is_hidden(c)), "{clean:?}");
        assert!(clean.contains("<1B>[31m") && clean.contains("<202E>b"));
    }
}

mod theme {
    use cansift::app::state::Look;
    use cansift::model::medium::Role;
    use cansift::ui::theme::*;
    use ratatui::style::Color;

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

mod plot {
    use cansift::app::state::Look;

    use cansift::ui::theme::Theme;
    use cansift::ui::widgets::plot::*;

    fn text(rows: &[cansift::ui::paint::Row]) -> Vec<String> {
        rows.iter().map(|r| r.spans.iter().map(|s| s.content.as_ref()).collect()).collect()
    }

    #[test]
    fn a_rising_line_runs_from_corner_to_corner_and_nothing_is_drawn_off_it() {
        let s = [Series { points: &[(0.0, 0.0), (10.0, 10.0)], dotted: false }];
        let axis = || Axis { end: 10.0, name: "weeks".to_owned() };
        let theme = Theme::new(Look::default());
        let text = text(&plot(&s, &Over::default(), (&axis(), &axis()), (18, 9), theme));
        assert_eq!(text.len(), 9);
        assert_eq!(text[0], "weeks over weeks");
        assert!(text[1].starts_with("10┤") && text[1].trim_end().chars().last().unwrap() > '\u{2800}');
        assert!(text[6].chars().nth(3).unwrap() > '\u{2800}');
        assert_eq!(text[1].chars().nth(3), Some(' '));
        let wild = [Series { points: &[(f64::NAN, 0.0), (1e300, 1e300), (-5.0, 3.0)], dotted: true }];
        let marks = [(1e300, -1.0, 'O')];
        let over = Over { marks: &marks, upright: Some(-3.0), band: Some((-9.0, 1e9)) };
        plot(&wild, &over, (&axis(), &axis()), (15, 7), theme);
    }

    /// Three round ticks at least on either axis, whatever is drawn, at forty columns and at twenty.
    #[test]
    fn axes_are_named_and_have_three_round_ticks_at_least() {
        for end in [0.63, 1.7, 2.3, 7.0, 26.0, 99.0, 181.0, 678.0, 1100.0, 24_000.0] {
            let axis = |name: &str| Axis { end, name: name.to_owned() };
            for most in [2, 3, 5, 8] {
                let ticks = axis("").ticks(most);
                assert!(ticks.len() >= 3 && ticks.len() <= 2 * most + 3, "{end} {most}: {ticks:?}");
                let step = ticks[1];
                let digits = step / 10_f64.powf(step.log10().floor());
                let round = [1.0, 2.0, 2.5, 5.0, 10.0].iter().any(|r| (digits - r).abs() < 1e-6);
                assert!(round, "{end} {most}: {ticks:?}");
            }
            let theme = Theme::new(Look::default());
            for w in [24, 40] {
                let text = text(&plot(&[], &Over::default(), (&axis("flow"), &axis("lift")), (w, 12), theme));
                assert!(text[0].contains("lift") && text[0].contains("flow"));
                assert!(text.iter().filter(|l| l.contains('┤')).count() >= 3, "{end}: {text:#?}");
                assert!(text[11].split_whitespace().count() >= 3, "{end}: {text:#?}");
            }
        }
    }

    #[test]
    fn what_lies_one_over_the_other_is_told() {
        assert!(coincide(&[(0.0, 100.0), (1.0, 50.0)], &[(0.0, 101.0), (1.0, 49.5)], 100.0));
        assert!(!coincide(&[(0.0, 100.0)], &[(0.0, 90.0)], 100.0));
    }
}

mod clipboard {
    use cansift::terminal::clipboard::given;

    /// UTF-16 in the order of bytes that Windows uses begins with FF FE (The Unicode Standard, 2.6, encoding schemes).
    #[test]
    fn the_clipboard_of_windows_is_given_utf_16_and_others_their_bytes() {
        let text = "2.3 1.7–2.8 ×/h";
        let bytes = given("clip.exe", text);
        assert_eq!(bytes[..2], [0xff, 0xfe]);
        let units: Vec<u16> = bytes[2..].chunks(2).map(|b| u16::from_le_bytes([b[0], b[1]])).collect();
        assert_eq!(String::from_utf16(&units).unwrap(), text);
        assert_eq!(given("xclip", text), text.as_bytes());
    }
}
