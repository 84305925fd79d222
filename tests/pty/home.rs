//! A home of its own for a session: some of the demo's profiles in `filters`, a tank, and no settings of anybody.

use std::fs;
use std::path::{Path, PathBuf};

use portable_pty::CommandBuilder;
use tempfile::TempDir;

use super::session::Session;

/// Where the demo's files stand.
pub const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/demo-data");

pub struct Home(TempDir);

impl Home {
    /// With these profiles and the reading room's tank.
    pub fn with(profiles: &[&str]) -> Self {
        let home = Self(tempfile::tempdir().unwrap());
        fs::create_dir_all(home.path("filters")).unwrap();
        for profile in profiles {
            fs::copy(Path::new(DEMO).join(profile), home.path("filters").join(profile)).unwrap();
        }
        fs::copy(Path::new(DEMO).join("tanks/reading-room.ron"), home.path("tank.ron")).unwrap();
        home
    }
    /// With two profiles of four builds.
    pub fn new() -> Self {
        Self::with(&["tamsin-1100.ron", "orrin-900.ron"])
    }
    pub fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }
    /// The file that keeps what was set up.
    pub fn state(&self) -> PathBuf {
        self.path("home/.local/state/cansift/state.ron")
    }
    /// A file with one text put for another, saved in one step as careful editors do.
    pub fn change(&self, name: &str, from: &str, to: &str) {
        let text = fs::read_to_string(self.path(name)).unwrap();
        assert!(text.contains(from));
        fs::write(self.path("changed"), text.replacen(from, to, 1)).unwrap();
        fs::rename(self.path("changed"), self.path(name)).unwrap();
    }
    /// The program, in this folder.
    pub fn command(&self, arguments: &[&str]) -> CommandBuilder {
        let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_cansift"));
        command.args(arguments);
        command.cwd(self.0.path());
        for (name, _) in std::env::vars().filter(|(name, _)| name.starts_with("XDG_") || name == "NO_COLOR") {
            command.env_remove(name);
        }
        command.env("HOME", self.path("home"));
        command
    }
    pub fn start(&self, arguments: &[&str]) -> Session {
        Session::start(self.command(arguments))
    }
}
