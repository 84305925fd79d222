//! What the screens make of logs once these move nothing any more.

use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use cansift::app::jobs::Hooks;
use cansift::assess::Mode;
use cansift::library::demo_tanks;
use cansift::model::{Filter, Tank};
use cansift::report::figures::Units;

use crate::program;

fn hooks() -> (Hooks, Arc<Filter>, Tank) {
    let path = format!("{}/demo-data/logs/jonne-tamsin-1100.ron", env!("CARGO_MANIFEST_DIR"));
    let hooks = program::hooks(vec![path.into()], 64);
    let filter = (hooks.load)().filters[0].filter.clone();
    let tanks = demo_tanks().into_iter().map(|sound| (*sound.tank).clone());
    let tank = tanks.into_iter().find(|tank| tank.name.contains("reading-room")).unwrap();
    (hooks, filter, tank)
}

/// What to measure next of the logged build, with what logs move.
fn next(hooks: &Hooks, filter: &Arc<Filter>, tank: &Tank, mode: Mode) -> Vec<String> {
    let logged = filter.builds.iter().position(|build| !build.kept.log.is_empty()).unwrap();
    (hooks.logs)(if mode == Mode::Off { Vec::new() } else { vec![filter.clone()] }, mode);
    let mut judged = (hooks.judge)(filter, logged, Some(tank));
    let doubt = hooks.doubt.as_ref().unwrap();
    judged.simulated = doubt(filter, logged, Some(tank), &AtomicBool::new(false)).map(Arc::new);
    (hooks.next)(filter, &judged, Units::default())
}

#[test]
fn what_logs_taught_is_forgotten_once_they_move_nothing() {
    let (hooks, filter, tank) = self::hooks();
    let with = next(&hooks, &filter, &tank, Mode::All);
    let after = next(&hooks, &filter, &tank, Mode::Off);
    let (fresh, ..) = self::hooks();
    let never = next(&fresh, &filter, &tank, Mode::Off);
    assert_ne!(with, never);
    assert_eq!(after, never);
}
