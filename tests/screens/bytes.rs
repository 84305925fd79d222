//! What terminals send.

mod input {
    use cansift::terminal::input::*;
    use crossterm::event::{Event, KeyCode, KeyEvent, KeyModifiers};

    use std::time::{Duration, Instant};

    fn keys(text: &str) -> Vec<Event> {
        text.chars().map(|c| Event::Key(KeyEvent::new(KeyCode::Char(c), KeyModifiers::NONE))).collect()
    }

    fn waiting(input: &Input) -> usize {
        std::iter::from_fn(|| input.next()).count()
    }

    #[test]
    fn of_a_flood_the_rest_is_dropped_and_told_once_it_is_over() {
        let (input, begun) = (Input::default(), Instant::now());
        let at = |ms| begun + Duration::from_millis(ms);
        for ms in 0..100 {
            input.put(keys(&"x".repeat(1000)), Lost::default(), at(ms));
            // The loop takes what there is, but the flood goes on.
            assert_eq!(waiting(&input), if ms == 0 { MOST } else { 0 });
        }
        input.put(keys("j"), Lost::default(), at(100));
        assert_eq!(waiting(&input), 1, "a single key, and nothing waits: it is a hand's");
        input.put(keys(&"x".repeat(1000)), Lost { cut: true, ..Lost::default() }, at(101));
        assert_eq!(waiting(&input), MOST);
        assert_eq!(input.lost(), Lost::default(), "it may go on");
        std::thread::sleep(PAUSE + Duration::from_millis(110));
        let lost = Lost { keys: 101 * 1000 - 2 * MOST, cut: true, broken_off: false };
        assert_eq!((input.lost(), input.lost()), (lost, Lost::default()));
        assert!(lost.told().unwrap().starts_with("100488 keys") && Lost::default().told().is_none());
        input.put(keys("j"), Lost::default(), at(400));
        assert_eq!(waiting(&input), 1);
    }

    #[test]
    fn ctrl_c_goes_before_all_that_waits() {
        let input = Input::default();
        let mut flood = keys(&"x".repeat(1000));
        flood.push(Event::Key(KeyEvent::new(KeyCode::Char('c'), KeyModifiers::CONTROL)));
        input.put(flood, Lost::default(), Instant::now());
        assert!(input.next().as_ref().is_some_and(is_way_out) && input.way_out());
        assert_eq!(input.next(), None);
    }

    #[test]
    fn one_who_waits_is_called() {
        let input = Input::default();
        let calls: [fn(&Input); 2] =
            [Input::resize, |input| input.put(keys("j"), Lost::default(), Instant::now())];
        for call in calls {
            std::thread::scope(|scope| {
                let begun = Instant::now();
                scope.spawn(|| call(&input));
                input.wait(Duration::from_secs(20));
                assert!(begun.elapsed() < Duration::from_secs(10));
                assert!(input.resized() || input.next().is_some());
            });
        }
    }
}

mod sequences {
    use cansift::terminal::bytes::*;
    use cansift::terminal::input::Lost;
    use crossterm::event::{Event, KeyCode, KeyModifiers, MouseEventKind};
    use proptest::prelude::*;

    /// What is sent, and the keys that it means: `^` control, `s-` shift, `a-` alt.
    const SENT: &[(&str, &str)] = &[
        ("a", "a"),
        ("Ä€🐟", "s-Ä € 🐟"),
        ("\r\t\u{7f}\u{1b}", "Enter Tab Backspace Esc"),
        ("\u{1}\u{1a}\n\0\u{1c}\u{1f}", "^a ^z ^j ^  ^4 ^7"),
        ("\u{3}", "^c"),
        ("\u{1b}q", "Esc q"),
        ("\u{1b}\u{1b}", "Esc Esc"),
        ("\u{1b}\u{1b}[A", "Esc Up"),
        ("\u{1b}[A\u{1b}[B\u{1b}[C\u{1b}[D", "Up Down Right Left"),
        ("\u{1b}OA\u{1b}OH\u{1b}OF", "Up Home End"),
        ("\u{1b}[H\u{1b}[F\u{1b}[1~\u{1b}[4~\u{1b}[7~\u{1b}[8~", "Home End Home End Home End"),
        ("\u{1b}[3~\u{1b}[5~\u{1b}[6~\u{1b}[Z", "Delete PageUp PageDown s-BackTab"),
        ("\u{1b}[1;2A\u{1b}[1;5B\u{1b}[1;3C\u{1b}[3;2~", "s-Up ^Down a-Right s-Delete"),
        ("\u{1b}[27;5;99~\u{1b}[99;5u\u{1b}[27u\u{1b}[9;2u", "^c ^c Esc s-BackTab"),
        ("\u{1b}[97;1:3u\u{1b}[1;1:3A\u{1b}[1;1:1A", "Up"),
        (
            "\u{1b}[<0;3;4M\u{1b}[<0;3;4m\u{1b}[<35;9;9M\u{1b}[<64;1;1M\u{1b}[<65;1;1M",
            "press(2,3) up(0,0) down(0,0)",
        ),
        ("\u{1b}[32;3;4M\u{1b}[96;1;1M", "press(2,3) up(0,0)"),
        ("\u{1b}[M #$\u{1b}[M#!!", "press(2,3)"),
        // Places that no terminal has.
        ("\u{1b}[<0;0;0M\u{1b}[<0;99999;1M\u{1b}[M   ", ""),
        ("\u{1b}[200~one\ntwo q\u{1b}[201~x", "paste(one\\ntwo q) x"),
        ("\u{1b}[200~\u{1b}[A\u{1b}[201\u{1b}[201~", "paste(\\u{1b}[A\\u{1b}[201)"),
        // Focus, answers to questions, keys that are none here, and broken ones: nothing of them is a key.
        ("\u{1b}[I\u{1b}[O\u{1b}[?62;4c\u{1b}[12;40R\u{1b}[?1u\u{1b}[>0;1c\u{1b}[15~\u{1b}[[A\u{1b}OP", ""),
        ("\u{1b}]11;rgb:1e1e/1e1e/1e1e\u{1b}\\a\u{1b}]52;c;cXE=\u{7}b\u{1b}P>|q q(1)\u{1b}\\c", "a b c"),
        ("\u{1b}[12;\u{1b}[A\u{1b}[5é", "Up é"),
    ];

    fn shown(event: &Event) -> String {
        match event {
            Event::Key(k) => {
                let held =
                    [(KeyModifiers::SHIFT, "s-"), (KeyModifiers::ALT, "a-"), (KeyModifiers::CONTROL, "^")];
                let held =
                    held.into_iter().filter(|(one, _)| k.modifiers.contains(*one)).map(|(_, sign)| sign);
                let code = match k.code {
                    KeyCode::Char(c) => c.to_string(),
                    other => format!("{other:?}"),
                };
                held.collect::<String>() + &code
            }
            Event::Paste(text) => format!("paste({})", text.escape_debug()),
            Event::Mouse(m) => {
                let what = match m.kind {
                    MouseEventKind::ScrollUp => "up",
                    MouseEventKind::ScrollDown => "down",
                    _ => "press",
                };
                format!("{what}({},{})", m.column, m.row)
            }
            other => format!("{other:?}"),
        }
    }

    fn all_shown(events: &[Event]) -> String {
        events.iter().map(shown).collect::<Vec<_>>().join(" ")
    }

    /// The events of some reads, and of the pause after them.
    fn read(reads: &[&[u8]]) -> Vec<Event> {
        let (mut bytes, mut out) = (Bytes::default(), Vec::new());
        for read in reads {
            bytes.feed(read, &mut out);
        }
        bytes.pause(&mut out);
        assert!(!bytes.waits());
        out
    }

    #[test]
    fn what_terminals_send_are_the_keys_pressed() {
        for (sent, keys) in SENT {
            assert_eq!(all_shown(&read(&[sent.as_bytes()])), *keys, "{sent:?}");
        }
    }

    #[test]
    fn it_does_not_matter_where_reads_end() {
        for (sent, keys) in SENT {
            let single: Vec<&[u8]> = sent.as_bytes().chunks(1).collect();
            assert_eq!(all_shown(&read(&single)), *keys, "{sent:?}");
        }
    }

    /// Cut off anywhere: after a pause the next key is that key and nothing before it can fire, and Ctrl-C is Ctrl-C
    /// even without one.
    #[test]
    fn whatever_is_cut_off_the_next_key_is_seen() {
        for (sent, _) in SENT {
            for cut in 0..=sent.len() {
                let begun = &sent.as_bytes()[..cut];
                let (mut bytes, mut out) = (Bytes::default(), Vec::new());
                bytes.feed(begun, &mut out);
                bytes.pause(&mut out);
                out.clear();
                bytes.feed(b"j", &mut out);
                bytes.feed(b"\x1b[B", &mut out);
                assert_eq!(all_shown(&out), "j Down", "after {begun:?}");
                assert_eq!(
                    read(&[begun, b"\x03"]).last().map(shown).as_deref(),
                    Some("^c"),
                    "after {begun:?}"
                );
            }
        }
    }

    #[test]
    fn a_paste_that_pauses_goes_on_and_one_that_was_cut_off_is_told() {
        let long = "so much of a text that no hand types it at once";
        let (mut bytes, mut out) = (Bytes::default(), Vec::new());
        bytes.feed(b"\x1b[200~one ", &mut out);
        bytes.pause(&mut out);
        bytes.feed(format!("{long}\u{1b}[20").as_bytes(), &mut out);
        bytes.feed(b"1~", &mut out);
        assert_eq!(all_shown(&out), format!("paste(one {long})"));

        out.clear();
        bytes.feed(b"\x1b[200~cut off", &mut out);
        bytes.pause(&mut out);
        bytes.feed(b"q", &mut out);
        assert_eq!(all_shown(&out), "q");
        assert_eq!(bytes.lost(), Lost { broken_off: true, ..Lost::default() });
        assert_eq!(bytes.lost(), Lost::default());
    }

    #[test]
    fn pastes_and_sequences_have_a_bound() {
        let (mut bytes, mut out) = (Bytes::default(), Vec::new());
        bytes.feed(b"\x1b[200~", &mut out);
        for _ in 0..1000 {
            bytes.feed(&[b'x'; 1000], &mut out);
            assert!(bytes.paste.as_ref().unwrap().text.capacity() <= 4 * LONGEST_PASTE);
        }
        bytes.feed(b"\x1b[201~y", &mut out);
        let [Event::Paste(text), _] = &out[..] else { panic!("{} events", out.len()) };
        assert_eq!((text.len(), bytes.lost().cut), (LONGEST_PASTE, true));

        out.clear();
        for begin in ["\u{1b}[", "\u{1b}]1", "\u{1b}P1"] {
            bytes.feed(begin.as_bytes(), &mut out);
            bytes.feed(&vec![b'1'; 100_000], &mut out);
            assert!(out.is_empty() && bytes.held.len() <= LONGEST);
            bytes.feed(if begin == "\u{1b}[" { b"A" } else { b"\x1b\\" }, &mut out);
            assert!(out.is_empty() && bytes.held.is_empty(), "{begin:?}");
        }
    }

    proptest! {
        /// Any bytes at all: no fall, nothing that stays, and the way out stands open at every moment.
        #[test]
        fn any_bytes(
            reads in prop::collection::vec(
                prop::collection::vec(prop_oneof![any::<u8>(), prop::sample::select(&b"\x1b[]<?;0123M~OP"[..])], 0..40),
                0..12,
            ),
            pauses in any::<u16>(),
        ) {
            let (mut bytes, mut out) = (Bytes::default(), Vec::new());
            for (i, read) in reads.iter().enumerate() {
                bytes.feed(read, &mut out);
                if pauses >> i & 1 == 1 {
                    bytes.pause(&mut out);
                }
            }
            bytes.feed(b"\x03", &mut out);
            prop_assert_eq!(out.last().map(shown), Some("^c".to_owned()));
            prop_assert!(!bytes.waits());
        }
    }
}

mod terminal {
    use cansift::app::effect::Message;

    use cansift::terminal::*;

    use crossterm::event::{Event, KeyCode, KeyEvent, KeyEventKind, KeyModifiers};

    fn keys(code: KeyCode, modifiers: KeyModifiers) -> Vec<String> {
        let messages = messages(&Event::Key(KeyEvent::new(code, modifiers)));
        let label = |message| if let Message::Key(k) = message { Some(k.label()) } else { None };
        messages.into_iter().filter_map(label).collect()
    }

    fn key(code: KeyCode, modifiers: KeyModifiers) -> Option<String> {
        keys(code, modifiers).pop()
    }

    #[test]
    fn escape_and_a_key_in_one_read_are_two_keys() {
        assert_eq!(keys(KeyCode::Char('d'), KeyModifiers::ALT), ["Esc", "d"]);
        assert_eq!(keys(KeyCode::Up, KeyModifiers::ALT | KeyModifiers::SHIFT), ["Esc", "Shift-↑"]);
        assert_eq!(keys(KeyCode::Char('d'), KeyModifiers::NONE), ["d"]);
    }

    #[test]
    fn keys_of_the_terminal_are_those_of_the_table() {
        assert_eq!(key(KeyCode::Char('P'), KeyModifiers::SHIFT).as_deref(), Some("P"));
        assert_eq!(key(KeyCode::Char('c'), KeyModifiers::CONTROL).as_deref(), Some("Ctrl-C"));
        assert_eq!(key(KeyCode::BackTab, KeyModifiers::SHIFT).as_deref(), Some("Shift-Tab"));
        assert_eq!(key(KeyCode::Up, KeyModifiers::SHIFT).as_deref(), Some("Shift-↑"));
        let mut release = KeyEvent::new(KeyCode::Char('q'), KeyModifiers::NONE);
        release.kind = KeyEventKind::Release;
        assert!(messages(&Event::Key(release)).is_empty(), "one press is one action");
    }
}
