//! The screen's work in the background: figures and the search. A newer question stops the one that is being worked
//! on.

use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::Sender;

use super::asks::{Answer, Ask, Judge, Propose, Save};
use crate::app::Message;
use crate::app::jobs::hooks::Hooks;
use crate::app::jobs::queue::{Kind, Queue};
use crate::parallel::caught;
use crate::profile::store::content;
use crate::propose::{Proposal, shopping};

/// Looks for stacks; it looks at the flag that says stop, and tells how it goes.
pub type Search = Arc<dyn Fn(&Propose, &AtomicBool, &mut dyn FnMut(News)) -> Vec<Proposal> + Send + Sync>;

#[derive(Debug)]
pub enum News {
    /// How far it is, 0 to 1.
    Share(f64),
    Best(Vec<Proposal>),
}

/// Writes a new file, or over one whose content comes to that, and has it listed from then on; why not, in words.
pub type Write = Arc<dyn Fn(&Path, &str, Option<u64>) -> Result<(), String> + Send + Sync>;

/// What the screen needs of the rest of the program.
#[derive(Clone)]
pub struct RestackHooks {
    pub search: Search,
    pub write: Write,
}

/// Least progress worth telling.
const LEAST: f64 = 0.01;

pub fn ask(question: Ask, hooks: &Hooks, queue: &Queue, out: &Sender<Message>) {
    let kind = match &question {
        Ask::Judge(_) => Kind::Figures,
        Ask::Propose(_) => Kind::Search,
        Ask::Save(_) => Kind::Files,
        Ask::Stop => return queue.stop(Kind::Search),
    };
    let (hooks, out) = (hooks.clone(), out.clone());
    queue.once(kind, move |stop| told(&out, |tell| answer(&question, &hooks, stop, tell)));
}

/// Answers a question where it is asked, without a thread of its own.
pub fn answer(question: &Ask, hooks: &Hooks, stop: &AtomicBool, tell: &mut dyn FnMut(Answer)) {
    match question {
        Ask::Judge(question) => figures(question, hooks, stop, tell),
        Ask::Propose(question) => look(question, hooks, stop, tell),
        Ask::Save(save) => write(save, hooks, tell),
        Ask::Stop => stop.store(true, Ordering::Release),
    }
}

/// Runs work that tells things; a panic is told as well. Nobody listens any more only when the program ends.
fn told(out: &Sender<Message>, work: impl FnOnce(&mut dyn FnMut(Answer))) {
    let mut tell = |answer| drop(out.send(Message::Restack(answer)));
    if let Err(why) = caught(|| work(&mut tell)) {
        tell(Answer::Failed { why });
    }
}

/// Figures at nominal values first, then the doubt.
fn figures(ask: &Judge, hooks: &Hooks, stop: &AtomicBool, tell: &mut dyn FnMut(Answer)) {
    let tank = ask.tank.as_deref();
    let number = ask.number;
    let now = Arc::new((hooks.judge)(&ask.now, 0, tank));
    let (nominal, doubt) = ask.before_wanted;
    let before = nominal.then(|| Arc::new((hooks.judge)(&ask.before, 0, tank)));
    let shopping = match (ask.before.builds.first(), ask.now.builds.first(), tank) {
        (Some(old), Some(new), Some(tank)) => Some(Arc::new(shopping::of(&ask.now, old, new, tank))),
        _ => None,
    };
    tell(Answer::Judged { number, before, now, shopping });
    let Some(simulate) = &hooks.doubt else { return };
    let of = |filter| simulate(filter, 0, tank, stop).map(Arc::new);
    let Some(now) = of(&ask.now) else { return };
    let before = if doubt { of(&ask.before) } else { None };
    if doubt && before.is_none() {
        return;
    }
    tell(Answer::Doubted { number, before, now });
}

fn look(ask: &Propose, hooks: &Hooks, stop: &AtomicBool, tell: &mut dyn FnMut(Answer)) {
    let number = ask.number;
    let mut last = 0.0;
    let found = (hooks.restack.search)(ask, stop, &mut |news| match news {
        News::Share(share) if share >= last + LEAST => {
            last = share;
            tell(Answer::Searched { number, share });
        }
        News::Share(_) => {}
        News::Best(found) => tell(Answer::Proposed { number, found, ended: false }),
    });
    if !stop.load(Ordering::Acquire) {
        tell(Answer::Proposed { number, found, ended: true });
    }
}

fn write(save: &Save, hooks: &Hooks, tell: &mut dyn FnMut(Answer)) {
    let done = (hooks.restack.write)(&save.path, &save.text, save.over);
    let done = done.map(|()| Box::new(save.piece.clone()));
    tell(Answer::Saved { path: save.path.clone(), content: content(&save.text), done });
}
