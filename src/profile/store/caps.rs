//! How much is taken in one go, so that no folder, however full, takes the machine's memory.

use std::path::{Path, PathBuf};

use crate::profile::message::whole_file;
use crate::profile::{Broken, Problem};

/// Largest file read, bytes.
pub const MAX_BYTES: u64 = 1 << 20;

/// Caps for all that is asked for at once; each file has its own besides.
#[derive(Clone, Copy, Debug)]
pub struct Caps {
    pub files: usize,
    /// Text of all files, bytes: the demo's profiles take 3 KB each.
    pub text: u64,
    pub builds: usize,
    /// Problems of all files that are told in full.
    pub problems: usize,
}

impl Caps {
    /// Room for 10,000 files and 10,000 builds.
    pub const USUAL: Self = Self { files: 10_000, text: 64 << 20, builds: 10_000, problems: 20_000 };

    /// Says that a folder holds more than is taken from it.
    pub(super) fn full_folder(&self, folder: &Path) -> Broken {
        let message =
            format!("this folder holds more than {} profiles: the rest is left out", thousands(self.files));
        let problems = vec![whole_file(folder, &message, Some("split it into folders"))];
        Broken { path: folder.to_owned(), problems }
    }

    /// Says that the files before these take all the room for text.
    pub(super) fn full_text(&self, left_out: &[PathBuf]) -> Option<Broken> {
        rest(left_out, &format!("{} MiB of profiles are taken at once", self.text >> 20))
    }

    /// Says that the files before these hold as many builds as are taken.
    pub fn full_builds(&self, left_out: &[PathBuf]) -> Option<Broken> {
        rest(left_out, &format!("{} builds are taken at once", thousands(self.builds)))
    }

    /// Once so many problems have been `told` of other files, only the first of this one is kept, and the number of
    /// the others is said.
    pub fn shorten(&self, told: &mut usize, path: &Path, problems: &mut Vec<Problem>) {
        if *told > self.problems && problems.len() > 1 {
            let message = format!("there are {} more problems in this file", problems.len() - 1);
            let help = "too many files are broken to list all: check this one by itself";
            problems.truncate(1);
            problems.push(whole_file(path, &message, Some(help)));
        }
        *told += problems.len();
    }
}

/// One line for all files left out, at the first of them.
fn rest(left_out: &[PathBuf], because: &str) -> Option<Broken> {
    let first = left_out.first()?;
    let which = match left_out.len() {
        1 => "this file is left out".to_owned(),
        n => format!("this file and {} more behind it are left out", thousands(n - 1)),
    };
    let problems = vec![whole_file(first, &format!("{because}: {which}"), Some("show fewer files at once"))];
    Some(Broken { path: first.clone(), problems })
}

fn thousands(n: usize) -> String {
    if n < 1000 { n.to_string() } else { format!("{},{:03}", n / 1000, n % 1000) }
}
