//! The real terminal, in a pseudo-terminal: it comes back whatever happens, and one press is one action.
//! The screens run in a child process of this very test, as the program itself would run them.
#![cfg(unix)]

use std::sync::Arc;
use std::time::{Duration, Instant};

use crate::session::{LIMIT, Session, cells};
use crate::things;
use cansift::app::jobs::Hooks;
use cansift::app::screens::restack::background::RestackHooks;
use cansift::app::state::State;
use cansift::model::filter::Filter;
use portable_pty::{CommandBuilder, PtySize};

const CHILD: &str = "SCREENS_TEST_CHILD";

/// Runs the screens when this test was started as a child; says on the normal screen how they ended.
#[test]
fn child() {
    let Ok(mode) = std::env::var(CHILD) else { return };
    let falls = |mode_of_it: &str| mode == mode_of_it;
    let (judge_falls, advice_falls, load_falls, others_fall) =
        (falls("judge"), falls("advice"), falls("load"), falls("others"));
    let judge = move |f: &Filter, build: usize, _: Option<&cansift::model::tank::Tank>| {
        assert!(!(judge_falls && f.id == "orrin-900"), "a judge that falls over");
        things::judgement(f, build, 500.0 + f.name.len() as f64, 0.1, 60.0)
    };
    let stands = move |what: &str| assert!(!others_fall, "{what} fell over");
    let hooks = Hooks {
        reply: Arc::new(move |_| {
            stands("reply");
            String::new()
        }),
        report: Arc::new(move |ask| {
            stands("report");
            format!("report in {}", ask.folder)
        }),
        load: Arc::new(move || {
            assert!(!load_falls, "a reader that falls over");
            things::loaded()
        }),
        logs: Arc::new(|_, _| ()),
        judge: Arc::new(judge),
        advise: Arc::new(move |_, _, _, _| assert!(!advice_falls, "an adviser that falls over")),
        doubt: None,
        why: Arc::new(move |_, _, measure, _| {
            stands("why");
            Err(format!("nothing is known of {}", measure.key()))
        }),
        next: Arc::new(|_, _, _| Vec::new()),
        rank: Arc::new(move |ask| {
            stands("rank");
            *things::stood(ask)
        }),
        restack: RestackHooks {
            search: Arc::new(move |_, _, _| {
                stands("search");
                Vec::new()
            }),
            write: Arc::new(|_, _, _| Err("nothing is written here".to_owned())),
        },
        explain: Arc::new(move |f, _, m, _, _| {
            stands("explain");
            vec![format!("{} of {} comes from nowhere", m.key(), f.id)]
        }),
        form: Arc::new(move |_| {
            stands("form");
            None
        }),
    };
    if mode == "others" {
        // A thread that nobody looks after falls over, too.
        let stray = |_| drop(std::thread::spawn(|| panic!("a stray thread fell over")));
        let tank = cansift::library::demo_tanks().remove(0).tank;
        let state = State::new("demo", Some(tank));
        let (ended, _) = cansift::terminal::run(state, hooks, 2, stray, &mut |_| ()).unwrap();
        println!("ended: {ended:?}");
        return;
    }
    if mode == "fall" {
        // A fault in what draws: nothing of the state can bring it about, so it is made here.
        let guarded = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| {
            cansift::terminal::run(State::new("demo", None), hooks, 2, |_| panic!("fell over"), &mut |_| ())
        }));
        assert!(guarded.is_err());
        return;
    }
    let (ended, _) = cansift::terminal::run(State::new("demo", None), hooks, 2, |_| (), &mut |_| ()).unwrap();
    println!("ended: {ended:?}");
}

/// The screens in a child of this test, in a terminal.
fn start(mode: &str) -> Session {
    start_as(mode, |_| ())
}

/// The same with something set otherwise.
fn start_as(mode: &str, set: impl Fn(&mut CommandBuilder)) -> Session {
    let mut command = CommandBuilder::new(std::env::current_exe().unwrap());
    command.args(["--exact", "terminal::child", "--nocapture", "--test-threads=1"]);
    command.env(CHILD, mode);
    // Whoever runs the tests keeps their clipboard.
    for name in ["DISPLAY", "WAYLAND_DISPLAY", "WSL_DISTRO_NAME", "SSH_CONNECTION", "SSH_TTY"] {
        command.env_remove(name);
    }
    Session::start_as(command, set)
}

#[test]
fn keys_work_and_leaving_gives_the_terminal_back() {
    let mut s = start("plain");
    s.until("Tamsin 1100 · as bought");
    s.until("? help");
    s.press("/orr");
    s.until("holding /orr");
    s.until("1 of 5");
    s.press("\r");
    s.until("p pane");
    s.press("p");
    s.until("lid, pump");
    s.press("?");
    s.until("search:");
    s.press("\u{1b}");
    s.until("lid, pump");
    s.press("e");
    s.until("comes from nowhere");
    s.press("\u{1b}");
    s.until_gone("comes from nowhere");
    s.press("y");
    s.until("clipboard; paste to see");
    assert!(s.sent("\u{1b}]52;c;"));
    s.press("q");
    s.until("ended: Left");
    s.given_back();
    assert!(s.child.wait().unwrap().success());
}

#[test]
fn a_resize_is_drawn() {
    let mut s = start("plain");
    s.until("wherry.ron");
    assert!(!s.text().contains("What slows the flow"));
    s.screen.lock().unwrap().0.screen_mut().set_size(cells(40), cells(120));
    s.master.resize(PtySize { rows: 40, cols: 120, pixel_width: 0, pixel_height: 0 }).unwrap();
    s.until("What slows the flow");
    s.press("q");
    s.until("ended: Left");
}

#[test]
fn suspending_gives_the_terminal_back_and_continuing_takes_it_again() {
    let mut s = start("plain");
    s.until("wherry.ron");
    s.press("\u{1a}");
    s.until_gone("wherry.ron");
    s.given_back();
    let pid = s.child.process_id().unwrap().to_string();
    // A call to go on that comes before it has stopped is lost; a shell calls only what it saw stop.
    for _ in 0..100 {
        std::process::Command::new("kill").args(["-CONT", &pid]).status().unwrap();
        if s.text().contains("wherry.ron") {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(50));
    }
    s.until("wherry.ron");
    assert!(s.screen.lock().unwrap().0.screen().alternate_screen());
    s.press("q");
    s.until("ended: Left");
    s.given_back();
}

#[test]
fn a_judge_that_panics_is_told_and_the_rest_goes_on() {
    let mut s = start("judge");
    s.until("could not be judged");
    s.until("Dunlow 300");
    s.press("<");
    s.until("p pane");
    s.press("q");
    s.until("ended: Left");
    s.given_back();
}

#[test]
fn a_panic_gives_the_terminal_back_before_its_words() {
    let s = start("fall");
    s.until("fell over");
    s.given_back();
}

/// Keys, and what the screen shows of it; in their order.
type Steps = [(&'static str, &'static str)];

/// The kernel's settings too, when what draws falls over and when a thread in the background does: whichever it is,
/// its words stand on the screen, if anywhere, and not across it.
#[test]
fn a_panic_in_any_thread_leaves_the_settings_as_they_were() {
    let judged: &Steps = &[("", "could not be judged"), ("q", "ended: Left")];
    let unread: &Steps = &[("", "the files could not be read: a reader that falls"), ("q", "ended: Left")];
    let others: &Steps = &[
        ("", "Tamsin 1100 · as bought"),
        ("W", "write the report into"),
        ("\r", "the report could not be written: report fell over"),
        ("w", "it could not be written: reply fell over"),
        ("\u{1b} j d", "cannot be told: why fell over"),
        ("3", "the builds could not be ranked: rank fell over"),
        ("6", "volume: water in the tank"),
        ("g1", "p pane"),
        ("e", "it could not be explained: explain fell over"),
        ("\u{1b}", "p pane"),
        ("4", "as it stands"),
        ("b", "search fell over"),
        ("q", "ended: Left"),
    ];
    for (mode, shut, steps) in [
        ("fall", "", &[("", "fell over")][..]),
        // Its words have nowhere to go: that is no second fault.
        ("fall", "2>&-", &[]),
        ("judge", "", judged),
        ("advice", "", judged),
        ("load", "", unread),
        ("others", "", others),
    ] {
        let place = tempfile::tempdir().unwrap();
        let script =
            format!("stty -g > before; \"$0\" \"$@\" {shut}; stty -g > after; echo all done; read rest");
        let mut command = CommandBuilder::new("sh");
        command.args(["-c", &script]);
        command.arg(std::env::current_exe().unwrap());
        command.args(["--exact", "terminal::child", "--nocapture", "--test-threads=1"]);
        command.cwd(place.path());
        command.env(CHILD, mode);
        let mut s = Session::start(command);
        for (keys, shows) in steps {
            s.press(keys);
            s.until(shows);
        }
        s.until("all done");
        s.given_back();
        assert!(!s.sent("a stray thread fell over"), "words across the screens");
        let read = |name: &str| std::fs::read_to_string(place.path().join(name)).unwrap();
        assert_eq!(read("before"), read("after"), "{mode} {shut}");
        s.press("\n");
        s.child.wait().unwrap();
    }
}

#[test]
fn signals_that_end_it_give_the_terminal_back() {
    for (name, number) in [("TERM", 15), ("INT", 2), ("HUP", 1)] {
        let s = start("plain");
        s.until("wherry.ron");
        let pid = s.child.process_id().unwrap().to_string();
        std::process::Command::new("kill").args([format!("-{name}").as_str(), &pid]).status().unwrap();
        s.until(&format!("ended: Signal({number})"));
        s.given_back();
    }
}

#[test]
fn pasted_text_is_text_and_the_wheel_moves() {
    let mut s = start("plain");
    s.until("wherry.ron");
    s.press("/\u{1b}[200~dun\nq\u{1b}[201~");
    s.until("holding /dun");
    s.until("1 of 5");
    s.press("\u{1b}");
    s.until("Tamsin");
    // The wheel towards the hand, over the table: the cursor goes one row down.
    let was = s.text();
    s.press("\u{1b}[<65;5;5M");
    let end = Instant::now() + LIMIT;
    while s.text() == was && Instant::now() < end {
        let _ = s.news.recv_timeout(Duration::from_millis(100));
    }
    assert_ne!(s.text(), was);
    s.press("q");
    s.until("ended: Left");
}

/// A clipboard helper of the test's own, in a folder that stands first on the way to programs.
fn helper(script: &str) -> (tempfile::TempDir, impl Fn(&mut CommandBuilder)) {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("xclip");
    std::fs::write(&file, format!("#!/bin/sh\n{script}\n")).unwrap();
    std::fs::set_permissions(&file, std::fs::Permissions::from_mode(0o755)).unwrap();
    let way = format!("{}:{}", folder.path().display(), std::env::var("PATH").unwrap());
    (folder, move |command: &mut CommandBuilder| {
        command.env("PATH", &way);
        command.env("DISPLAY", ":77");
    })
}

#[cfg(not(target_os = "macos"))]
#[test]
fn what_is_said_of_a_copy_is_what_became_of_it() {
    let (folder, set) = helper("cat > \"$(dirname \"$0\")/taken\"");
    let mut s = start_as("plain", set);
    s.until("Tamsin 1100 · as bought");
    s.until("×/h: half of a cloud");
    s.press("Y");
    s.until("1 line put on the system's clipboard by xclip");
    let taken = std::fs::read_to_string(folder.path().join("taken")).unwrap();
    assert!(taken.contains(" · ") && taken.contains(": clearing ") && taken.ends_with(" ×/h\n"), "{taken}");
    assert!(!s.sent("\u{1b}]52;c;"));
    s.press("q");

    for (script, said) in
        [("exit 3", "xclip failed (exit status: 3); "), ("exec sleep 60", "xclip did not answer; ")]
    {
        let (_folder, set) = helper(script);
        let mut s = start_as("plain", set);
        s.until("Tamsin 1100 · as bought");
        let began = Instant::now();
        s.press("y");
        s.until(said);
        assert!(began.elapsed() < Duration::from_secs(2));
        assert!(s.sent("\u{1b}]52;c;"), "then the terminal is asked");
        s.press("q");
    }

    // From afar this machine's clipboard is not the person's.
    let (folder, set) = helper("cat > \"$(dirname \"$0\")/taken\"");
    let mut s = start_as("plain", |command| {
        set(command);
        command.env("SSH_CONNECTION", "192.0.2.1 5 192.0.2.2 22");
    });
    s.until("Tamsin 1100 · as bought");
    s.press("y");
    s.until("clipboard; paste to see");
    assert!(!folder.path().join("taken").exists());
    s.press("q");
}
