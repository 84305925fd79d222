//! Every mistake a person can make in a file is explained: one file a mistake, named after it, in
//! `bad_input/`; what is told of it stands in `snapshots/`.

use std::path::{Path, PathBuf};

use cansift::library::Library;
use cansift::profile::store::{check, load, load_library, load_tank, read_text};
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
                let foreign = text.chars().find(|c| *c != '\n' && cansift::profile::is_foreign(*c));
                assert_eq!(foreign, None, "{}: {text:?}", file.path.display());
            }
        }
    }
}
