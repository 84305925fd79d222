//! What each screen owes its reader, seen on whole screens with the program's own background.

use std::collections::BTreeSet;
use std::path::Path;
use std::time::{Duration, Instant};

use cansift::app::actions;
use cansift::app::asks::Format;
use cansift::app::effect::Message;
use cansift::app::entry::Id;
use cansift::app::overlay::Overlay;
use cansift::app::screens::compare::{self, Compared};
use cansift::app::screens::restack::proposals;
use cansift::measures::Measure;
use cansift::propose::Proposal;
use cansift::report::answer::Kind;
use cansift::ui::theme::to_ascii;
use cansift::ui::view;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Color;

use crate::bench::{Bench, folder};
use crate::program::Program;

/// Some of the demo, judged and simulated.
fn program(profiles: &[&str]) -> Program {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data");
    let mut program = Program::new(profiles.iter().map(|name| demo.join(name)).collect(), 16);
    program.until("16 cases");
    program.still();
    program
}

/// Nothing is under way, a search for stacks neither.
fn settled(program: &mut Program) -> String {
    let end = Instant::now() + Duration::from_secs(120);
    loop {
        let text = program.still();
        if !text.contains("looking ") {
            return text;
        }
        assert!(Instant::now() < end, "{text}");
    }
}

/// The cells of the whole screen.
fn cells(program: &mut Program) -> Buffer {
    settled(program);
    let (w, h) = program.state.size;
    let mut buffer = Buffer::empty(Rect::new(0, 0, w, h));
    view::paint_all(&program.state, &mut buffer);
    buffer
}

/// Screens with something of everything on them.
const SCREENS: [&str; 9] = ["", "v", "v", "   d", "3", "4b", "<esc>", "g5", "g6"];

/// Replies of every kind in every format, and the screen they lie over, say none of the old words.
#[test]
fn no_reply_of_any_kind_says_the_old_words() {
    let mut program = program(&["tamsin-1100.ron", "orrin-900.ron"]);
    program.press("3");
    program.still();
    let mut seen = BTreeSet::new();
    program.press("w");
    for _ in Kind::ALL {
        for _ in Format::ALL {
            let screen = program.still();
            let Some(Overlay::Reply(reply)) = &program.state.overlay else { panic!("{screen}") };
            let text = reply.text.clone().unwrap_or_default();
            assert!(text.split_whitespace().count() > 20, "{text}");
            for old in ["±", "100 %", "draws", "doubt", "worked", "staging", "Diff", "judged for"] {
                assert!(!text.contains(old) && !screen.contains(old), "{old}:\n{text}\n{screen}");
            }
            seen.insert(text);
            program.press("f");
        }
        program.press("<right>");
    }
    // The short reply reads alike as text and as Markdown where nothing in it is bold.
    assert!(seen.len() >= 11, "{}", seen.len());
}

/// Blue is better, yellow worse or the bypass mark, red is `!`; nothing else has a colour, and solid cells are bars.
#[test]
fn colours_and_solid_cells_mean_what_they_mean() {
    let mut program = program(&["tamsin-1100.ron", "orrin-900.ron"]);
    for size in [(80, 24), (120, 40)] {
        program.take(Message::Size(size.0, size.1));
        for keys in SCREENS {
            program.press(keys);
            let buffer = cells(&mut program);
            let said = |x: u16, y: u16| buffer.cell((x, y)).map_or(" ", |c| c.symbol());
            let near = |y: u16| -> String {
                (y.saturating_sub(3)..=y)
                    .flat_map(|y| (0..size.0).map(move |x| (x, y)))
                    .map(|(x, y)| said(x, y))
                    .collect()
            };
            for y in 0..size.1 {
                let line: String = (0..size.0).map(|x| said(x, y)).collect();
                for x in 0..size.0 {
                    let Some(cell) = buffer.cell((x, y)) else { continue };
                    if cell.symbol().trim().is_empty() {
                        continue;
                    }
                    let here = format!("{keys} {x},{y} {:?} {:?}: {line}", cell.symbol(), cell.fg);
                    match (cell.fg, cell.bg) {
                        (Color::Reset, Color::Reset) => {}
                        (Color::White, Color::Blue) => assert!(line.contains('▲'), "{here}"),
                        (Color::Black, Color::Yellow) => assert!(line.contains(['▼', '◄']), "{here}"),
                        // Words may run on over the lines below their sign.
                        (Color::LightRed, Color::Reset) => assert!(near(y).contains('!'), "{here}"),
                        _ => panic!("{here}"),
                    }
                    if cell.symbol() == "█" {
                        let before = (0..x).rev().map(|x| said(x, y)).find(|s| *s != "█");
                        assert!(
                            before.is_none_or(|s| [" ", "▲", "▼", "│"].contains(&s)),
                            "a solid cell outside a bar: {here}"
                        );
                    }
                }
            }
        }
    }
}

/// Flows a litre apart are the same to a keeper: that is the verdict, and it has no colour.
#[test]
fn a_trifle_is_the_same() {
    let mut program = program(&["tamsin-1100.ron"]);
    program.press(" <down>da");
    program.until("flow l/h");
    let buffer = cells(&mut program);
    let (w, h) = program.state.size;
    let row = (0..h).find(|y| {
        (0..w).map(|x| buffer.cell((x, *y)).unwrap().symbol()).collect::<String>().contains("flow l/h")
    });
    let row = row.unwrap();
    let line: String = (0..w).map(|x| buffer.cell((x, row)).unwrap().symbol()).collect();
    assert!(line.contains("≈ same"), "{line}");
    assert!((0..w).all(|x| buffer.cell((x, row)).unwrap().fg == Color::Reset), "{line}");
}

/// The title says whose places they are, and the priorities stay on top however far one goes down.
#[test]
fn marked_builds_are_ranked_and_priorities_stay() {
    let mut program = program(&["tamsin-1100.ron", "orrin-900.ron", "pelworth-1000-market.ron"]);
    program.press("   3");
    program.until("of the 3 marked");
    let text = program.still();
    let top: Vec<String> = text.lines().take(7).map(str::to_owned).collect();
    assert!(top.iter().any(|l| l.contains("●●")), "{text}");
    program.press("<end>");
    let text = program.still();
    // All but which place the cursor is on.
    assert_eq!(text.lines().take(6).collect::<Vec<_>>(), top[..6], "{text}");
}

/// Better stacks among what is on hand: the title says so, scores fall, and the drawing follows the cursor.
#[test]
fn better_stacks_fall_in_score_and_the_drawing_follows() {
    let mut program = program(&["tamsin-1100.ron"]);
    program.take(Message::Size(120, 40));
    program.press("4b");
    let all = settled(&mut program);
    program.press("o");
    let hand = settled(&mut program);
    assert!(hand.contains("from what is on hand"), "{hand}");
    assert_ne!(all, hand, "the list changes");
    let open = program.state.restack.proposals.as_ref().unwrap();
    let rows: Vec<_> = proposals::rows(open).into_iter().flatten().map(|i| &open.found[i]).collect();
    assert!(rows.len() >= 2, "{hand}");
    // Those with a fault of their own stand last, by score too.
    let key = |p: &Proposal| (proposals::doubtful(p), -p.score);
    assert!(rows.windows(2).all(|two| key(two[0]) <= key(two[1])), "{hand}");
    program.press("<down>");
    assert_ne!(program.still(), hand, "the drawing is of the stack under the cursor");
}

/// What ASCII shows is what the other shows, sign for sign.
#[test]
fn ascii_says_the_same() {
    let mut program = program(&["tamsin-1100.ron", "orrin-900.ron"]);
    for keys in SCREENS {
        program.press(keys);
        settled(&mut program);
        let unicode = program.still();
        program.state.look.ascii = true;
        let ascii = program.still();
        program.state.look.ascii = false;
        assert!(ascii.is_ascii(), "{ascii}");
        for (one, other) in unicode.lines().zip(ascii.lines()) {
            let (one, other): (Vec<char>, Vec<char>) = (one.chars().collect(), other.chars().collect());
            for (i, (c, sign)) in one.iter().zip(&other).enumerate() {
                // Two signs take the place of one and of its neighbour.
                let near = one[i.saturating_sub(1)..(i + 2).min(one.len())].iter();
                if near.clone().any(|c| ['→', '…'].contains(c)) {
                    continue;
                }
                let alone = to_ascii(&c.to_string());
                let twin = to_ascii(&format!("{c}{c}")).chars().next();
                assert!(
                    alone.starts_with(*sign) || twin == Some(*sign),
                    "{c:?} as {sign:?}:\n{unicode}\n{ascii}"
                );
            }
        }
    }
}

/// What stands where there is nothing to show.
#[test]
fn nothing_to_show_says_what_to_do() {
    let mut bench = Bench::new((80, 24), vec![folder(&[]).path().to_owned()]);
    let text = bench.draw();
    assert!(text.contains("nothing is loaded"), "{text}");

    let mut program = program(&["tamsin-1100.ron"]);
    program.press("/xyz<enter>");
    let text = program.still();
    assert!(text.contains("nothing holds 'xyz'; Esc shows all 2"), "{text}");

    let folder = folder(&["tamsin-1100.ron"]);
    std::fs::write(folder.path().join("orrin-old.ron"), "Filter(format: 1, nmae: \"x\")").unwrap();
    let mut bench = Bench::new((80, 24), vec![folder.path().to_owned()]);
    let text = bench.draw();
    let row = text.lines().find(|l| l.contains("orrin-old.ron")).unwrap();
    assert!(row.contains('!') && row.contains("problem"), "{text}");
}

/// Every action that a footer names is one that can be done there now.
#[test]
fn the_footer_names_only_what_can_be_done() {
    let mut program = program(&["tamsin-1100.ron", "orrin-900.ron"]);
    for keys in SCREENS {
        program.press(keys);
        let text = program.still();
        let footer = text.lines().last().unwrap();
        assert!(footer.contains("? help") || program.state.overlay.is_some(), "{footer}");
        let Some(place) = actions::place(&program.state) else { continue };
        for row in actions::of_place(place).filter(|row| !row.short.is_empty()) {
            let label = format!("{} {}", program.state.keys.labels(row), row.short);
            if footer.contains(&format!(" {label} ")) {
                assert!((row.allowed)(&program.state).is_ok(), "{label} in {footer}");
            }
        }
    }
}

/// One seed, one answer, whichever door one comes in by: chances of the first place, and what to measure next.
#[test]
fn the_ranking_on_screen_is_that_of_the_command() {
    let demo = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data");
    let mut program = Program::new(vec![demo.clone()], 16);
    program.until("16 cases");
    program.still();
    program.press("3");
    program.still();
    let stood = program.state.ranking.stood.clone().unwrap();
    let on_screen: std::collections::BTreeMap<String, (f64, f64)> = stood
        .entries
        .iter()
        .enumerate()
        .filter_map(|(i, entry)| {
            let entry = &program.state.entries[*entry];
            let ranked = stood.standing.rank(i)?;
            Some((
                format!("{} {}", entry.filter.id, entry.build_name()),
                (ranked.first(), ranked.first_any_weights),
            ))
        })
        .collect();
    let out = std::process::Command::new(env!("CARGO_BIN_EXE_cansift"))
        .arg("rank")
        .arg(&demo)
        .args(["--samples", "16", "--format", "json", "--tank"])
        .arg(demo.join("tanks/reading-room.ron"))
        .output()
        .unwrap();
    let told: serde_json::Value = serde_json::from_slice(&out.stdout).unwrap();
    let ranked = told["builds"].as_array().unwrap();
    let ranked: Vec<_> = ranked.iter().filter(|build| build["first"].is_number()).collect();
    assert!(ranked.len() > 3 && ranked.len() == on_screen.len(), "{} {on_screen:?}", ranked.len());
    for build in ranked {
        let file = build["file"].as_str().unwrap().trim_end_matches(".ron");
        let (first, any) = on_screen[&format!("{file} {}", build["build"].as_str().unwrap())];
        let near = |x: f64, told: &serde_json::Value| (x - told.as_f64().unwrap()).abs() < 1e-5;
        assert!(
            near(first, &build["first"]) && near(any, &build["first_any_priorities"]),
            "{first} {any} {build}"
        );
    }
}

/// A first year that one of two files is silent about decides nothing between them.
#[test]
fn what_cannot_be_told_decides_nothing() {
    let mut program = program(&["marrick-1800.ron", "selwick-1200-uv.ron"]);
    program.press(" jj 2");
    let text = program.still();
    let silent = |e: &&cansift::app::entry::Entry| {
        let judged = e.judged.as_ref().unwrap();
        judged.outcome(cansift::measures::Measure::FirstYearCost).number().is_none()
    };
    let marked = program.state.marks.iter().filter_map(|id| program.state.entry(*id));
    assert_eq!(marked.filter(silent).count(), 1, "{text}");
    let decides = program.state.compare.ahead.unwrap().decides;
    assert!(decides.is_some_and(|m| m != cansift::measures::Measure::FirstYearCost), "{decides:?} {text}");
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("1 can't be told"), "{text}");
    // Nor has it a part in who is ahead: of all pairs with one silent that is the same without it among the priorities.
    let rows = program.state.rows.clone();
    let told = |id: &Id, program: &Program| silent(&program.state.entry(*id).unwrap());
    let (mut pairs, mut open) = (0, 0);
    for (i, a) in rows.iter().enumerate() {
        for b in &rows[i + 1..] {
            if told(a, &program) == told(b, &program) {
                continue;
            }
            program.state.marks = vec![*a, *b];
            let chances = [1.0, 0.0].map(|of_first_year| {
                for (measure, weight) in &mut program.state.ranking.weights {
                    *weight = if *measure == Measure::FirstYearCost { of_first_year } else { *weight };
                }
                program.press("12<down>");
                program.still();
                program.state.compare.ahead.unwrap().chance
            });
            assert_eq!(chances[0], chances[1]);
            (pairs, open) = (pairs + 1, open + usize::from(chances[0] > 0.0 && chances[0] < 1.0));
        }
    }
    assert!(pairs > 3 && open > 0, "{open} of {pairs} pairs are open");
    program.press("?");
    let help = program.still().replace('│', " ");
    let help = help.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(help.contains("by little where the side is sure"), "{help}");
}

/// With three or four builds the ends of a figure stand alone where the whole has not the room: none is cut.
#[test]
fn no_figure_of_four_builds_is_cut() {
    let mut program = program(&["marrick-1800.ron", "selwick-1200-uv.ron"]);
    for (marks, size) in [("   ", (80, 24)), ("    ", (120, 40)), ("    ", (100, 60))] {
        program.take(Message::Size(size.0, size.1));
        program.press(&format!("1x<home>{marks}2<home>"));
        let mut seen = BTreeSet::new();
        for _ in 0..4 {
            let text = program.still();
            assert!(text.contains(&format!("{} marked", marks.len())), "{text}");
            for line in text.lines() {
                let line = line.trim_start_matches(['►', ' ']);
                let line = line.split('│').next().unwrap();
                let measure = Measure::ALL.into_iter().find(|m| line.starts_with(m.row().head));
                if measure.is_some_and(|m| seen.insert(m.key())) {
                    assert!(!line.contains('…'), "{size:?} {line}\n{text}");
                }
            }
            program.press("<pagedown>");
        }
        assert!(seen.len() > 20, "{seen:?}\n{}", program.still());
    }
}

/// Every input of four builds can be read whole at 80 by 24, with the column of its build chosen.
#[test]
fn what_four_builds_are_fed_can_be_read_whole() {
    let mut program = program(&["marrick-1800.ron", "selwick-1200-uv.ron"]);
    program.press("    2vv");
    program.still();
    let (mut read, mut long) = (0, 0);
    for _ in 0..40 {
        let lines = compare::lines(&program.state);
        if let Some(Compared::Field(field)) = lines.get(program.state.compare.list.cursor) {
            for (column, value) in field.values.iter().enumerate() {
                program.state.compare.column = column;
                let text = program.draw();
                let pane: String = text.lines().skip_while(|l| !l.contains("In full")).collect();
                let squeezed = |text: &str| text.split_whitespace().collect::<String>();
                let value = squeezed(value.as_deref().unwrap_or(""));
                assert!(squeezed(&pane).contains(&value), "{value} in {text}");
                (read, long) = (read + 1, long + usize::from(value.len() > 30));
            }
        }
        program.press("<down>");
    }
    assert!(read > 60 && long > 3, "{read} {long}");
}

/// A short name stands in sentences: with one article, and with none where it says whose it is.
#[test]
fn a_name_has_one_article() {
    for (files, names) in [
        (["shed-tub.ron", "dunlow-300.ron"], ["the shed", "the Dunlow"]),
        (["logs/marit-tamsin-1100.ron", "logs/jonne-tamsin-1100.ron"], ["Marit's", "Jonne's"]),
    ] {
        let mut program = program(&files);
        let all = program.state.rows.len();
        program.press(&format!(" {} 2", "<down>".repeat(all - 1)));
        let text = program.still().split_whitespace().collect::<Vec<_>>().join(" ");
        let told = text.split_once("priorities ").unwrap().1;
        assert!(names.iter().any(|name| told.starts_with(name)), "{text}");
        assert!(
            !text.contains("the the") && !text.contains("the Jonne") && !text.contains("the Marit"),
            "{text}"
        );
    }
}
