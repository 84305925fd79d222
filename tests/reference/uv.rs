//! UV dose against worked numbers and published bands.
//! "Derived" marks a number worked out by hand for this test.

#![allow(clippy::unreadable_literal, reason = "published figures stand as they were printed")]

use crate::checks::{l_h, near, prints};
use cansift::uncertainty::uncertain::Nominal;
use cansift::uv::{self, Chamber};

// ---- UV ----

/// A 7 W lamp that gives 28 % of its watts as UV-C, as large ones do.
fn well_lit() -> Chamber<f64> {
    Chamber { efficiency: 0.28 / 0.24, ..Chamber::drawn(&Nominal) }
}

#[test]
fn dose_of_one_pass() {
    // 7 W of which 28 % is UV-C, gap 1.2 cm, age 0.8, per cent a cm 90 (derived; lamp length and radius cancel).
    let chamber = well_lit();
    for (flow, dose) in [(50.0, 80.2), (200.0, 20.0), (550.0, 7.29), (1000.0, 4.01)] {
        near(chamber.dose(7.0, 0.8, 0.012, l_h(flow)), dose, 0.01);
    }
    prints(chamber.dose(7.0, 0.8, 0.012, l_h(550.0)), "7.29");
    for (transmittance, dose) in [(80.0, 6.81), (98.0, 7.67), (100.0, 7.76)] {
        near(Chamber { transmittance, ..chamber }.dose(7.0, 0.8, 0.012, l_h(550.0)), dose, 0.01);
    }
    near(uv::gap(0.044, 0.024), 0.010, 1e-12);
    // A small lamp gives 24 % and has lost a tenth after 4500 h.
    let lamp = Chamber::<f64>::drawn(&Nominal);
    near(lamp.dose(7.0, lamp.age(4500.0), 0.012, l_h(550.0)), 7.03, 1e-3);
    for (watts, share) in [(3.0, 0.22), (5.0, 0.22), (9.0, 0.26), (11.0, 0.28), (36.0, 0.28)] {
        near(lamp.share(watts), share, 1e-12);
    }
}

#[test]
fn a_lamp_ages() {
    let chamber = Chamber::drawn(&Nominal);
    assert_eq!(chamber.age(0.0), 1.0);
    near(chamber.age(4500.0), 0.9, 1e-12);
    near(chamber.age(9000.0), 0.8, 1e-12);
    near(chamber.age(30000.0), 0.5, 1e-12);
}

#[test]
fn kills_over_repeated_passes() {
    // 180 l, 7 W, D10 of 30 mJ/cm2: 8, 21, 31 and 37 a day at 60, 200, 550 and 1500 l/h (derived): a fast flow
    // does not undo UV in a loop, it gains less and less.
    let chamber = well_lit();
    let kills = |flow: f64| {
        uv::kills_a_day(l_h(flow), 0.18, chamber.dose(7.0, 0.8, 0.012, l_h(flow)), uv::ALGAE_TENTH)
    };
    for (flow, a_day) in [(60.0, "8"), (200.0, "21"), (550.0, "31"), (1500.0, "37")] {
        prints(kills(flow), a_day);
    }
    let ceiling = std::f64::consts::LN_10 * chamber.dose(7.0, 0.8, 0.012, 1.0) * 86400.0 / (0.18 * 30.0);
    assert!(kills(1e6) < ceiling && kills(1e6) > 0.99 * ceiling);
    assert_eq!(uv::kills_a_day(l_h(550.0), 0.18, 0.0, 30.0), 0.0);
}

#[test]
fn dose_bands_name_their_sources() {
    // USEPA UV Disinfection Guidance Manual 2006: Giardia 3 log at 11 mJ/cm2.
    let giardia = uv::BANDS.iter().find(|b| b.what.starts_with("Giardia")).unwrap();
    assert!(giardia.from == 11.0 && giardia.source.contains("2006"));
    for band in &uv::BANDS {
        assert!(band.from > 0.0 && band.from <= band.to && !band.source.is_empty());
    }
    assert!(uv::BANDS.windows(2).all(|pair| pair[0].to <= pair[1].to));
}
