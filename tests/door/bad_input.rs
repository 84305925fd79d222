//! Every mistake a person can make in a file is explained: one file a mistake, named after it, in
//! `bad_input/`; what is told of it stands in `snapshots/`.

// A test may fail loudly, and figures read from text are exact.

use std::path::{Path, PathBuf};

use crate::mutate::{Chance, Sources, mutated};
use cansift::library::Library;
use cansift::profile::store::{check, load, load_tank, read_text};
use cansift::profile::{Broken, Problem, read_filter};

fn good(name: &str) -> String {
    std::fs::read_to_string(format!("tests/good_input/{name}")).unwrap()
}

fn rendered(problems: &[Problem]) -> String {
    problems.iter().map(|problem| problem.rendered.as_str()).collect::<Vec<_>>().join("\n\n")
}

#[test]
fn every_bad_file_is_explained() {
    let checked = check(&[PathBuf::from("tests/bad_input")]);
    assert!(checked.len() >= 60, "{} files", checked.len());
    let mut settings = insta::Settings::clone_current();
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    for file in &checked {
        let name = file.path.file_stem().unwrap().to_string_lossy().into_owned();
        assert!(!file.problems.is_empty(), "{name}: nothing was told");
        for problem in &file.problems {
            assert!(problem.line >= 1 && problem.column >= 1, "{name}");
            assert!(problem.help.as_ref().is_none_or(|help| !help.is_empty()), "{name}");
        }
        let text = rendered(&file.problems);
        settings.bind(|| insta::assert_snapshot!(format!("bad_input__{name}"), text));
    }
}

#[test]
fn nothing_foreign_gets_through_the_messages() {
    for file in check(&[PathBuf::from("tests/bad_input")]) {
        for problem in file.problems {
            let all = [Some(problem.message), problem.help, Some(problem.rendered)];
            for text in all.into_iter().flatten() {
                let foreign = text.chars().find(|c| *c != '\n' && cansift::hidden::is_hidden(*c));
                assert_eq!(foreign, None, "{}: {text:?}", file.path.display());
            }
        }
    }
}

#[test]
fn a_file_for_a_newer_program_is_told_as_that_alone() {
    let text =
        good("tamsin-1100.ron").replace("format: 1", "format: 3").replace("spares: scarce", "spares: few");
    let broken = read_filter(Path::new("tamsin-1100.ron"), &text, Library::shipped()).unwrap_err();
    let told: Vec<&str> = broken.problems.iter().map(|problem| problem.message.as_str()).collect();
    assert_eq!(told, ["format 3 needs a newer program"]);
}

#[test]
fn all_mistakes_of_a_file_are_told_at_once_in_the_order_of_the_text() {
    let text = good("tamsin-1100.ron")
        .replace("flow: l_h(1100), tank", "flow: mm(1100), tank")
        .replace("bore: mm(16)", "bore: mm(500), colour: \"red\"")
        .replace("connector(bore: mm(12.5)), tap", "conector(bore: mm(12.5)), tap")
        .replace("dry_mass: kg(4.2)", "dry_mass: kg(-4.2)")
        .replace("grid: 0.45, seal: lip", "grid: 45, seal: lip")
        .replace("lamp: w(7)", "lamp: 7")
        .replace("spares: scarce", "spares: few")
        .replace("\"floss\", depth", "\"flos\", depth")
        .replace("depth: mm(40), slack: mm(3)", "depth: mm(90), slack: mm(NaN)")
        .replace("mass: kg(0.9)", "mass: kg(0.9), fill: rest");
    let Err(broken) = read_filter(Path::new("tamsin-1100.ron"), &text, Library::shipped()) else {
        panic!("a file with ten mistakes was read")
    };
    let places: Vec<_> = broken.problems.iter().map(|problem| (problem.line, problem.column)).collect();
    assert!(places.is_sorted(), "{places:?}");
    let messages: Vec<_> = broken.problems.iter().map(|problem| problem.message.as_str()).collect();
    let expected = [
        "`mm` is a unit of length, but a flow",
        "hose bore of 500 mm",
        "unknown field `colour`",
        "expected a fitting, found `conector`",
        "dry mass of -4.2 kg",
        "open share of a grid of 45",
        "a bare number has no unit, and a power",
        "expected how spares are to be had, found `few`",
        "`NaN` is no figure",
        "no medium is called `flos`",
        "how much of this layer there is",
    ];
    for part in expected {
        assert!(messages.iter().any(|message| message.contains(part)), "{part}: {messages:#?}");
    }
    assert!(messages.len() <= expected.len() + 2, "{messages:#?}");
}

#[test]
fn a_broken_file_hides_no_good_one() {
    let folder = tempfile::tempdir().unwrap();
    let put = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).unwrap();
    put("b.ron", &good("tamsin-1100.ron"));
    put("a.ron", "Filter(");
    put("c.ron", &good("tamsin-1100.ron").replace("foam-20", "our-own"));
    put("media.ron", &good("medium.ron").replace("foam-20", "our-own"));
    put("tank.ron", &good("reading-room.ron"));
    put("notes.txt", "not ours");
    put(".c.ron.new", "Filter(");
    std::fs::create_dir(folder.path().join("sub.ron")).unwrap();
    let loaded = load(&[folder.path().to_owned()], Library::shipped());
    let ids: Vec<_> = loaded.filters.iter().map(|sound| sound.filter.id.as_str()).collect();
    assert_eq!(ids, ["b", "c"]);
    assert_eq!(loaded.broken.len(), 1);
    assert_eq!(loaded.broken[0].path, folder.path().join("a.ron"));
    assert_eq!(check(&[folder.path().to_owned()]).len(), 5);
    assert!(loaded.media.iter().any(|medium| medium.id == "our-own"));
    assert!(load_tank(&folder.path().join("tank.ron"), Library::shipped()).is_ok());
    assert!(load_tank(&folder.path().join("b.ron"), Library::shipped()).is_err());
    // A tank among the filters is passed over in a folder, but not when it was asked for by name.
    assert_eq!(load(&[folder.path().join("tank.ron")], Library::shipped()).broken.len(), 1);
}

#[test]
fn one_file_given_twice_counts_once_and_two_of_one_name_stay_apart() {
    let folder = tempfile::tempdir().unwrap();
    for sub in ["one", "two"] {
        std::fs::create_dir(folder.path().join(sub)).unwrap();
        std::fs::write(folder.path().join(sub).join("x.ron"), good("tamsin-1100.ron")).unwrap();
    }
    let (one, two) = (folder.path().join("one"), folder.path().join("two"));
    let loaded = load(&[one.clone(), one.join("x.ron"), two], Library::shipped());
    let keys: Vec<_> = loaded.filters.iter().map(|sound| sound.filter.hose.bore.key.name().clone()).collect();
    assert_eq!(keys, ["x/hose/bore", "x (2)/hose/bore"]);
}

#[test]
fn what_is_no_plain_file_is_refused_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let message = |path: &Path| read_text(path).unwrap_err().message;
    assert!(message(folder.path()).contains("folder"));
    assert!(message(&folder.path().join("none.ron")).contains("no such file"));
    let large = folder.path().join("large.ron");
    std::fs::File::create(&large).unwrap().set_len((1 << 20) + 1).unwrap();
    assert!(message(&large).contains("larger than 1024 KiB"));
    #[cfg(unix)]
    {
        let pipe = folder.path().join("pipe.ron");
        assert!(std::process::Command::new("mkfifo").arg(&pipe).status().unwrap().success());
        let start = std::time::Instant::now();
        assert!(message(&pipe).contains("regular file"));
        let ring = folder.path().join("ring.ron");
        std::os::unix::fs::symlink(&ring, &ring).unwrap();
        std::os::unix::fs::symlink(folder.path(), folder.path().join("up.ron")).unwrap();
        let loaded = load(&[folder.path().to_owned()], Library::shipped());
        assert_eq!(loaded.broken.len(), 3, "large, pipe and ring: {:#?}", loaded.broken);
        assert!(start.elapsed().as_millis() < 500);
    }
}

#[test]
fn problems_of_a_file_are_capped() {
    let many = format!("hose: [{}],", "5,".repeat(200_000));
    let text = good("tamsin-1100.ron").replace("intake: [", &format!("{many} intake: ["));
    assert!(read_filter(Path::new("x.ron"), &text, Library::shipped()).is_err());
    let layers = "Layer(x: 1), ".repeat(20);
    let builds = format!("Build(name: \"b\", trays: [[{layers}]]), ").repeat(50);
    let text = format!("Filter(format: 1, name: \"x\", way: rising, trays: [Tray()], builds: [{builds}])");
    let start = std::time::Instant::now();
    let broken: Broken = read_filter(Path::new("x.ron"), &text, Library::shipped()).unwrap_err();
    assert_eq!(broken.problems.len(), 100);
    assert!(broken.problems[99].message.contains("more problems"));
    assert!(start.elapsed().as_secs() < 5);
}

#[test]
fn a_large_hostile_file_is_refused_in_a_moment() {
    const SIZE: usize = 1_000_000;
    let fill = |piece: &str| piece.repeat(SIZE / piece.len());
    let filter = |inside: &str| format!("Filter(format: 1, {inside})");
    let numbered: String = (0..SIZE / 10).fold(String::new(), |text, i| text + &format!("k{i}: 1, "));
    let texts = [
        filter(&numbered),
        filter(&fill("name: \"x\", ")),
        filter(&format!("name: \"{}\"", fill("x"))),
        filter(&format!("name: [{}]", fill("5,"))),
        filter(&format!("trays: [{}]", fill("Tray(),"))),
        filter(&format!("unit: Unit(includes: [\"{}\"])", fill("é"))),
        filter(&format!("{}: 1", fill("x"))),
        filter(&format!("hose: Hose(bore: {})", fill("1"))),
        fill("("),
        fill("/*"),
        fill("r#"),
        fill("\""),
        fill("Filter("),
        fill("\u{202e}"),
        format!("[{}]", fill("Medium(),")),
        format!("Tank(priorities: {{{}}})", fill("\"flow\": 1, ")),
    ];
    for (i, text) in texts.iter().enumerate() {
        let start = std::time::Instant::now();
        let broken = [
            read_filter(Path::new("x.ron"), text, Library::shipped()).map(drop).unwrap_err(),
            cansift::profile::read_tank(Path::new("x.ron"), text, Library::shipped()).map(drop).unwrap_err(),
            cansift::profile::read_list(Path::new("x.ron"), text).map(drop).unwrap_err(),
        ];
        for problem in broken.iter().flat_map(|broken| &broken.problems) {
            assert!(problem.rendered.len() < 10_000, "text {i}: {} bytes", problem.rendered.len());
        }
        // Three reads take well under a second; the bound leaves room for a busy machine.
        assert!(start.elapsed().as_secs() < 20, "text {i}: {:?}", start.elapsed());
    }
}

#[test]
fn no_mutated_file_brings_the_reader_down() {
    use cansift::profile::{read_list, read_tank};
    let sources = Sources::real();
    let path = Path::new("x.ron");
    let (mut sound, mut broken) = (0, 0);
    for round in 0..6000 {
        let (kind, text) = mutated(&sources, &mut Chance::new(1, round));
        let result = match kind {
            0 => read_filter(path, &text, Library::shipped()).map(drop),
            1 => read_tank(path, &text, Library::shipped()).map(drop),
            _ => read_list(path, &text).map(drop),
        };
        let Err(Broken { problems, .. }) = result else {
            sound += 1;
            continue;
        };
        broken += 1;
        assert!(!problems.is_empty() && problems.len() <= 100);
        for problem in problems {
            let line = text.split('\n').nth(problem.line - 1).unwrap_or("");
            assert!(problem.column <= line.chars().count() + 1, "{problem:?}\n{text}");
            assert!(
                !problem.rendered.chars().any(|c| c != '\n' && cansift::hidden::is_hidden(c)),
                "{problem:?}"
            );
        }
    }
    assert!(sound > 100 && broken > 3000, "the mutations are no test: {sound} sound, {broken} broken");
}
