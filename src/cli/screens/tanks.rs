//! What the Tank screen asks of files: tanks to start from, saving one in a new file, and looking whether the file
//! in use changes.

use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::mpsc::Sender;

use super::super::context::own_folder;
use crate::app::Message;
use crate::app::tank_form::{Answer, Ask, Choice};
use crate::library::{self, Library, OwnMedia};
use crate::parallel::lock;
use crate::profile::watch::{self, Watch};
use crate::profile::{Broken, SoundTank, store};

/// Where tanks are looked for, and which file is followed.
pub struct Desk {
    paths: Vec<PathBuf>,
    library: &'static Library,
    own: OwnMedia,
    followed: Mutex<Followed>,
}

#[derive(Default)]
struct Followed {
    file: Option<PathBuf>,
    /// Who is told of changes; none: nobody looks.
    sender: Option<Sender<Message>>,
    watch: Option<Watch>,
}

impl Desk {
    /// For builds under those paths, with that tank's file in use. Nobody looks for changes yet.
    pub fn new(paths: Vec<PathBuf>, library: &'static Library, file: Option<PathBuf>) -> Self {
        let followed = Followed { file: file.filter(|path| path.is_file()), ..Followed::default() };
        Self { paths, library, own: OwnMedia::default(), followed: Mutex::new(followed) }
    }

    /// A tank may name these media too.
    #[must_use]
    pub fn knowing(self, own: OwnMedia) -> Self {
        Self { own, ..self }
    }

    /// From now on tells of changes of the file in use.
    pub fn look(&self, sender: Sender<Message>) {
        let mut followed = lock(&self.followed);
        followed.sender = Some(sender);
        let file = followed.file.take();
        self.follow(&mut followed, file);
    }

    pub fn ask(&self, ask: Ask) -> Option<Answer> {
        match ask {
            Ask::List => Some(Answer::Listed(self.list())),
            Ask::Save { file, text, over } => Some(Answer::Saved(self.save(&file, &text, over))),
            Ask::Follow(file) => {
                self.follow(&mut lock(&self.followed), file.map(PathBuf::from).filter(|path| path.is_file()));
                None
            }
        }
    }

    /// Where a new file goes unless another place is named: beside the tank in use, or the builds.
    pub fn folder(&self) -> PathBuf {
        let beside = |path: &PathBuf| {
            if path.is_dir() { Some(path.clone()) } else { path.parent().map(Path::to_owned) }
        };
        let of_tank = lock(&self.followed).file.as_ref().and_then(beside);
        of_tank.or_else(|| self.paths.first().and_then(beside)).or_else(own_folder).unwrap_or_default()
    }

    fn follow(&self, followed: &mut Followed, file: Option<PathBuf>) {
        followed.watch = None;
        if let (Some(path), Some(sender)) = (&file, &followed.sender) {
            followed.watch = watch_tank(path.clone(), (self.library, self.own.clone()), sender.clone());
        }
        followed.file = file;
    }

    /// The tank in use, those beside it and beside the builds, the user's own, the demo's, and those that ship.
    fn list(&self) -> Vec<Choice> {
        let mut places: Vec<PathBuf> = lock(&self.followed).file.iter().cloned().collect();
        places.extend(self.paths.iter().cloned());
        places.extend(own_folder());
        let (tanks, broken) = store::load_tanks(&places, &self.own.with(self.library));
        let name = |path: &Path| {
            path.canonicalize().unwrap_or_else(|_| path.to_owned()).to_string_lossy().into_owned()
        };
        let sound = tanks.into_iter().map(|SoundTank { path, tank, .. }| Choice {
            from: path.to_string_lossy().into_owned(),
            file: name(&path),
            tank: Ok(tank),
        });
        let bad = broken.into_iter().map(|Broken { path, problems }| Choice {
            from: path.to_string_lossy().into_owned(),
            file: name(&path),
            tank: Err(problems
                .first()
                .map(|p| format!("line {}: {}", p.line, p.message))
                .unwrap_or_default()),
        });
        let mut out: Vec<Choice> = sound.chain(bad).collect();
        for (from, tanks) in
            [("the demo's", library::demo_tanks()), ("ships with the program", library::start_tanks())]
        {
            // One that lies among the files as well stands there.
            let found: Vec<_> = out.iter().filter_map(|c| c.tank.clone().ok()).collect();
            let others = tanks.into_iter().filter(|of| !found.contains(&of.tank));
            out.extend(others.map(|SoundTank { path, tank, .. }| Choice {
                from: from.to_owned(),
                file: path.file_name().unwrap_or_default().to_string_lossy().into_owned(),
                tank: Ok(tank),
            }));
        }
        out
    }

    /// Saves in a new file, or over one whose content comes to that, which is the one in use from then on; its whole name comes back.
    fn save(&self, file: &str, text: &str, over: Option<u64>) -> Result<String, String> {
        let mut path = at_home(file);
        if path.extension().is_none() {
            path.set_extension("ron");
        }
        store::save_either(&path, text, over).map_err(|why| why.to_string())?;
        let path = path.canonicalize().unwrap_or(path);
        self.follow(&mut lock(&self.followed), Some(path.clone()));
        Ok(path.to_string_lossy().into_owned())
    }
}

/// A path as a shell would read it: `~/` is the person's own folder.
pub fn at_home(file: &str) -> PathBuf {
    let home = |rest: &str| Some(etcetera::home_dir().ok()?.join(rest));
    file.strip_prefix("~/").and_then(home).unwrap_or_else(|| PathBuf::from(file))
}

/// Has a tank that changes on disk read again, with a second look at one that is half written.
fn watch_tank(
    path: PathBuf,
    (library, own): (&'static Library, OwnMedia),
    sender: Sender<Message>,
) -> Option<Watch> {
    let (told, of) = (sender.clone(), [path.clone()]);
    let again = move || {
        let read = || store::load_tank(&path, &own.with(library));
        let tank = read().or_else(|_half| {
            std::thread::sleep(watch::AGAIN);
            read()
        });
        let message = match tank {
            Ok(tank) => Message::Tank(tank.tank),
            Err(broken) => {
                let why = broken.problems.first().map_or("", |p| p.message.as_str());
                Message::Tell(format!("the tank's file is broken now, the tank as it was stays: {why}"))
            }
        };
        // Nobody listens any more only when the program ends.
        let _ = sender.send(message);
    };
    seen(Watch::start(&of, again), &told)
}

/// A watch that was started; where that cannot be, that is told.
pub(super) fn seen(started: Result<Watch, String>, told: &Sender<Message>) -> Option<Watch> {
    started
        .map_err(|why| {
            let said = format!("changes on disk are not seen by themselves, r reads again: {why}");
            // The screens are open or about to open: somebody listens.
            let _ = told.send(Message::Tell(said));
        })
        .ok()
}
