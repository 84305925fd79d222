//! What a unit costs, holds and weighs: numbers worked by hand.

use std::sync::Arc;

use crate::small_filter::{self, exact, filter, pad, tank, uv};
use cansift::assumptions::A;
use cansift::cost::{Untold, first_year_cost, repair_cost, watts};
use cansift::model::filter::{Filter, Lamp, Way};
use cansift::model::medium::{Medium, Role};
use cansift::simd::{F64x8, Real};
use cansift::space::{self, Cuboid};
use cansift::uncertainty::uncertain::{Draw, Nominal};
use cansift::units::{Plain, Power, Time};
use proptest::prelude::*;

#[track_caller]
fn near(x: f64, y: f64) {
    assert!((x - y).abs() <= 1e-9 * y.abs().max(1.0), "{x} is not {y}");
}

fn priced(id: &str, price: Option<f64>, years: Option<f64>) -> Arc<Medium> {
    Arc::new(Medium {
        price: price.map(exact::<Plain>),
        life: years.map(|y| exact::<Time>(y * 365.25 * 86400.0)),
        ..pad(id, Role::Medium)
    })
}

fn unit_filter(lamp: Lamp, includes: &[&str]) -> Filter {
    Filter { unit: Some(small_filter::unit(lamp, includes)), ..filter(Way::Rising, 1) }
}

#[test]
fn power_of_a_year() {
    // 8766 hours (derived): 5 W 44 kWh, 10 W 88, 22 W 193; a 7 W lamp 61.
    for (w, kwh) in [(5.0, 44.0), (10.0, 88.0), (22.0, 193.0), (7.0, 61.0)] {
        let year: f64 = w * cansift::cost::KWH_A_WATT;
        assert_eq!(year.round(), kwh);
    }
    // Pump and lamp, a lamp that does not work drawing nothing; without a unit block it counts as working.
    for (lamp, w) in [(Lamp::Working, 17.0), (Lamp::BurntOut, 10.0), (Lamp::Absent, 10.0)] {
        let it = Filter { uv: Some(uv(None)), ..unit_filter(lamp, &[]) };
        assert_eq!(watts(&it, 1.0, &Nominal), Ok(w));
    }
    let fresh = Filter { uv: Some(uv(None)), ..filter(Way::Rising, 1) };
    assert_eq!(watts(&fresh, 1.0, &Nominal), Ok(17.0));
    // Affinity laws: 60 Hz on a pump told at 50 takes 1.2³ of its power, the lamp the same.
    near(watts(&fresh, 1.2, &Nominal).unwrap(), 17.28 + 7.0);
    let mut dark = fresh;
    dark.pump.power = None;
    assert_eq!(watts(&dark, 1.0, &Nominal), Err(Untold::NoPower));
}

#[test]
fn putting_a_unit_right() {
    let foam = priced("foam", Some(4.0), None);
    let floss = priced("floss", Some(6.0), None);
    let it = unit_filter(Lamp::Working, &["floss"]);
    let media = [(Arc::clone(&foam), 0.5e-3), (Arc::clone(&floss), 0.8e-3), (foam, 1.5e-3)];
    // Two litres of foam at 4 and the repair of 9; floss comes with it.
    near(repair_cost(&it, None, &media, &Nominal).unwrap(), 17.0);
    // Half a litre of it is at home; then all of it; then something else.
    near(repair_cost(&it, Some(&tank(&[("foam", 0.5)])), &media, &Nominal).unwrap(), 15.0);
    near(repair_cost(&it, Some(&tank(&[("foam", 1.0), ("foam", 1.0)])), &media, &Nominal).unwrap(), 9.0);
    near(repair_cost(&it, Some(&tank(&[("gravel", 9.0)])), &media, &Nominal).unwrap(), 17.0);
    assert_eq!(repair_cost(&filter(Way::Rising, 1), None, &media, &Nominal), Err(Untold::NoUnit));
}

#[test]
fn an_unknown_price_matters_only_where_it_is_needed() {
    let media = [(priced("odd", None, None), 1e-3)];
    let it = unit_filter(Lamp::Working, &[]);
    assert_eq!(repair_cost(&it, None, &media, &Nominal), Err(Untold::NoPrice));
    near(repair_cost(&it, Some(&tank(&[("odd", 1.0)])), &media, &Nominal).unwrap(), 9.0);
    near(repair_cost(&unit_filter(Lamp::Working, &["odd"]), None, &media, &Nominal).unwrap(), 9.0);
    // It does not wear, so the first year can be told; with a life it cannot.
    let at_home = tank(&[("odd", 1.0)]);
    assert!(first_year_cost(&it, Some(&at_home), &media, 1.0, &Nominal).is_ok());
    let worn = [(priced("odd", None, Some(2.0)), 1e-3)];
    assert_eq!(first_year_cost(&it, Some(&at_home), &worn, 1.0, &Nominal), Err(Untold::NoPrice));
}

#[test]
fn the_first_year() {
    let it = Filter { uv: Some(uv(Some(18.0))), ..unit_filter(Lamp::Working, &["foam"]) };
    let media = [(priced("foam", Some(4.0), Some(2.0)), 3e-3), (priced("stone", Some(10.0), None), 1e-3)];
    let home = tank(&[]);
    // 45 asked; 9 and a litre of stone to put right; 17 W × 8.766 × 0.30; 3 l × 4 over two years; a lamp of 18
    // over 9000 hours.
    let by_hand = 45.0 + 19.0 + 17.0 * 8.766 * 0.3 + 6.0 + 18.0 * 8766.0 / 9000.0;
    near(first_year_cost(&it, Some(&home), &media, 1.0, &Nominal).unwrap(), by_hand);
    // A burnt-out lamp neither draws nor wears, so its price is not needed.
    let mut dead = it.clone();
    dead.uv = Some(uv(None));
    assert_eq!(first_year_cost(&dead, Some(&home), &media, 1.0, &Nominal), Err(Untold::NoPrice));
    dead.unit.as_mut().unwrap().lamp = Lamp::BurntOut;
    near(
        first_year_cost(&dead, Some(&home), &media, 1.0, &Nominal).unwrap(),
        45.0 + 19.0 + 10.0 * 8.766 * 0.3 + 6.0,
    );
    // What is missing is said.
    assert_eq!(first_year_cost(&it, None, &media, 1.0, &Nominal), Err(Untold::NoTank));
    let free = cansift::model::tank::Tank { power_price: None, ..home.clone() };
    assert_eq!(first_year_cost(&it, Some(&free), &media, 1.0, &Nominal), Err(Untold::NoPowerPrice));
    let mut shy = it.clone();
    shy.unit.as_mut().unwrap().asking = None;
    assert_eq!(first_year_cost(&shy, Some(&home), &media, 1.0, &Nominal), Err(Untold::NoAskingPrice));
    shy.unit = None;
    assert_eq!(first_year_cost(&shy, Some(&home), &media, 1.0, &Nominal), Err(Untold::NoUnit));
    shy = it;
    shy.pump.power = None;
    assert_eq!(first_year_cost(&shy, Some(&home), &media, 1.0, &Nominal), Err(Untold::NoPower));
}

#[test]
fn eight_budgets_at_once() {
    let it = Filter { uv: Some(uv(Some(18.0))), ..unit_filter(Lamp::Working, &[]) };
    let foam = priced("foam", Some(4.0), Some(2.0));
    let home = tank(&[("foam", 2.0)]);
    let volume = |i: usize| 0.5e-3 * (i as f64 + 1.0);
    let wide = first_year_cost(
        &it,
        Some(&home),
        &[(Arc::clone(&foam), F64x8::gather(volume))],
        F64x8::one(),
        &Nominal,
    );
    let wide = wide.unwrap();
    for i in 0..8 {
        let one =
            first_year_cost(&it, Some(&home), &[(Arc::clone(&foam), volume(i))], 1.0, &Nominal).unwrap();
        near(wide.draw(i), one);
    }
}

#[test]
fn one_draw_without_a_price_refuses_its_eight() {
    let it = unit_filter(Lamp::Working, &[]);
    let home = tank(&[("odd", 1.0)]);
    let odd = priced("odd", None, None);
    let cost = |most: f64| {
        let volume = F64x8::gather(|i| if i == 3 { most } else { 0.5e-3 });
        repair_cost(&it, Some(&home), &[(Arc::clone(&odd), volume)], &Nominal)
    };
    near(cost(1e-3).unwrap().draw(3), 9.0);
    assert_eq!(cost(1.1e-3), Err(Untold::NoPrice));
}

#[test]
fn what_a_vessel_holds() {
    // Trays and floor of 10 × 10 cm: 25 mm under two of 80 mm, a tube of 22 mm over 300 mm, 1.2 l above.
    let area = 0.01;
    let capacity = space::capacity(&[(area, 0.025), (area, 0.08), (area, 0.08)]);
    near(capacity, 1.85e-3);
    let tube: f64 = space::tube(0.022, 0.3);
    assert!((tube - 0.114e-3).abs() < 5e-7);
    near(space::vessel(capacity, 1.2e-3, tube), 3.05e-3 + tube);
    // 1 kg of sintered pieces, 2.22 l of bed, void 0.44, inner 0.58, holds 1.70 l of water (derived).
    let bed = 1.0 / 450.0;
    let solids = space::solid(bed, 0.44, 0.58);
    assert!((space::water(bed, solids) * 1e3 - 1.70).abs() < 0.005);
    // Pressing a pad changes bulk and void, not what is solid.
    near(space::solid(0.9e-3, 1.0 - 0.03 / 0.9, 0.0), space::solid(1e-3, 0.97, 0.0));
    assert_eq!(space::water(1e-3, 2e-3), 0.0);
    near(space::full_weight(4.2, 1.3, 7e-3, 997.045), 4.2 + 1.3 + 6.979_315);
    let outside = Cuboid { width: 0.235, depth: 0.2, height: 0.41 };
    near(space::media_share(5e-3, &outside), 5.0 / 19.27);
}

#[test]
fn whether_it_fits() {
    let clearance: f64 = Nominal.constant(A::HoseClearance);
    let outside = Cuboid { width: 0.235, depth: 0.2, height: 0.41 };
    let fits = |width: f64, depth: f64, height: f64| {
        space::fits(&outside, &Cuboid { width, depth, height }, 0.016, clearance)
    };
    assert!(fits(0.24, 0.2, 0.51) && fits(0.2, 0.24, 0.51), "either way round");
    assert!(!fits(0.23, 0.23, 0.6), "too narrow both ways");
    // 41 cm and six bores of 16 mm are 50.6 cm.
    assert!(fits(0.24, 0.21, 0.5061) && !fits(0.24, 0.21, 0.5059));
    let wide = Cuboid { width: F64x8::splat(0.235), depth: F64x8::splat(0.2), height: F64x8::splat(0.41) };
    let room = Cuboid { height: F64x8::gather(|i| 0.48 + 0.01 * i as f64), ..wide };
    let each = space::fits(&wide, &room, F64x8::splat(0.016), F64x8::splat(clearance));
    for i in 0..8 {
        assert_eq!(F64x8::holds(each, i), i >= 3);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn more_at_home_never_costs_more(volume in 0.0..5.0f64, held in 0.0..5.0f64, more in 0.0..2.0f64, w in 1.0..40.0f64) {
        let mut it = unit_filter(Lamp::Working, &[]);
        it.pump.power = Some(exact::<Power>(w));
        let media = [(priced("foam", Some(4.0), Some(1.5)), volume * 1e-3)];
        let cost = |litres: f64| first_year_cost(&it, Some(&tank(&[("foam", litres)])), &media, 1.0, &Nominal).unwrap();
        prop_assert!(cost(held).is_finite() && cost(held) >= 45.0);
        prop_assert!(cost(held + more) <= cost(held));
    }
}
