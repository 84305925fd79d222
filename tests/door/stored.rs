//! Files and folders: read, kept within caps, written beside and saved.

mod store {

    use cansift::library::Library;

    use cansift::profile::store::caps::Caps;

    use cansift::profile::read_filter;
    use cansift::profile::store::*;

    use std::fs::{self};

    use std::path::Path;

    #[test]
    fn tanks_are_found_beside_builds_and_in_a_folder_of_their_own() {
        let folder = tempfile::tempdir().unwrap();
        fs::create_dir(folder.path().join("tanks")).unwrap();
        let tank = |name: &str| format!("Tank(format: 1, name: \"{name}\")");
        fs::write(folder.path().join("b.ron"), tank("beside")).unwrap();
        fs::write(folder.path().join("a.ron"), "Filter()").unwrap();
        fs::write(folder.path().join("tanks/c.ron"), tank("within")).unwrap();
        fs::write(folder.path().join("tanks/d.ron"), "Tank(format: 1, nam: \"x\")").unwrap();
        for path in [folder.path().to_owned(), folder.path().join("a.ron")] {
            let (tanks, broken) = load_tanks(&[path], Library::shipped());
            let names: Vec<&str> = tanks.iter().map(|t| t.tank.name.as_str()).collect();
            assert_eq!(names, ["beside", "within"]);
            assert_eq!(broken.len(), 1);
        }
    }

    #[test]
    fn what_has_no_room_is_left_out_and_said() {
        let folder = tempfile::tempdir().unwrap();
        let text = fs::read_to_string("demo-data/tamsin-1100.ron").unwrap();
        for i in 0..9 {
            fs::write(folder.path().join(format!("{i}.ron")), &text).unwrap();
        }
        fs::write(folder.path().join("3.ron"), "Filter(").unwrap();
        let load = |caps: Caps| {
            let loaded = load_within(&[folder.path().to_owned()], Library::shipped(), &caps);
            let ids: String = loaded.filters.iter().map(|sound| sound.filter.id.as_str()).collect();
            let told: Vec<String> = loaded.broken.iter().map(|b| b.problems[0].message.clone()).collect();
            (ids, told.into_iter().filter(|m| m.contains("left out")).collect::<Vec<_>>())
        };
        let size = text.len() as u64;
        assert_eq!(load(Caps::USUAL), ("01245678".to_owned(), Vec::new()));
        // Names come from the disk in any order; the first ones are taken.
        let (ids, told) = load(Caps { files: 2, ..Caps::USUAL });
        assert_eq!(ids, "01");
        assert_eq!(told, ["this folder holds more than 2 profiles: the rest is left out"]);
        assert!(load(Caps { files: 9, ..Caps::USUAL }).1.is_empty());
        // Two builds a file.
        let (ids, told) = load(Caps { builds: 9, ..Caps::USUAL });
        assert_eq!(ids, "0124");
        assert_eq!(told, ["9 builds are taken at once: this file and 3 more behind it are left out"]);
        let (ids, told) = load(Caps { text: size * 2 + size / 2, ..Caps::USUAL });
        assert_eq!((ids.as_str(), told.len()), ("01", 1));
        assert!(told[0].ends_with("this file and 6 more behind it are left out"), "{told:?}");
    }

    #[test]
    fn of_very_many_problems_the_first_of_each_file_stays() {
        let caps = Caps { problems: 5, ..Caps::USUAL };
        let wrong = "Filter(a: 1, b: 2, c: 3, d: 4)";
        let mut told = 0;
        let lengths = ["1", "2", "3"].map(|name| {
            let path = Path::new(name);
            let mut problems = read_filter(path, wrong, Library::shipped()).unwrap_err().problems;
            let all = problems.len();
            caps.shorten(&mut told, path, &mut problems);
            assert!(all > 5);
            (problems.len(), problems.last().unwrap().message.clone(), all)
        });
        assert_eq!(lengths[0].0, lengths[0].2);
        for (now, message, all) in &lengths[1..] {
            assert_eq!((*now, message), (2, &format!("there are {} more problems in this file", all - 1)));
        }
    }
}

mod caps {

    use cansift::profile::store::caps::*;

    use std::path::PathBuf;

    #[test]
    fn what_is_left_out_is_counted() {
        let paths: Vec<PathBuf> = (0..1235).map(|i| PathBuf::from(format!("{i}.ron"))).collect();
        let said = |n: usize| {
            Caps::USUAL.full_builds(paths.get(..n).unwrap_or_default()).map(|b| b.problems[0].message.clone())
        };
        assert_eq!(said(0), None);
        assert_eq!(said(1).unwrap(), "10,000 builds are taken at once: this file is left out");
        assert_eq!(
            said(1235).unwrap(),
            "10,000 builds are taken at once: this file and 1,234 more behind it are left out"
        );
    }
}

mod beside {

    use cansift::profile::store::beside::*;
    use std::fs::{self, File};

    use std::time::Duration;
    use std::time::SystemTime;

    #[test]
    fn what_was_given_up_is_cleared_away_and_nothing_else() {
        let folder = tempfile::tempdir().unwrap();
        let put = |name: &str, old: bool| {
            let path = folder.path().join(name);
            fs::write(&path, "half").unwrap();
            if old {
                let then = SystemTime::now() - GIVEN_UP - Duration::from_secs(1);
                File::options().append(true).open(&path).unwrap().set_modified(then).unwrap();
            }
        };
        let mut stay = vec![
            "17-0.cansift-new",
            ".17-0.new",
            ".17.cansift-new",
            ".17-.cansift-new",
            ".1a-0.cansift-new",
            ".-0.cansift-new",
            ".x.17-0.cansift-new",
            ".17-0.cansift-new.ron",
            "y.ron",
        ];
        for name in &stay {
            put(name, true);
        }
        for name in [".17-0.cansift-new", ".4000000000-99.cansift-new"] {
            put(name, true);
        }
        let half = folder.path().join(".20-0.cansift-new");
        fs::create_dir(&half).unwrap();
        fs::write(half.join("report.html"), "half").unwrap();
        let then = SystemTime::now() - GIVEN_UP - Duration::from_secs(1);
        File::open(&half).unwrap().set_modified(then).unwrap();
        // Somebody may be at it just now.
        put(".17-1.cansift-new", false);
        fs::create_dir(folder.path().join(".18-0.cansift-new")).unwrap();
        stay.extend([".17-1.cansift-new", ".18-0.cansift-new"]);
        #[cfg(unix)]
        {
            std::os::unix::fs::symlink("y.ron", folder.path().join(".19-0.cansift-new")).unwrap();
            stay.push(".19-0.cansift-new");
        }
        drop(written(folder.path(), b"text", None, &|_| Ok(())).unwrap());
        let mut left: Vec<String> = fs::read_dir(folder.path())
            .unwrap()
            .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        left.sort();
        stay.sort_unstable();
        assert_eq!(left, stay);
    }

    #[test]
    fn a_name_that_is_taken_is_passed_over() {
        let folder = tempfile::tempdir().unwrap();
        let [first, second] = [(); 2].map(|()| written(folder.path(), b"x", None, &|_| Ok(())).unwrap());
        assert_ne!(first.path(), second.path());
        assert!(is_ours(&first.path().file_name().unwrap().to_string_lossy()));
    }
}

mod save {

    use cansift::profile::store::beside::Step;

    use cansift::profile::store::save::*;
    use std::fs;
    use std::io;
    use std::path::Path;

    #[test]
    fn a_step_that_fails_leaves_nothing_behind() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("new.ron");
        for step in [Step::Create, Step::Write, Step::Sync, Step::Publish] {
            let fail = |at: Step| if at == step { Err(io::Error::other("no room")) } else { Ok(()) };
            assert!(matches!(save_stepwise(&path, "abc", &fail), Err(NotSaved::Refused { .. })), "{step:?}");
            assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0, "{step:?}");
        }
        let fail = |at: Step| if at == Step::SyncFolder { Err(io::Error::other("no")) } else { Ok(()) };
        assert!(save_stepwise(&path, "abc", &fail).is_err());
        assert_eq!(fs::read_to_string(&path).unwrap(), "abc", "whole, though not yet surely on disk");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn saving_never_replaces_anything() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("é.ron");
        save_new(&path, "Filter(é)").unwrap();
        assert!(matches!(save_new(&path, "other"), Err(NotSaved::Exists(_))));
        // Another program is faster, between the look and the name.
        let late = folder.path().join("late.ron");
        let race = |step: Step| if step == Step::Publish { fs::write(&late, "theirs") } else { Ok(()) };
        assert!(matches!(save_stepwise(&late, "ours", &race), Err(NotSaved::Exists(_))));
        assert_eq!(fs::read_to_string(&late).unwrap(), "theirs");
        assert_eq!(fs::read_to_string(&path).unwrap(), "Filter(é)");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2);
        assert!(matches!(save_new(Path::new("/"), ""), Err(NotSaved::NoName(_) | NotSaved::Exists(_))));
        assert!(save_new(&folder.path().join("none/x.ron"), "").is_err());
    }

    #[test]
    fn a_folder_gets_all_files_or_none() {
        let place = tempfile::tempdir().unwrap();
        let folder = place.path().join("new/report");
        save_folder(&folder, &[("a", "1"), ("b", "2")]).unwrap();
        assert_eq!(fs::read_to_string(folder.join("b")).unwrap(), "2");
        assert!(matches!(save_folder(&folder, &[("c", "3"), ("b", "4")]), Err(NotSaved::Exists(_))));
        assert!(!folder.join("c").exists());
        assert_eq!(fs::read_to_string(folder.join("b")).unwrap(), "2");
        let fails = save_folder(&folder, &[("d", "5"), ("none/e", "6")]);
        assert!(fails.is_err() && !folder.join("d").exists(), "what came before is taken back");
        fs::write(place.path().join("file"), "").unwrap();
        assert!(matches!(
            save_folder(&place.path().join("file"), &[("a", "1")]),
            Err(NotSaved::Refused { .. })
        ));
    }
}
