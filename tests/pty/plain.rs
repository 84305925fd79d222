//! The dialogue of lines: through pipes, as a voice or a file of commands uses it, and in a terminal, where it
//! sends not one escape.
#![cfg(unix)]

use crate::session::Session;
use assert_cmd::Command;
use portable_pty::CommandBuilder;

/// What comes out for a file of commands, judged for the demo's tank; figures come without ± where `samples` is 0.
fn said(samples: &str, commands: &str) -> String {
    said_at(tempfile::tempdir().unwrap().path(), samples, commands)
}

fn said_at(home: &std::path::Path, samples: &str, commands: &str) -> String {
    let out = Command::new(env!("CARGO_BIN_EXE_cansift"))
        .args(["--plain", "--tank", "reading-room.ron", "--samples", samples])
        .env("HOME", home)
        .env_remove("XDG_CONFIG_HOME")
        .env_remove("XDG_DATA_HOME")
        .env_remove("XDG_STATE_HOME")
        .write_stdin(commands)
        .assert()
        .success();
    String::from_utf8(out.get_output().stdout.clone()).unwrap()
}

/// The lines after the first list.
fn after(samples: &str, commands: &str) -> Vec<String> {
    let all = said(samples, commands);
    let (_, rest) = all.split_once("quit leaves\n").unwrap_or_else(|| panic!("{all}"));
    rest.lines().map(str::to_owned).collect()
}

#[test]
fn the_list_is_one_line_a_build_with_nothing_that_only_draws() {
    let all = said("0", "");
    assert!(all.lines().any(|l| l.starts_with("1. ") && l.contains(": clearing ")), "{all}");
    assert!(all.lines().filter(|l| l.starts_with(|c: char| c.is_ascii_digit())).count() >= 20);
    assert!(!all.chars().any(|c| matches!(c, '\u{1b}' | '─'..='▟' | '⠀'..='⣿')), "{all}");
}

#[test]
fn the_same_commands_give_the_same_bytes() {
    let commands = "mark 1 3\nunits us\nsort -bypass\nshow 3\ncompare\nrank\nexplain 1 flow\n";
    let home = tempfile::tempdir().unwrap();
    let first = said_at(home.path(), "16", commands);
    assert_eq!(said_at(home.path(), "16", commands), first, "nothing of the last script is kept");
    assert_eq!(said("16", commands), first);
}

#[test]
fn moving_sorting_narrowing_and_choosing() {
    let lines = after("0", "next\nprevious\nprevious\n");
    assert!(lines[0].starts_with("2. ") && lines[1].starts_with("1. "));
    assert_eq!(lines[2], "the list ends here");
    let lines = after("0", "columns opening_interval,full_weight\nnarrow restacked\nsort name\n");
    let last = lines.iter().rev().find(|l| l.starts_with("1. ")).unwrap();
    assert!(
        last.starts_with("1. Bramtoft 1400 · restacked: open every ") && last.contains("; full weight "),
        "{last}"
    );
    assert!(lines.iter().skip(22).all(|l| l.contains("restacked")));
}

#[test]
fn figures_say_their_doubt_or_why_they_are_missing() {
    let lines = after("16", "narrow as delivered\nshow 1\n");
    assert!(lines.iter().any(|l| l.starts_with("filtered ") && l.contains(" l/h (") && l.contains('–')));
    assert!(lines.contains(&"UV dose –: it has no UV chamber".to_owned()), "{lines:?}");
}

#[test]
fn pictures_come_in_words() {
    let lines = after("0", "search tamsin\ninside 2\ncurve 2\nweeks 2\nslows 2\norder 2\n").join("\n");
    for wanted in [
        "Inside of Tamsin 1100 · restacked",
        "tray 1 from the bottom, ",
        "water slips past at ",
        "it works at ",
        "day 0: filtered ",
        "intake hose: ",
        "what would help most:",
    ] {
        assert!(lines.contains(wanted), "{wanted} in\n{lines}");
    }
}

#[test]
fn builds_side_by_side_say_whose_each_figure_is_and_why() {
    let lines = after("16", "narrow tamsin\ndiff 1 2\nwhy filtered_flow\n");
    let has = |start: &str, part: &str| lines.iter().any(|l| l.starts_with(start) && l.contains(part));
    assert!(has("A is ", "Tamsin 1100 · as bought") && has("B is ", "Tamsin 1100 · restacked"));
    assert!(has("filtered l/h: A ", ", better, "), "{lines:?}");
    assert!(has("why filtered differs: ", "adds to"), "{lines:?}");
    assert!(after("0", "diff 1\n").join("").contains("mark one more build"));
}

#[test]
fn ranks_follow_the_weights() {
    let lines = after("16", "rank\nweigh ammonia_capacity 3\nweigh ammonia_capacity 9\nweigh power 1\n");
    assert!(
        lines.iter().any(|l| l.starts_with("1. ") && l.contains("first") && l.contains("score 0.")),
        "{lines:?}"
    );
    assert!(lines.iter().any(|l| l.contains("ammonia ") && l.contains(" 3*")));
    assert!(lines.contains(&"a priority counts from 0 to 5".to_owned()));
    assert!(lines.contains(&"that measure is none of the tank's priorities".to_owned()));
}

#[test]
fn what_is_not_understood_is_told_and_nothing_stops() {
    let lines = after(
        "0",
        "sho 1\nshow 99\nshow x\nexplain 1 flwo\n\n  \nunits cubits\nsort\n\u{1b}[2J\nmouse\nwhere\nquit\nlist\n",
    );
    assert!(lines[0].contains("did you mean `show`?"));
    assert!(lines[1].contains("1 to 22") && lines[2].contains("1 to 22"));
    assert!(lines[3].contains("did you mean `flow`?"), "{lines:?}");
    assert!(lines.iter().any(|l| l == "units are metric, us or uk"));
    assert!(lines.last().unwrap().contains("screen Builds"), "after quit nothing is read: {lines:?}");
    assert!(!lines.iter().any(|l| l.contains('\u{1b}')));
}

/// Nothing is cut, nothing only draws.
fn read_out(lines: &[String]) {
    let draws =
        |c: char| matches!(c, '─'..='▟' | '⠀'..='⣿' | '…' | '●' | '○' | '▾' | '▲' | '▼' | '►' | '→' | '≈');
    // Words of files are told as they are written: `measured(…)`.
    let drawn: Vec<&String> =
        lines.iter().filter(|l| !l.starts_with("a figure ") && l.contains(draws)).collect();
    assert!(drawn.is_empty() && !lines.is_empty(), "{drawn:?}");
}

#[test]
fn restack_is_a_line_a_layer_and_opens_the_build_of_that_number() {
    let lines = after("0", "list\nrestack 9\n");
    let ninth = lines.iter().find_map(|l| l.strip_prefix("9. ")?.split(": ").next()).unwrap();
    let at =
        lines.iter().position(|l| *l == format!("Restack · {ninth}")).unwrap_or_else(|| panic!("{lines:?}"));
    let stack = &lines[at..];
    read_out(stack);
    assert_eq!(stack.iter().filter(|l| l.starts_with("on: tray ")).count(), 1, "{stack:?}");
    for wanted in ["tray 1, layer 1, ", "tray 3, layer 1, ", "floor: "] {
        assert_eq!(stack.iter().filter(|l| l.starts_with(wanted)).count(), 1, "{wanted} in {stack:?}");
    }
    let lines = after("0", "restack 99\nrestack 2\nrestack 9\ndown 3\n");
    assert!(lines[0].contains("1 to 22") && lines[1].starts_with("Restack · "), "{lines:?}");
    assert!(lines.iter().any(|l| *l == format!("Restack · {ninth}")), "{lines:?}");
    assert!(lines.last().unwrap().contains("takes nothing behind it"));
}

#[test]
fn no_screen_and_no_pane_says_what_only_draws() {
    read_out(&after("16", "mark 1 3\ncompare\nrank\nshow 1\ninside 1\norder 1\nslows 1\ncurve 1\n"));
    read_out(&after(
        "16",
        "weeks 1\nsuits 1\nnotes 1\nsources\nfilter 1\nnew\n1200\n3\nback\ntank\nother_tank\n",
    ));
    let lines = after("16", "rank\nright\nright\nmore\n");
    let said: Vec<&String> = lines.iter().filter(|l| l.starts_with("priorities: ")).collect();
    assert!(said[0].contains(": on clearing 1, ") && said[2].contains(", on open every 1, "), "{said:?}");
    assert!(said[3].contains(", on open every 1.5*, "), "{said:?}");
}

#[test]
fn a_move_says_the_line_one_came_to_and_a_change_what_it_changed() {
    for (open, told) in [("list", 1), ("restack 9", 1), ("tank", 2), ("filter 9", 2), ("sources", 1)] {
        let before = after("0", &format!("{open}\n"));
        let now = after("0", &format!("{open}\ndown\n"));
        let said = &now[before.len()..];
        assert!(said.len() <= told && said[0].starts_with("on: "), "{open}: {said:?}");
        read_out(said);
    }
    let lines = after("0", "restack 9\ndown\nthinner\namount\n15\n");
    let at = lines
        .iter()
        .position(|l| l.starts_with("on: tray 3, layer 1, ") && l.contains(" 19 mm high"))
        .unwrap();
    let said = &lines[at..];
    assert!(said.iter().any(|l| l.starts_with("tray 3: ") && l.contains("19 mm used")), "{said:?}");
    assert!(said.iter().any(|l| l.starts_with("type how much")) && said.len() < 12, "{said:?}");
    assert!(said.iter().any(|l| l.starts_with("on: ") && l.contains(" 15 mm high")), "{said:?}");
    read_out(said);
}

#[test]
fn better_stacks_media_and_forms_are_sentences_and_one_comes_back_to_where_one_was() {
    let lines = after("0", "restack 9\nadd\ndown\nback\nnext_pane\nnext_pane\n");
    read_out(&lines);
    assert!(
        lines.iter().any(|l| l.starts_with("on: dense ceramic rings, 12 mm: settling, surface ")),
        "{lines:?}"
    );
    // Back from the media one is told where one is, and not all of it again.
    let count = |start: &str| lines.iter().filter(|l| l.starts_with(start)).count();
    assert_eq!((count("Restack · "), count("floor: ")), (2, 1), "{lines:?}");
    assert_eq!(count("on: clearing: was 1.8, now 1.8 ×/h, same"), 1, "{lines:?}");
    let lines = after("0", "restack 9\npropose\ndown\n");
    read_out(&lines);
    let best = lines.iter().position(|l| l.starts_with("on: 1 ")).unwrap();
    assert!(lines[best].contains(": score 0.") && lines[best].contains(", to buy "), "{lines:?}");
    assert!(lines[best..].iter().any(|l| l.starts_with("tray 1, layer 1, ")), "{lines:?}");
    let lines = after("0", "tank\ndown\nedit\nheavy\nlast\n");
    read_out(&lines);
    assert!(lines.iter().any(|l| l.starts_with("on: stocking: heavy")), "{lines:?}");
    assert!(lines.iter().any(|l| l.starts_with("priorities, ammonia: 1")), "{lines:?}");
}

#[test]
fn help_lists_every_command_and_finds_by_a_word() {
    let all = after("0", "help\n");
    assert!(all.len() > 25 && all.iter().any(|l| l.starts_with("compare [N N…]: ")), "{all:?}");
    let some = after("0", "help priority\n");
    assert!(some.len() < all.len() && some.iter().any(|l| l.starts_with("weigh ")));
}

#[test]
fn ascii_says_it_in_ascii() {
    let out = Command::new(env!("CARGO_BIN_EXE_cansift"))
        .args(["--plain", "--ascii", "--samples", "8"])
        .write_stdin("diff 1 2\nsection 1\nrank\nhelp\n")
        .assert()
        .success();
    assert!(out.get_output().stdout.is_ascii());
}

fn start(set: impl Fn(&mut CommandBuilder)) -> Session {
    let home = tempfile::tempdir().unwrap().keep();
    let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_cansift"));
    command.args(["--samples", "8"]);
    command.env("HOME", home);
    for name in ["XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME"] {
        command.env_remove(name);
    }
    let mut session = Session::start_as(command, set);
    session.until("quit leaves");
    session.press("mark 1 2\r");
    session.until("2 marked");
    session
}

#[test]
fn in_a_terminal_not_one_escape_is_sent() {
    let ways: [fn(&mut CommandBuilder); 3] =
        [|c| c.args(["--plain"]), |c| c.env("CANSIFT_PLAIN", "1"), |c| c.env("TERM", "dumb")];
    for way in ways {
        let mut s = start(way);
        assert!(!s.sent("\u{1b}"));
        s.press("quit\r");
        assert_eq!(s.child.wait().unwrap().exit_code(), 0);
        assert!(!s.sent("\u{1b}"));
    }
    // The end of what is typed leaves too.
    let mut s = start(|c| c.args(["--plain"]));
    s.press("\u{4}");
    assert_eq!(s.child.wait().unwrap().exit_code(), 0);
}
