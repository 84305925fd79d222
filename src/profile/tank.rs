//! The tank by its table: reading it, and writing it.

use super::reader::{self, Read};
use crate::measures::Measure;
use crate::model::fields::{Field, Row, Value, row};
use crate::model::{Library, Tank};
use crate::uncertainty::Source;

/// What counts in the ranking where the tank does not say.
pub const DEFAULT_PRIORITIES: [(Measure, f64); 7] = [
    (Measure::Clearing, 1.0),
    (Measure::BypassChance, 1.0),
    (Measure::OpeningInterval, 1.0),
    (Measure::AmmoniaCapacity, 1.0),
    (Measure::RuleOfThumbTank, 1.0),
    (Measure::FirstYearCost, 1.0),
    (Measure::OrderFaults, 1.0),
];

pub fn read(source: &str, library: &Library) -> Read<Tank> {
    static TANK: Row = row("a tank").file("tank");
    let mut read = reader::read(source, library, Source::Tank, &TANK);
    // Food that was weighed wins over how the tank is stocked.
    if let Some(tank) = read.thing.as_mut().filter(|tank: &&mut Tank| tank.food.daily.is_some()) {
        tank.stock = None;
    }
    read
}

/// The tank as a file. Reading it gives an equal tank.
pub fn write_tank(tank: &Tank) -> String {
    static TANK: Row = row("a tank");
    match tank.value(&TANK) {
        Some(Value::Form(table, given)) => super::write::whole(table, &given),
        _ => String::new(),
    }
}
