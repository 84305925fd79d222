//! No unreal number leaves: of a hundred thousand builds by chance every figure is finite or a dash with its reason,
//! and so is every band of its doubt.

use std::sync::atomic::AtomicBool;

use crate::filters::{Chance, any_filter, tank};
use cansift::assess::case::Case;
use cansift::assess::judge;
use cansift::assess::monte_carlo::simulate;
use cansift::measures::{Measure, Outcome};
use cansift::uncertainty::sampling::Draws;
use rayon::prelude::*;

/// As many as these, each hundred with a start of its own.
const HUNDREDS: u64 = 1000;

#[test]
fn every_figure_of_a_hundred_thousand_builds_is_finite_or_a_dash() {
    let (tank, draws) = (tank(), Draws::new(8, 1));
    let figures: usize = (0..HUNDREDS)
        .into_par_iter()
        .map(|start| {
            let mut chance = Chance(0x0DD0_F1A6_5EED_5EED ^ start.wrapping_mul(0x9E37_79B9_7F4A_7C15));
            let mut figures = 0;
            for i in 0..100 {
                let filter = any_filter(&mut chance);
                let tank = chance.chance(0.8).then_some(&tank);
                let judged = judge(&filter, 0, tank);
                for measure in Measure::ALL {
                    if let Outcome::Value(x) = judged.outcome(measure) {
                        assert!(x.is_finite(), "{start} {i} {}: {x}", measure.key());
                        figures += 1;
                    }
                }
                // The dearest: every fiftieth.
                if i % 50 == 0 {
                    let case = Case::new(&filter, &filter.builds[0], tank);
                    let drawn = simulate(&case, &draws, &AtomicBool::new(false)).unwrap();
                    for measure in Measure::ALL {
                        let band = drawn.band(measure);
                        let real =
                            band.is_none_or(|b| b.low.is_finite() && b.high.is_finite() && b.low <= b.high);
                        assert!(real, "{start} {i} {}", measure.key());
                    }
                }
            }
            figures
        })
        .sum();
    println!("{figures} figures of {} builds", HUNDREDS * 100);
    assert!(figures as u64 > HUNDREDS * 100 * 10, "{figures}: too few to tell anything");
}
