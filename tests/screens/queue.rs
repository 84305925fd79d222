//! The queue of background work.

use cansift::app::effect::{Effect, Message};
use cansift::app::jobs::Jobs;
use cansift::app::jobs::queue::*;
use cansift::app::state::State;
use cansift::app::update::update;
use cansift::assess::monte_carlo::Simulated;
use std::collections::BTreeSet;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Condvar, Mutex};
use std::time::{Duration, Instant};

use crate::program::hooks;

const LONG: Duration = Duration::from_secs(10);

/// Work that tells when it begins, and ends when it is told to or when it may.
fn held(name: usize, tell: &Sender<(usize, bool)>, may: Receiver<()>) -> Work {
    let tell = tell.clone();
    Box::new(move |stop| {
        tell.send((name, false)).unwrap();
        while !stop.load(Ordering::Acquire) && may.recv_timeout(Duration::from_millis(2)).is_err() {}
        tell.send((name, stop.load(Ordering::Acquire))).unwrap();
        false
    })
}

#[test]
fn of_a_kind_the_newest_wins_and_one_runs_at_a_time() {
    let queue = Queue::new(4);
    let (tell, told) = channel();
    let mut gates = Vec::new();
    for name in 0..1000 {
        let (open, may) = channel();
        gates.push(open);
        queue.put(Kind::Rank, [held(name, &tell, may)]);
        if name == 0 {
            assert_eq!(told.recv_timeout(LONG), Ok((0, false)));
        }
    }
    // The first was stopped; of the others some began and were stopped, never two at once; the last stays.
    let mut running = Some(0);
    loop {
        let (name, stopped) = told.recv_timeout(LONG).unwrap();
        match running.take() {
            Some(was) => assert_eq!((was, true), (name, stopped)),
            None => running = Some(name),
        }
        if name == 999 {
            break;
        }
    }
    gates.pop().unwrap().send(()).unwrap();
    assert_eq!(told.recv_timeout(LONG), Ok((999, false)));
}

#[test]
fn what_writes_files_is_done_one_after_the_other_and_all_of_it() {
    let queue = Queue::new(8);
    let (tell, told) = channel();
    for number in 0..500 {
        let tell = tell.clone();
        queue.once(Kind::Files, move |_| {
            tell.send(number).unwrap();
            assert!(number % 7 != 0, "one that falls over takes no thread along");
        });
    }
    let order: Vec<i32> = (0..500).map(|_| told.recv_timeout(LONG).unwrap()).collect();
    assert!(order.is_sorted());
}

#[test]
fn a_question_does_not_wait_for_long_work() {
    let queue = Queue::new(1);
    let (tell, told) = channel();
    let mut gates = Vec::new();
    for kind in [Kind::Judge, Kind::Search] {
        let (open, may) = channel();
        gates.push(open);
        queue.put(kind, [held(kind as usize, &tell, may)]);
        told.recv_timeout(LONG).unwrap();
    }
    let (answer, answered) = channel();
    queue.once(Kind::Explain, move |_| answer.send(()).unwrap());
    answered.recv_timeout(LONG).unwrap();
}

#[test]
fn many_share_what_is_judged_and_come_back_for_more() {
    let queue = Queue::new(3);
    let (tell, told) = channel();
    let work = (0..3).map(|_| {
        let (tell, mut left) = (tell.clone(), 100);
        Box::new(move |_: &AtomicBool| {
            left -= 1;
            tell.send(()).unwrap();
            left > 0
        }) as Work
    });
    queue.put(Kind::Judge, work);
    for _ in 0..300 {
        told.recv_timeout(LONG).unwrap();
    }
    assert!(told.recv_timeout(Duration::from_millis(50)).is_err());
}

/// Of two threads that judge, one is held at its first figures till the other has advised on the same build: what came
/// late must not stand in the place of what says more, as a report would then lack the advice.
#[test]
fn figures_that_come_late_do_not_take_advice_away() {
    let path = format!("{}/demo-data/tamsin-1100.ron", env!("CARGO_MANIFEST_DIR"));
    let mut hooks = hooks(vec![path.into()], 4);
    // Who advised, and how often the second build was judged.
    let seen = Arc::new((Mutex::new((BTreeSet::new(), 0)), Condvar::new()));
    let (judge, seeing) = (hooks.judge.clone(), Arc::clone(&seen));
    hooks.judge = Arc::new(move |filter, build, tank| {
        let (advised, news) = &*seeing;
        let mut known = advised.lock().unwrap();
        known.1 += usize::from(build == 1);
        if known.1 == 1 && build == 1 {
            drop(news.wait_timeout_while(known, LONG, |(advised, _)| !advised.contains(&1)).unwrap());
        } else {
            drop(known);
        }
        judge(filter, build, tank)
    });
    hooks.advise = Arc::new(move |_, build, _, judged| {
        judged.build = "advised".to_owned();
        seen.0.lock().unwrap().0.insert(build);
        seen.1.notify_all();
    });
    let jobs = Jobs::new(hooks, 2);
    let mut state = State::new("profiles", None);
    state.samples = Some(4);
    jobs.load();
    let end = Instant::now() + LONG;
    while state.doubted != Some(1.0) {
        assert!(Instant::now() < end);
        for message in jobs.drain() {
            for effect in update(&mut state, message) {
                jobs.obey(&state, effect);
            }
        }
        std::thread::sleep(Duration::from_millis(1));
    }
    // The slow thread tells what it has, which is nothing any more.
    std::thread::sleep(Duration::from_millis(200));
    for message in jobs.drain() {
        update(&mut state, message);
    }
    let builds: Vec<&str> = state.entries.iter().map(|e| &*e.judged.as_ref().unwrap().build).collect();
    assert_eq!(builds, ["advised"; 2]);
}

/// With next to nothing to do the threads get in each other's way: how far it is still only rises, and ends at all.
#[test]
fn how_far_it_is_only_rises() {
    let mut hooks = hooks(Vec::new(), 4);
    let loaded = (hooks.load)();
    let one = loaded.filters[0].filter.clone();
    let judged = (hooks.judge)(&one, 0, None);
    hooks.judge = Arc::new(move |_, _, _| judged.clone());
    hooks.advise = Arc::new(|_, _, _, _| ());
    hooks.doubt = Some(Arc::new(|_, _, _, _| Some(Simulated::empty(4, Vec::new()))));
    let jobs = Jobs::new(hooks, 8);
    let mut state = State::new("profiles", None);
    state.samples = Some(4);
    update(&mut state, Message::Loaded(loaded));
    for round in 1..=3000 {
        state.round = round;
        jobs.obey(&state, Effect::Judge);
        let (mut far, end) = (0.0, Instant::now() + LONG);
        while far < 1.0 {
            assert!(Instant::now() < end, "round {round}: it stays at {far}");
            for message in jobs.drain() {
                if let Message::Doubted { share, .. } = message {
                    assert!(share > far, "round {round}: {share} after {far}");
                    far = share;
                }
            }
        }
    }
}
