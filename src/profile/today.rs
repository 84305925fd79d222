//! The day it is: as told on the command line, else by the system's clock.

use std::sync::OnceLock;
use std::time::{SystemTime, UNIX_EPOCH};

use crate::model::Day;
use crate::units::DAY;

static TOLD: OnceLock<Day> = OnceLock::new();

/// Told once, before anything is read.
pub fn set(day: Day) {
    let _ = TOLD.set(day);
}

pub fn get() -> Day {
    *TOLD.get_or_init(|| {
        let since = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
        Day((since.as_secs_f64() / DAY) as i64)
    })
}
