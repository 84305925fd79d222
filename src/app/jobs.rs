//! Work in the background: files are read and builds judged on threads of their own, and what comes out
//! returns as messages. A newer question drops an older one; a thread that panics is told, not fatal.

pub mod hooks;
pub mod queue;
mod round;

use std::collections::{BTreeSet, VecDeque};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use super::screens::restack::background;
use super::{Effect, Entry, Message, State, tank_form};
use crate::assess::explain::explain;
use crate::assumptions::A;
use crate::measures::Measure;
use crate::model::{Filter, Tank};
use crate::parallel::{caught, lock};
use crate::profile::store;
pub use hooks::{Doubt, Hooks};
use queue::{Kind, Queue, Work};
use round::{Done, Round};

const MOST_THREADS: usize = 64;
/// How long one who asks for results works on them where no thread is to be had.
const TURN: Duration = Duration::from_millis(20);
/// Most builds looked through for which constants their measures use.
const MOST_USES: usize = 100;

pub struct Jobs {
    hooks: Hooks,
    queue: Queue,
    /// What the Tank screen asked, in its order.
    asked: Arc<Mutex<VecDeque<tank_form::Ask>>>,
    out: Sender<Message>,
    inbox: Receiver<Message>,
}

impl Jobs {
    pub fn new(hooks: Hooks, threads: usize) -> Self {
        let (out, inbox) = channel();
        Self { hooks, queue: Queue::new(threads.clamp(1, MOST_THREADS)), asked: Arc::default(), out, inbox }
    }

    /// A way for others (a watcher of files, say) to send messages in.
    pub fn sender(&self) -> Sender<Message> {
        self.out.clone()
    }

    /// What came out since the last time, without waiting. Judged builds of one round come as one message. Where
    /// no thread is to be had some of the work is done here.
    pub fn drain(&self) -> Vec<Message> {
        let begun = Instant::now();
        while self.queue.turn() && begun.elapsed() < TURN {}
        let mut out: Vec<Message> = Vec::new();
        for message in self.inbox.try_iter() {
            match (out.last_mut(), message) {
                (Some(Message::Judged { round: a, done: all }), Message::Judged { round: b, done })
                    if *a == b =>
                {
                    all.extend(done);
                }
                (_, other) => out.push(other),
            }
        }
        out
    }

    /// Does what of the effects is work in the background; what concerns the terminal is its holder's.
    pub fn obey(&self, state: &State, effect: Effect) {
        let hooks = self.hooks.clone();
        let (round, units, tank) = (state.round, state.units, state.tank.clone());
        let judged_of = |e: &Entry| (Arc::clone(&e.filter), e.build);
        let entry = |i: usize| state.entries.get(i).map(judged_of);
        match effect {
            Effect::Load => self.load(),
            Effect::Judge => {
                (hooks.logs)(state.logs(), state.log_moves);
                self.judge(round, state.to_judge(), tank);
            }
            Effect::Why(pair) => {
                let Some(((a, first), (b, other))) = entry(pair.first).zip(entry(pair.other)) else { return };
                let work = move || (hooks.why)((&a, first), (&b, other), pair.measure, tank.as_deref());
                self.ask(Kind::Why, work, move |said| Message::Whied {
                    pair,
                    round,
                    because: said.and_then(|because| because),
                });
            }
            Effect::Form(ask) => self.form(ask),
            Effect::Uses => {
                let builds = state.entries.iter().take(MOST_USES);
                let builds = builds.map(|e| (Arc::clone(&e.filter), e.build)).collect();
                self.uses(round, builds, tank);
            }
            Effect::Restack(ask) => background::ask(ask, &self.hooks, &self.queue, &self.out),
            Effect::Report(ask) => self.ask(
                Kind::Report,
                move || (hooks.report)(&ask),
                |said| {
                    Message::Tell(
                        said.unwrap_or_else(|why| format!("the report could not be written: {why}")),
                    )
                },
            ),
            Effect::Reply(ask) => {
                let number = ask.number;
                self.ask(
                    Kind::Explain,
                    move || (hooks.reply)(&ask),
                    move |text| {
                        let text = text.unwrap_or_else(|why| format!("it could not be written: {why}"));
                        Message::Replied { number, text }
                    },
                );
            }
            Effect::SaveText { path, text } => self.once(Kind::Files, move |out, _| {
                let said = match store::save_new(&path, &text) {
                    Ok(()) => format!("written: {}", path.display()),
                    Err(why) => why.to_string(),
                };
                let _ = out.send(Message::Tell(said));
            }),
            Effect::SaveProfile { path, text, over } => self.once(Kind::Files, move |out, _| {
                let done = (hooks.restack.write)(&path, &text, over);
                let content = store::content(&text);
                let _ = out.send(Message::Saved { path, content, done });
            }),
            Effect::Next { entry } => {
                let judged = state.entries.get(entry);
                let judged = judged.and_then(|e| Some((Arc::clone(&e.filter), e.judged.clone()?)));
                let Some((filter, judged)) = judged else { return };
                self.ask(
                    Kind::Explain,
                    move || (hooks.next)(&filter, &judged, units),
                    move |lines| Message::Next { round, entry, lines: lines.unwrap_or_default() },
                );
            }
            Effect::Rank(ask) => {
                let number = ask.number;
                self.ask(
                    Kind::Rank,
                    move || (hooks.rank)(&ask),
                    move |stood| match stood {
                        Ok(stood) => Message::Ranked { number, stood: Box::new(stood) },
                        Err(why) => Message::Tell(format!("the builds could not be ranked: {why}")),
                    },
                );
            }
            Effect::Explain { number, of, measure } => {
                let Some((filter, build)) = state.explained(of).map(judged_of) else { return };
                self.once(Kind::Explain, move |out, _| {
                    let lines = hooks.explained(&filter, build, measure, tank.as_deref(), units);
                    let _ = out.send(Message::Explained { number, lines });
                });
            }
            Effect::Quit
            | Effect::Suspend
            | Effect::Edit { .. }
            | Effect::Redraw
            | Effect::CopyPane
            | Effect::CopyHere
            | Effect::CopyText(_)
            | Effect::Mouse(_) => {}
        }
    }

    fn once(&self, kind: Kind, work: impl FnOnce(&Sender<Message>, &AtomicBool) + Send + 'static) {
        // Nobody listens any more only when the program ends: what is sent in vain may be lost.
        let out = self.out.clone();
        self.queue.once(kind, move |stop| work(&out, stop));
    }

    /// Works something out once, in its turn, and tells what came of it, or the words of its panic.
    fn ask<T>(
        &self,
        kind: Kind,
        work: impl FnOnce() -> T + Send + 'static,
        told: impl FnOnce(Result<T, String>) -> Message + Send + 'static,
    ) {
        self.once(kind, move |out, _| {
            let _ = out.send(told(caught(work)));
        });
    }

    pub fn load(&self) {
        let load = Arc::clone(&self.hooks.load);
        self.once(Kind::Load, move |out, stop| {
            let message = caught(|| load()).map_or_else(Message::NotLoaded, Message::Loaded);
            // Asked again meanwhile: what was read may be old.
            if !stop.load(Ordering::Acquire) {
                let _ = out.send(message);
            }
        });
    }

    /// Judges builds; each carries its place among the entries. Nominal figures of all come first, then advice
    /// and doubt. Drops what an older round has not done yet.
    fn judge(&self, round: u64, builds: Vec<(usize, Arc<Filter>, usize)>, tank: Option<Arc<Tank>>) {
        let shares = self.queue.judges().min(builds.len());
        let (hooks, out) = (self.hooks.clone(), self.out.clone());
        let round = Arc::new(Round { number: round, hooks, out, tank, builds, done: Done::default() });
        let share = |_| {
            let round = Arc::clone(&round);
            Box::new(move |stop: &AtomicBool| round.step(stop)) as Work
        };
        self.queue.put(Kind::Judge, (0..shares).map(share));
    }

    pub fn cancel(&self) {
        self.queue.stop(Kind::Judge);
        self.queue.stop(Kind::Search);
    }

    /// Does what the Tank screen asks. One after the other, so that the last file named is the one followed.
    fn form(&self, ask: tank_form::Ask) {
        let follow = |ask: &tank_form::Ask| matches!(ask, tank_form::Ask::Follow(_));
        let mut line = lock(&self.asked);
        if let Some(last) = line.back_mut().filter(|last| follow(last) && follow(&ask)) {
            // Its turn has not come: it is not worth a look any more.
            *last = ask;
            return;
        }
        line.push_back(ask);
        drop(line);
        let (form, asked) = (Arc::clone(&self.hooks.form), Arc::clone(&self.asked));
        self.once(Kind::Files, move |out, _| {
            let Some(ask) = lock(&asked).pop_front() else { return };
            // Only saving is waited for.
            let saves = matches!(ask, tank_form::Ask::Save { .. });
            let answer = caught(|| form(ask))
                .unwrap_or_else(|why| saves.then_some(tank_form::Answer::Saved(Err(why))));
            if let Some(answer) = answer {
                let _ = out.send(Message::Form(answer));
            }
        });
    }

    pub fn uses(&self, round: u64, builds: Vec<(Arc<Filter>, usize)>, tank: Option<Arc<Tank>>) {
        self.once(Kind::Uses, move |out, stop| {
            let mut uses: BTreeSet<(A, usize)> = BTreeSet::new();
            for (filter, build) in &builds {
                if stop.load(Ordering::Acquire) {
                    return;
                }
                for (i, measure) in Measure::ALL.into_iter().enumerate() {
                    let told = caught(|| explain(filter, *build, tank.as_deref(), measure));
                    uses.extend(told.into_iter().flat_map(|t| t.constants).map(|constant| (constant, i)));
                }
            }
            let uses = uses.into_iter().filter_map(|(a, i)| Some((a, *Measure::ALL.get(i)?))).collect();
            let _ = out.send(Message::Uses { round, uses });
        });
    }
}
