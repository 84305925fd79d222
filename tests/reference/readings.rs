//! What readings make of the doubt, against closed forms: normal laws conditioned on normal readings (any textbook,
//! such as Anderson, *An Introduction to Multivariate Statistical Analysis*, section 2.5), worked out by hand.

use cansift::learn::agree::agree;
use cansift::learn::reading::{Reading, card_ends};
use cansift::learn::search::{Found, Question, ROWS, Rows, search};
use cansift::learn::weights::{drawn, shares, tail, tempered, worth};
use cansift::model::Day;
use cansift::uncertainty::generator::Generator;

fn number(seen: f64, sd: f64) -> Reading {
    Reading::Number { seen, sd }
}

/// What is found where each reading is compared with what `model` makes of a row.
fn found(keys: usize, readings: &[Reading], slips: f64, model: impl Fn(&[f64]) -> Vec<f64> + Sync) -> Found {
    let hashes: Vec<u64> = (0..keys as u64).map(|i| i.wrapping_mul(0x9e37_79b9_7f4a_7c15)).collect();
    let model = |rows: &Rows| Some(rows.rows().flat_map(&model).collect());
    let of = Question {
        keys: &hashes,
        readings,
        model: &model,
        first: Vec::new(),
        slips,
        rows: ROWS,
        samples: 400,
        seed: 1,
    };
    search(&of).unwrap()
}

/// y₁ = z₁ + z₂ and y₂ = z₂ − z₃/2.
fn two(z: &[f64]) -> Vec<f64> {
    vec![z[0] + z[1], z[1] - z[2] / 2.0]
}

#[test]
fn two_normal_readings_give_the_normal_law_that_they_leave() {
    let of = found(3, &[number(1.2, 0.5), number(-0.3, 0.4)], 0.0, two);
    let near = 4.0 / of.worth.sqrt();
    for (key, (mean, sd)) in
        [(0.916_916, 0.592_434), (0.053_855, 0.485_699), (0.431_530, 0.860_861)].into_iter().enumerate()
    {
        let (m, s) = of.key(key);
        assert!((m - mean).abs() < near && (s - sd).abs() < near, "key {key}: {m} ± {s} (within {near})");
    }
    let ((a, sa), (b, sb)) = (of.key(0), of.key(1));
    let both = of.mean(of.rows.rows().map(|z| (z[0] - a) * (z[1] - b))) / (sa * sb);
    assert!((both + 0.655_869).abs() < near, "correlation {both}");
    assert!((of.evidence + 2.905_425).abs() < near, "ln evidence {}", of.evidence);
    assert!(of.tail < 0.7 && of.worth > 400.0 && of.steps == 0 && of.blunted.is_none());
}

#[test]
fn the_distance_of_two_readings_is_that_of_their_law() {
    let readings = [number(1.2, 0.5), number(-0.3, 0.4)];
    let rows = Rows::first(&[1, 2, 3], 7, ROWS);
    let figures: Vec<f64> = rows.rows().flat_map(two).collect();
    let told = agree(&readings, &[0, 0], &figures, 7);
    assert!((told.distance - 1.359_217).abs() < 0.06, "{}", told.distance);
    // Chi squared with two degrees of freedom: the chance of more is e to the minus half of it.
    assert!((told.together - (-1.359_217_f64 / 2.0).exp()).abs() < 0.025, "{}", told.together);
    assert!(told.held.is_empty() && !told.aside && !told.unusual());
    // Two-sided: 1.2 of ±1.5, and −0.3 of ±1.187434.
    assert!(
        (told.alone[0] - 0.423_711).abs() < 0.03 && (told.alone[1] - 0.800_531).abs() < 0.03,
        "{:?}",
        told.alone
    );
}

#[test]
fn sharp_readings_among_fifty_keys_take_one_step() {
    let of = found(50, &[number(1.2, 0.002), number(-0.3, 0.002)], 0.0, two);
    assert_eq!((of.steps, of.blunted), (1, None));
    assert!(of.worth > 4000.0, "worth {}", of.worth);
    // By hand: least squares of z under z₁ + z₂ = 1.2 and z₂ − z₃/2 = −0.3.
    for (key, mean) in [1.2, 0.0, 0.6].into_iter().enumerate() {
        assert!((of.key(key).0 - mean).abs() < 0.03, "key {key}: {:?}", of.key(key));
    }
    for key in 3..50 {
        let (mean, sd) = of.key(key);
        assert!(mean.abs() < 0.08 && (sd - 1.0).abs() < 0.08, "key {key} is moved: {mean} ± {sd}");
    }
}

#[test]
fn a_colour_is_a_band() {
    let colour = Reading::Colour { ends: vec![0.5, 1.5], seen: 1, sd: 0.5 };
    let of = found(1, &[colour], 0.0, <[f64]>::to_vec);
    let (mean, sd) = of.key(0);
    let near = 4.0 / of.worth.sqrt();
    assert!((of.evidence.exp() - 0.237_504).abs() < 0.01, "{}", of.evidence.exp());
    assert!((mean - 0.748_594).abs() < near && (sd * sd - 0.250_382).abs() < near, "{mean} {}", sd * sd);
}

#[test]
fn colours_give_way_half_way_in_the_logarithm() {
    let ends = card_ends(&[0.0, 5.0, 10.0, 25.0]);
    let by_hand = [2.5_f64.ln(), 50_f64.ln() / 2.0, 250_f64.ln() / 2.0];
    assert!(ends.iter().zip(by_hand).all(|(a, b)| (a - b).abs() < 1e-12) && ends.len() == 3);
    // Whatever is seen, it is one of them.
    let all: f64 = (0..4)
        .map(|seen| Reading::Colour { ends: ends.clone(), seen, sd: 0.2 }.chance(&[8_f64.ln()], 0.02))
        .sum();
    assert!((all - 1.0).abs() < 1e-12, "{all}");
}

#[test]
fn a_reading_far_off_is_perhaps_a_slip() {
    let reading = number(2.5, 0.5);
    let of = found(1, std::slice::from_ref(&reading), 0.02, <[f64]>::to_vec);
    let near = 4.0 / of.worth.sqrt();
    let slip = of.mean(of.rows.rows().map(|z| reading.slip(z)));
    assert!((slip - 0.060_424).abs() < near / 2.0, "slip {slip}");
    assert!(
        (of.key(0).0 - 1.894_258).abs() < near && (of.evidence + 3.488_386).abs() < near,
        "{:?}",
        of.key(0)
    );
}

#[test]
fn a_flow_that_is_fine_is_above_the_keepers_limit() {
    // Φ(0.10/0.13), the limit's own 0.12 and the keeper's 0.05 together.
    let of = found(1, &[Reading::Fine], 0.0, |z| vec![0.80, 0.70 + 0.12 * z[0]]);
    assert!((of.evidence.exp() - 0.779_122).abs() < 0.01, "{}", of.evidence.exp());
    // A flow that fell: what is certain has no chance before and all of it within the days.
    let fell = Reading::Fell;
    assert!(fell.chance(&[0.9, 0.5, 0.7], 0.0) > 0.999 && fell.chance(&[0.5, 0.4, 0.7], 0.0) < 0.001);
    assert!((fell.chance(&[0.5, 0.4, 0.7], 0.02) - 0.02 * 6.0 / 182.0).abs() < 1e-4);
}

#[test]
fn muck_is_where_the_dirt_is() {
    let worst = |worst: &[usize]| Reading::Places { worst: worst.to_vec(), of: 3 };
    let dirt = [1.0, 2.0, 3.0];
    // Squares 1, 4, 9: 9/14 first, then 4/5.
    assert!((worst(&[2, 1]).chance(&dirt, 0.0) - 9.0 / 14.0 * 0.8).abs() < 1e-12);
    let all: f64 = (0..3)
        .flat_map(|a| (0..3).map(move |b| (a, b)))
        .filter(|(a, b)| a != b)
        .map(|(a, b)| worst(&[a, b]).chance(&dirt, 0.02))
        .sum();
    assert!((all - 1.0).abs() < 1e-12, "{all}");
    assert_eq!(worst(&[0]).chance(&[0.0; 3], 0.0), 1.0 / 3.0);
}

#[test]
fn what_a_bucket_reads_and_how_well() {
    // 10 l in 62 s; a per cent of the volume, 0.7 s of the watch, a per cent of the rest.
    let flow: f64 = 10.0 / 62.0 * 3600.0;
    assert!((flow - 580.645_2).abs() < 1e-4);
    assert!((cansift::learn::reading::bucket_sd(62.0) - 0.018_096).abs() < 1e-6);
}

#[test]
fn weights_are_worth_and_as_heavy_as_published() {
    let mut weights = vec![1.0; 90];
    weights.extend([10.0; 10]);
    let logs: Vec<f64> = weights.iter().map(|w: &f64| w.ln()).collect();
    let (of, sum) = shares(&logs);
    assert!((worth(&of) - 33.119_266).abs() < 1e-6 && (sum - 190_f64.ln()).abs() < 1e-12);
    // The law's own shape, at 20,000 middles of its quantiles.
    for (k, told) in [(0.3, 0.306), (0.7, 0.693), (1.0, 0.983)] {
        let weights: Vec<f64> = (0..20_000).map(|i| ((f64::from(i) + 0.5) / 20_000.0).powf(-k)).collect();
        assert!((tail(&weights) - told).abs() < 6e-4, "{k}: {}", tail(&weights));
    }
    assert_eq!((tail(&[1.0; 1000]), tail(&[]), worth(&[])), (0.0, 0.0, 0.0));
}

#[test]
fn tempering_and_drawing_keep_their_word() {
    let logs: Vec<f64> = (0..1000).map(|i| -f64::from(i * i) / 50.0).collect();
    let (power, of) = tempered(&logs, &[0.0; 1000], 200.0);
    assert!(power > 0.0 && power < 1.0 && (worth(&of) - 200.0).abs() < 0.1, "{power} {}", worth(&of));
    assert_eq!(tempered(&[0.0; 10], &[0.0; 10], 5.0).0, 1.0);
    let rows = drawn(&[0.5, 0.25, 0.0, 0.25], 400, &mut Generator::new(1, 2));
    let count = |row| rows.iter().filter(|r| **r == row).count();
    assert_eq!([0, 1, 2, 3].map(count), [200, 100, 0, 100]);
    assert!(!rows.is_sorted(), "shuffled");
}

#[test]
fn what_is_too_sharp_is_blunted_and_said() {
    // A reading that no straight line leads to.
    let of = found(1, &[number(0.0, 1e-9)], 0.0, |z| vec![(z[0] * 40.0).sin() + z[0].abs().sqrt()]);
    let power = of.blunted.expect("too sharp");
    assert!(power < 1.0 && (of.worth - 200.0).abs() < 1.0, "{power} {}", of.worth);
}

#[test]
fn the_reading_that_contradicts_is_held_out() {
    let keys = [1, 2, 3, 4];
    let rows = Rows::first(&keys, 3, ROWS);
    // Four readings of one flow with a common error, and one of something else.
    let model = |z: &[f64]| -> Vec<f64> {
        vec![z[0] + 0.1 * z[1], z[0] + 0.1 * z[1], z[0] + 0.1 * z[1], z[0] + 0.1 * z[1], z[2]]
    };
    let figures: Vec<f64> = rows.rows().flat_map(model).collect();
    let told = |seen: [f64; 5]| agree(&seen.map(|y| number(y, 0.05)), &[0, 0, 0, 0, 1], &figures, 3);
    let fine = told([0.5, 0.52, 0.47, 0.55, -1.0]);
    assert!(fine.held.is_empty() && fine.together > 0.1, "{fine:?}");
    assert_eq!(told([0.5, 1.2, 0.47, 0.55, -1.0]).held, [1]);
    // Possible each by itself, and together: the kind that lies as far off as all of it.
    assert_eq!(told([6.0, 6.02, 5.97, 6.05, 0.0]).held, [0, 1, 2, 3]);
    assert_eq!(told([0.5, 0.52, 0.47, 0.55, 9.0]).held, [4]);
    // Two of them: one, and one of another kind.
    assert_eq!(told([0.5, 1.2, 0.47, 0.55, 9.0]).held, [1, 4]);
    let none = told([0.5, 3.0, -0.47, 12.0, 9.0]);
    assert!(none.aside && none.held.len() == 5, "{none:?}");
}

#[test]
fn the_order_of_threads_and_the_seed_alone_matter() {
    let readings = [number(1.2, 0.5), number(-0.3, 0.4)];
    let (a, b) = (found(3, &readings, 0.02, two), found(3, &readings, 0.02, two));
    assert_eq!((a.rows, a.shares), (b.rows, b.shares));
}

#[test]
fn days_are_counted_as_calendars_count_them() {
    // Seconds of Unix over 86,400 (POSIX.1, "seconds since the epoch"): 951,868,800 is 1 March 2000.
    for (text, day) in [("2000-03-01", 951_868_800 / 86_400), ("1999-12-31", 10_956), ("2026-03-01", 20_513)]
    {
        assert_eq!(Day::read(text), Some(Day(day)), "{text}");
    }
    // Every day is the one after the day before, and reads as it is written.
    for day in Day::read("1990-01-01").unwrap().0..=Day::read("2200-12-31").unwrap().0 {
        assert_eq!(Day::read(&Day(day).to_string()), Some(Day(day)));
    }
    for wrong in [
        "2026-02-29",
        "2100-02-29",
        "2026-13-01",
        "2026-00-10",
        "2026-1-1",
        "26-01-01",
        "2026-04-31",
        "",
        "-",
        "2026-03-01 ",
        "1066-10-14",
        "２０２６-03-01",
    ] {
        assert_eq!(Day::read(wrong), None, "{wrong}");
    }
}

/// Two readings with a great error in common and twenty of other things that lie where they are expected: of 22 numbers a
/// change of 3.5 spreads is nothing, of itself it is one in two thousand (normal tables: 0.000465 beyond 3.5 on both
/// sides, 0.0027 beyond 3).
#[test]
fn others_that_agree_do_not_hide_how_readings_change() {
    let keys: Vec<u64> = (1..=22).collect();
    let rows = Rows::first(&keys, 5, ROWS);
    // The second carries what changes: ±0.12, and both have ±0.05 of their own: ±0.139284 in all.
    let model = |z: &[f64]| -> Vec<f64> {
        let mut all = vec![z[0], z[0] + 0.12 * z[1]];
        all.extend(&z[2..]);
        all
    };
    let figures: Vec<f64> = rows.rows().flat_map(model).collect();
    let kinds: Vec<usize> = [0, 0].into_iter().chain(1..=20).collect();
    let told = |spreads: f64| {
        let mut readings = vec![number(0.0, 0.05), number(spreads * 0.139_284, 0.05)];
        readings.extend((0..20).map(|_| number(0.1, 0.05)));
        agree(&readings, &kinds, &figures, 5)
    };
    for changed in [3.5, -3.5] {
        let found = told(changed);
        assert!(found.together > 0.2 && found.alone.iter().all(|p| *p > 0.2), "{found:?}");
        assert!(!found.held.is_empty() && found.held.iter().all(|i| *i < 2), "{found:?}");
    }
    assert!(told(2.8).held.is_empty() && told(-2.8).held.is_empty());
}
