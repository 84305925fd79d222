//! From a key to the cells that show what it did, on the screen Builds with 10,000 rows at 120 by 40: what the
//! program does between two writes to the terminal.
#![allow(missing_docs, clippy::unwrap_used)]

#[path = "../tests/common/keys.rs"]
mod typed;

use std::path::PathBuf;
use std::sync::Arc;

use cansift::app::effect::Message;
use cansift::app::state::State;
use cansift::app::update::update;
use cansift::assess::judge;
use cansift::library;
use cansift::profile::{Loaded, Sound};
use cansift::ui::view::paint_all;
use criterion::{Criterion, criterion_group, criterion_main};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// Rows.
const ROWS: usize = 10_000;

fn judged() -> State {
    let demo = library::demo();
    let tank = library::demo_tanks().remove(1).tank;
    let mut state = State::new("bench", Some(Arc::clone(&tank)));
    update(&mut state, Message::Size(120, 40));
    let mut filters = Vec::new();
    let mut rows = 0;
    for sound in demo.filters.iter().cycle() {
        if rows >= ROWS {
            break;
        }
        rows += sound.filter.builds.len();
        filters.push(Sound {
            path: PathBuf::from(format!("unit-{rows}.ron")),
            filter: Arc::clone(&sound.filter),
            hints: Vec::new(),
        });
    }
    update(&mut state, Message::Loaded(Loaded { filters, broken: Vec::new(), media: Vec::new() }));
    let judgements: Vec<_> = demo
        .filters
        .iter()
        .flat_map(|s| (0..s.filter.builds.len()).map(|b| Arc::new(judge(&s.filter, b, Some(&*tank)))))
        .collect();
    let round = state.round;
    let done = (0..state.entries.len()).zip(judgements.iter().cloned().cycle()).collect();
    update(&mut state, Message::Judged { round, done });
    state
}

fn key_to_frame(c: &mut Criterion) {
    let mut group = c.benchmark_group("key to frame, 10,000 rows");
    let whole = judged();
    let mut buffer = Buffer::empty(Rect::new(0, 0, 120, 40));
    for (name, keys) in [
        ("one line down and up", "<down><up>"),
        ("sorted and back", "ss"),
        ("narrowed and shown whole again", "/tam<esc>"),
        ("to another pane and back", "pP"),
        ("marked, put side by side, and back", " <down> d<esc>x"),
    ] {
        let mut state = whole.clone();
        let keys = typed::list(keys);
        group.bench_function(format!("{name} ({} keys)", keys.len()), |b| {
            b.iter(|| {
                for key in &keys {
                    update(&mut state, Message::Key(*key));
                    buffer.reset();
                    state.drawn = paint_all(&state, &mut buffer);
                }
            });
        });
    }
}

criterion_group!(benches, key_to_frame);
criterion_main!(benches);
