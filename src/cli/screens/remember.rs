//! What the screens keep for next time: where it lies, how it is written down, and what is said when it is not
//! as it should be.

use std::path::{Path, PathBuf};

use crate::app::settings::Settings;
use crate::profile::state_file::{self, Unread};

/// What was kept last time, and where it goes.
#[derive(Debug, Default)]
pub struct Memory {
    place: Option<PathBuf>,
    /// What was kept; none the first time.
    pub kept: Option<Settings>,
    /// Something to tell.
    pub told: Option<String>,
}

impl Memory {
    /// Looks in the user's state folder. Without a home there is none, and nothing is kept.
    pub fn of_user() -> Self {
        use etcetera::BaseStrategy;
        let Ok(folders) = etcetera::choose_base_strategy() else { return Self::default() };
        let folder = folders.state_dir().unwrap_or_else(|| folders.data_dir());
        Self::at(&folder.join("cansift").join("state.ron"))
    }

    /// Reads what lies there.
    pub fn at(place: &Path) -> Self {
        let text = match state_file::read(place) {
            Ok(Some(text)) => text,
            Ok(None) => return Self { place: Some(place.to_owned()), ..Self::default() },
            Err(Unread::Damaged) => return Self::damaged(place),
            Err(Unread::Refused(why)) => {
                let said = format!("what was kept last time cannot be read, so nothing is kept now: {why}");
                return Self { told: Some(said), ..Self::default() };
            }
        };
        match ron::from_str(&text) {
            Ok(kept) => Self { place: Some(place.to_owned()), kept: Some(kept), told: None },
            Err(_) => Self::damaged(place),
        }
    }

    fn damaged(place: &Path) -> Self {
        match state_file::set_aside(place) {
            Ok(aside) => Self {
                place: Some(place.to_owned()),
                kept: None,
                told: Some(format!("what was kept last time is damaged; it lies in {} now", aside.display())),
            },
            Err(why) => {
                let said = format!("what was kept last time is damaged and cannot be moved: {why}");
                Self { told: Some(said), ..Self::default() }
            }
        }
    }

    /// Keeps this for next time, where it is another than what is kept. The error is for people.
    pub fn keep(&mut self, kept: &Settings) -> Result<(), String> {
        let Some(place) = self.place.as_ref().filter(|_| self.kept.as_ref() != Some(kept)) else {
            return Ok(());
        };
        let text = ron::ser::to_string_pretty(kept, ron::ser::PrettyConfig::default())
            .map_err(|error| error.to_string())?;
        state_file::write(place, &text)?;
        self.kept = Some(kept.clone());
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
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
