//! What must hold of nitrogen, oxygen and UV whatever the numbers.

use crate::laws::{one_pass, rate};
use cansift::biology::denitrifying::{Conditions, Form, Grains, Inside, core, nitrate_limit};
use cansift::biology::nitrate::{Changes, balance};
use cansift::biology::nitrifying::{Surface, steady_tan, un_ionised};
use cansift::biology::{load, oxygen};
use cansift::simd::{F64x8, Real};
use cansift::uncertainty::uncertain::Nominal;
use cansift::uv::{self, Chamber};
use proptest::prelude::*;

/// Every law at once on plain ranges, for [`F64x8`] against `f64` and for sanity.
fn everything<L: Real>(x: &[L; 6]) -> Vec<L> {
    // Each in 0..1.
    let [a, b, c, d, e, f] = *x;
    let (t, breath, feed) = (a * 26.0 + 8.0, b * 11.0 + 0.1, c * 12.0);
    let surface = Surface::<L>::drawn(&Nominal);
    let (area, flow) = (d * 8.0 + 0.01, e * 30.0 + 0.1);
    let removal = |tan: L| one_pass(flow, tan, surface.first_order(tan, t, breath), area);
    let (tan, nitrogen) = (load::tan(feed, f, &Nominal), load::nitrate(feed, f, &Nominal));
    let demand = oxygen::Demand::drawn(&Nominal).daily(nitrogen, feed);
    let drop = oxygen::drop(demand, flow / 86400.0);
    let inside = Inside::<L>::drawn(&Nominal);
    let grains = [
        Grains { volume: d * 3e-3, form: Form::Sphere { radius: e * 9e-3 + 1e-3 } },
        Grains { volume: f * 1e-3, form: Form::Wall { half: e * 2e-3 + 5e-4 } },
    ];
    let at =
        Conditions { porous: d * 3.0, other: a * 3.0, margin: b * 2.0, feed, nitrogen, t, oxygen: breath };
    let potential = inside.of_build(&grains, &at);
    let changes = Changes { share: a * 0.95 + 0.05, every: b * 20.0 + 1.0, tap: c * 40.0 };
    let volume = d * 0.4 + 0.05;
    let steady = balance(&changes, nitrogen, volume, e * 2.0, |s| potential * nitrate_limit(s));
    let sunk = changes.cycle(f * 5.0, e * 0.2);
    let chamber = Chamber::<L>::drawn(&Nominal);
    let dose = Chamber { transmittance: b * 40.0 + 60.0, ..chamber }.dose(
        c * 20.0,
        chamber.age(a * 2e4),
        d * 0.02 + 1e-3,
        flow / 86400.0,
    );
    vec![
        un_ionised(t, b * 5.0 + 5.0),
        rate(&surface, c * 5.0, t, breath),
        removal(c * 5.0),
        steady_tan(tan, removal),
        oxygen::saturation(t),
        drop,
        oxygen::leaving(breath, drop),
        core(a * 1.2),
        potential,
        steady.cycle.peak,
        steady.cycle.mean,
        steady.cycle.trough,
        steady.denitrified,
        sunk.peak,
        sunk.mean,
        sunk.trough,
        dose,
        uv::kills_a_day(flow / 86400.0, volume, dose, L::splat(30.0)),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn eight_draws_are_eight_single_ones(all in prop::array::uniform8(prop::array::uniform6(0.0..1.0f64))) {
        let wide = everything(&std::array::from_fn(|j| F64x8::gather(|i| all[i][j])));
        for (i, one) in all.iter().enumerate() {
            for (law, (w, x)) in wide.iter().zip(everything(one)).enumerate() {
                let w = w.draw(i);
                prop_assert!((w - x).abs() <= 1e-11 * x.abs().max(1.0), "law {law}: {w} for {x}");
            }
        }
    }

    #[test]
    fn nothing_is_negative_or_not_a_number(x in prop::array::uniform6(0.0..=1.0f64)) {
        for (law, y) in everything(&x).into_iter().enumerate() {
            prop_assert!(y.is_finite() && y >= 0.0, "law {law}: {y} at {x:?}");
        }
    }

    #[test]
    fn saturation_falls_with_warmth(t in 0.0..40.0f64, more in 1e-3..5.0f64) {
        prop_assert!(oxygen::saturation(t + more) < oxygen::saturation(t));
    }

    #[test]
    fn warmth_and_alkali_make_ammonia_poisonous(t in 0.0..40.0f64, ph in 5.0..10.0f64, more in 1e-3..1.0f64) {
        prop_assert!(un_ionised(t + more, ph) > un_ionised(t, ph));
        prop_assert!(un_ionised(t, ph + more) > un_ionised(t, ph));
    }

    #[test]
    fn more_surface_leaves_less_ammonia(area in 0.05..8.0f64, more in 0.01..4.0f64, load in 1e-3..1.0f64) {
        let surface = Surface::<f64>::drawn(&Nominal);
        let tan = |area: f64| steady_tan(load, |s| one_pass(13.2, s, surface.first_order(s, 25.0, 7.7), area));
        prop_assert!(tan(area + more) <= tan(area));
    }

    #[test]
    fn a_period_holds_its_own_mean(share in 0.05..1.0f64, every in 1.0..40.0f64, made in 0.0..9.0f64, sink in 0.0..0.5f64) {
        let cycle = Changes { share, every, tap: 0.0 }.cycle(made, sink);
        prop_assert!(cycle.trough <= cycle.mean + 1e-9 && cycle.mean <= cycle.peak + 1e-9);
        // What a period makes is what decays and what is carried off.
        let (gain, lost) = (made * every, sink * every * cycle.mean + share * cycle.peak);
        prop_assert!((gain - lost).abs() <= 1e-9 * gain.max(1.0), "{gain} {lost}");
    }
}
