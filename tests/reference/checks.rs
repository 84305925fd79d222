//! Comparing figures in tests.

use cansift::assumptions::A;
use cansift::uncertainty::uncertain::{Draw, Nominal};

/// `x` prints as `text`: within half a unit of its last digit.
#[track_caller]
pub fn prints(x: f64, text: &str) {
    let decimals = text.split_once('.').map_or("", |(_, tail)| tail).chars();
    let half = decimals.fold(0.5, |half, _| half / 10.0) * 1.0001;
    let printed: f64 = text.parse().expect("a number");
    assert!((x - printed).abs() <= half, "{x} does not print as {text}");
}

/// `x` is `y` within a relative error.
#[track_caller]
pub fn near(x: f64, y: f64, relative: f64) {
    assert!((x - y).abs() <= relative * y.abs(), "{x} is not {y} to {relative}");
}

/// Nominal value of an assumption.
pub fn constant(a: A) -> f64 {
    Draw::<f64>::constant(&Nominal, a)
}

/// m3/s of so many l/h.
pub fn l_h(number: f64) -> f64 {
    number * 1e-3 / 3600.0
}
