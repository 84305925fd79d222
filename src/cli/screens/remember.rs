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
