//! What is remembered between two runs.

mod state_file {
    use cansift::profile::state_file::*;
    use cansift::profile::store::{MAX_BYTES, Step};
    use std::fs::{self};
    use std::io::{self};
    use std::path::Path;

    fn names(folder: &Path) -> Vec<String> {
        let mut names: Vec<_> =
            fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().to_string_lossy().into()).collect();
        names.sort();
        names
    }

    #[test]
    fn what_was_written_is_read_and_replaced_whole() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("deep/er/state.ron");
        assert_eq!(read(&path), Ok(None));
        write(&path, "one").unwrap();
        write(&path, "two").unwrap();
        assert_eq!(read(&path), Ok(Some("two".to_owned())));
        assert_eq!(names(path.parent().unwrap()), ["state.ron"]);
    }

    #[test]
    fn what_cannot_be_written_leaves_what_was() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("state.ron");
        fs::create_dir(&path).unwrap();
        fs::write(path.join("kept"), "x").unwrap();
        assert!(write(&path, "two").is_err(), "a folder with something in it is not replaced");
        assert_eq!(names(folder.path()), ["state.ron"], "and nothing is left beside it");
        assert!(write(&path.join("kept/state.ron"), "x").is_err(), "a file is no folder");
    }

    #[test]
    fn a_step_that_fails_leaves_what_was_and_nothing_beside_it() {
        let folder = tempfile::tempdir().unwrap();
        for there in [false, true] {
            let path = folder.path().join(format!("{there}.ron"));
            if there {
                fs::write(&path, "old").unwrap();
            }
            for step in [Step::Create, Step::Write, Step::Sync, Step::Publish] {
                let before = names(folder.path());
                let fail = |at: Step| if at == step { Err(io::Error::other("no room")) } else { Ok(()) };
                assert_eq!(write_stepwise(&path, "new", &fail), Err("no room".to_owned()), "{step:?}");
                assert_eq!(read(&path), Ok(there.then(|| "old".to_owned())), "{step:?}");
                assert_eq!(names(folder.path()), before, "{step:?}");
            }
            let fail = |at: Step| if at == Step::SyncFolder { Err(io::Error::other("no")) } else { Ok(()) };
            assert!(write_stepwise(&path, "new", &fail).is_err());
            assert_eq!(read(&path), Ok(Some("new".to_owned())), "whole, though not yet surely on disk");
        }
        assert_eq!(names(folder.path()), ["false.ron", "true.ron"]);
    }

    #[cfg(unix)]
    #[test]
    fn mode_bits_stay_and_one_that_may_only_be_read_is_left_alone() {
        use std::os::unix::fs::PermissionsExt;
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("state.ron");
        write(&path, "one").unwrap();
        for bits in [0o600, 0o640, 0o664] {
            fs::set_permissions(&path, fs::Permissions::from_mode(bits)).unwrap();
            write(&path, "two").unwrap();
            assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, bits);
        }
        fs::set_permissions(&path, fs::Permissions::from_mode(0o444)).unwrap();
        assert_eq!(write(&path, "three"), Err("it may only be read".to_owned()));
        assert_eq!(read(&path), Ok(Some("two".to_owned())));
        assert_eq!(names(folder.path()), ["state.ron"]);
    }

    #[test]
    fn a_damaged_one_is_set_aside() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("state.ron");
        let large = vec![b'x'; MAX_BYTES as usize + 1];
        for bad in [&b"\xff\xfe"[..], &large] {
            fs::write(&path, bad).unwrap();
            assert_eq!(read(&path), Err(Unread::Damaged));
            let aside = set_aside(&path).unwrap();
            assert_eq!(names(folder.path()), ["state.ron.bad"]);
            assert_eq!(fs::read(aside).unwrap(), bad);
            assert_eq!(read(&path), Ok(None));
        }
        fs::create_dir(&path).unwrap();
        assert_eq!(read(&path), Err(Unread::Damaged));
    }

    #[cfg(unix)]
    #[test]
    fn a_link_stays_a_link() {
        let folder = tempfile::tempdir().unwrap();
        let (real, link) = (folder.path().join("real.ron"), folder.path().join("state.ron"));
        fs::write(&real, "one").unwrap();
        std::os::unix::fs::symlink(&real, &link).unwrap();
        write(&link, "two").unwrap();
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(fs::read_to_string(&real).unwrap(), "two");
    }
}

mod remember {
    use cansift::app::settings::Settings;
    use cansift::cli::screens::remember::*;

    use std::fs;

    #[test]
    fn what_was_kept_is_there_next_time() {
        let folder = tempfile::tempdir().unwrap();
        let place = folder.path().join("cansift/state.ron");
        let mut first = Memory::at(&place);
        assert!(first.kept.is_none() && first.told.is_none());
        let kept = Settings {
            units: "us".to_owned(),
            tank: Some("a \"tank\".ron".to_owned()),
            ..Settings::default()
        };
        first.keep(&kept).unwrap();
        let mut second = Memory::at(&place);
        assert_eq!(second.kept.as_ref(), Some(&kept));
        fs::remove_file(&place).unwrap();
        second.keep(&kept).unwrap();
        assert!(!place.exists(), "what did not change is not written");
        second.keep(&Settings::default()).unwrap();
        second.keep(&kept).unwrap();
        assert_eq!(Memory::at(&place).kept.as_ref(), Some(&kept), "changed and changed back is as before");
    }

    #[test]
    fn one_of_another_version_is_taken_as_far_as_it_goes() {
        let folder = tempfile::tempdir().unwrap();
        let place = folder.path().join("state.ron");
        fs::write(&place, "(units: \"uk\", something_new: [1, 2])").unwrap();
        let kept = Memory::at(&place).kept.unwrap();
        assert_eq!(kept, Settings { units: "uk".to_owned(), ..Settings::default() });
    }

    #[test]
    fn a_damaged_one_is_set_aside_and_said() {
        let folder = tempfile::tempdir().unwrap();
        let place = folder.path().join("state.ron");
        let deep = "[".repeat(100_000);
        for bad in ["", "(units: 3)", "(mouse: tr", deep.as_str()] {
            fs::write(&place, bad).unwrap();
            let mut memory = Memory::at(&place);
            assert!(memory.kept.is_none() && memory.told.as_ref().unwrap().contains("state.ron.bad"));
            assert_eq!(fs::read_to_string(folder.path().join("state.ron.bad")).unwrap(), bad);
            memory.keep(&Settings::default()).unwrap();
            assert_eq!(Memory::at(&place).kept, Some(Settings::default()));
        }
    }
}

mod tanks {
    use std::fs;

    use cansift::app::tank_form::{Answer, Ask, Choice};

    use cansift::cli::screens::tanks::*;
    use cansift::library::{self, Library};

    use std::path::Path;

    #[test]
    fn tanks_are_found_beside_builds_and_inside_the_program() {
        let place = tempfile::tempdir().unwrap();
        fs::create_dir_all(place.path().join("tanks")).unwrap();
        fs::write(place.path().join("tanks/a.ron"), "Tank(format: 1, name: \"mine\")").unwrap();
        fs::write(place.path().join("tanks/b.ron"), "Tank(format: 1)").unwrap();
        let desk = Desk::new(vec![place.path().to_owned()], Library::shipped(), None);
        let Some(Answer::Listed(all)) = desk.ask(Ask::List) else { panic!("no list") };
        let mine: Vec<&Choice> = all.iter().filter(|c| c.from.contains("tanks")).collect();
        assert_eq!(mine.len(), 2);
        assert_eq!(mine[0].tank.as_ref().unwrap().name, "mine");
        assert!(mine[0].file.ends_with("a.ron") && Path::new(&mine[0].file).is_absolute());
        assert!(mine[1].tank.as_ref().unwrap_err().contains("name"), "{:?}", mine[1].tank);
        let inside = library::demo_tanks().len() + library::start_tanks().len();
        assert!(all.len() >= mine.len() + inside);
        // Each of those inside is found again by what it is kept as.
        for choice in all.iter().rev().take(inside) {
            let again = library::tank_named(Path::new(&choice.file)).unwrap();
            assert_eq!(Ok(again.tank), choice.tank);
        }
        // One that lies among the files as well is listed once.
        let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data");
        let desk = Desk::new(vec![demo], Library::shipped(), None);
        let Some(Answer::Listed(all)) = desk.ask(Ask::List) else { panic!("no list") };
        let named = |c: &&Choice| c.tank.as_ref().is_ok_and(|tank| tank.name == "reading-room tank");
        assert_eq!(all.iter().filter(named).count(), 1);
    }

    #[test]
    fn saving_adds_the_ending_goes_nowhere_else_and_over_nothing() {
        let place = tempfile::tempdir().unwrap();
        let desk = Desk::new(vec![place.path().join("x.ron")], Library::shipped(), None);
        assert_eq!(desk.folder(), place.path(), "beside the builds");
        let save = |name: &str, text: &str| {
            let file = place.path().join(name).to_string_lossy().into_owned();
            match desk.ask(Ask::Save { file, text: text.to_owned(), over: None }) {
                Some(Answer::Saved(done)) => done,
                other => panic!("{other:?}"),
            }
        };
        let file = save("new", "one").unwrap();
        assert!(file.ends_with("new.ron"));
        assert_eq!(fs::read_to_string(&file).unwrap(), "one");
        assert!(save("new.ron", "two").unwrap_err().contains("already"));
        assert!(save("nowhere/new", "two").is_err());
        assert_eq!(fs::read_to_string(&file).unwrap(), "one");
        assert_eq!(fs::read_dir(place.path()).unwrap().count(), 1, "nothing else is left");
        // The one just saved is in use: the next goes beside it.
        assert_eq!(desk.folder(), Path::new(&file).parent().unwrap());
        desk.ask(Ask::Follow(None));
        assert_eq!(desk.folder(), place.path());
    }

    #[test]
    fn a_tilde_is_the_persons_own_folder() {
        let home = etcetera::home_dir().unwrap();
        assert_eq!(at_home("~/a.ron"), home.join("a.ron"));
        assert_eq!(at_home("b~/a.ron"), Path::new("b~/a.ron"));
    }
}
