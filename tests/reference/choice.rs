//! Better, why, ranking and what to measure first, against textbook games and closed forms.

use std::sync::Arc;

use cansift::compare::better::odds;
use cansift::compare::rank::{Chances, Ranking, rank};
use cansift::compare::shapley::{Group, why};
use cansift::compare::utility::{Criterion, Ends, Worth};
use cansift::compare::value_of_information::gains;
use cansift::measures::{Better, Measure};
use cansift::uncertainty::generator::Generator;
use cansift::uncertainty::key::Key;
use cansift::uncertainty::sampling::Draws;

/// The Shapley shares of a game whose players are the bits.
fn shares(players: usize, game: impl FnMut(u32) -> f64) -> Vec<f64> {
    let groups = (0..players).map(|i| Group::new(&format!("group {i}"), 1 << i)).collect();
    why(groups, game).unwrap().shares.into_iter().map(|s| s.amount).collect()
}

fn all(chances: &Chances) -> Vec<f64> {
    chances.all()
}

fn near(a: &[f64], b: &[f64], within: f64) {
    assert_eq!(a.len(), b.len());
    assert!(a.iter().zip(b).all(|(x, y)| (x - y).abs() < within), "{a:?} is not {b:?}");
}

/// The glove game with two left gloves and one right one: 1/6, 1/6, 2/3, as in most texts on cooperative games
/// (from memory).
#[test]
fn glove_game() {
    let pair = |s: u32| f64::from(u8::from(s & 0b100 != 0 && s & 0b011 != 0));
    near(&shares(3, pair), &[1.0 / 6.0, 1.0 / 6.0, 2.0 / 3.0], 1e-15);
}

/// The airport game (Littlechild and Owen 1973, Management Science 20): a runway costs what the largest plane
/// needs, and each stretch is shared evenly by those who need it. Costs 8, 11, 13, 18 give 2, 3, 4, 9 (the example
/// usual in texts, from memory; 8/4, +3/3, +2/2, +5 by hand).
#[test]
fn airport_game() {
    let costs = [8.0, 11.0, 13.0, 18.0];
    let runway = |s: u32| (0..4).filter(|i| s >> i & 1 == 1).map(|i| costs[i]).fold(0.0, f64::max);
    near(&shares(4, runway), &[2.0, 3.0, 4.0, 9.0], 1e-12);
}

/// Shapley's axioms on random games: shares add up, equal players get equal shares, a player that adds nothing
/// gets nothing, and the shares of a sum of games are the sums of the shares.
#[test]
fn a_thousand_random_games_keep_the_axioms() {
    let mut g = Generator::new(1, 2);
    for round in 0..1000 {
        let n = 1 + round % 8;
        let scale = 10.0_f64.powi(i32::try_from(round % 5).unwrap());
        let mut random = || -> Vec<f64> { (0..1 << n).map(|_| scale * (g.unit() - 0.3)).collect() };
        let (v, w) = (random(), random());
        let told = shares(n, |s| v[s as usize]);
        assert!((told.iter().sum::<f64>() - (v[v.len() - 1] - v[0])).abs() < 1e-9);
        let sum = shares(n, |s| v[s as usize] + w[s as usize]);
        let other = shares(n, |s| w[s as usize]);
        near(&sum, &told.iter().zip(&other).map(|(a, b)| a + b).collect::<Vec<_>>(), 1e-9);
        if n >= 2 {
            // Players 0 and 1 made interchangeable: the coalition with one of them counts as that with player 0.
            let alike = shares(n, |s| v[if s & 3 == 2 { s ^ 3 } else { s } as usize]);
            assert!((alike[0] - alike[1]).abs() < 1e-9);
            let idle = shares(n, |s| v[(s & !2) as usize]);
            assert_eq!(idle[1], 0.0);
        }
    }
}

fn two_criteria() -> Vec<Criterion> {
    let unit = Some(Ends::new(0.0, 1.0, Better::More));
    [Measure::Flow, Measure::Media]
        .into_iter()
        .map(|measure| Criterion { measure, weight: 1.0, ends: unit, aim: None })
        .collect()
}

fn ranked(nominal: &[Vec<f64>], draws: &[Vec<&[f64]>], weights: &[f64]) -> Ranking {
    rank(&Worth::new(&two_criteria(), nominal, draws), weights, 1)
}

/// Two alternatives, two criteria, by hand. Without doubt: A (0.9, 0.1) beats B (0.3, 0.4) where the first weight
/// is above 1/3, so with weights even on the simplex A is first in 2/3. With doubt: A's score even on 0 to 1
/// against B's fixed 1/4 is first in 3/4, exactly by the strata.
#[test]
fn rank_shares_of_two_alternatives_by_hand() {
    let (low, high) = (vec![0.3; 20_000], vec![0.9; 20_000]);
    let told =
        ranked(&[vec![0.9, 0.1], vec![0.3, 0.4]], &[vec![&high, &[0.1]], vec![&low, &[0.4]]], &[1.0, 1.0]);
    assert_eq!(all(&told.builds[0].ranks), [1.0, 0.0]);
    assert_eq!(told.order, [0, 1]);
    // Sd of the share is 0.0033.
    assert!((told.builds[0].first_any_weights - 2.0 / 3.0).abs() < 0.015);
    near(&[told.builds[0].score, told.builds[1].score], &[0.5, 0.35], 1e-12);

    let even = Draws::new(512, 4).uniforms(&Key::named("a"));
    let told = ranked(
        &[vec![0.5, 0.0], vec![0.25, 0.0]],
        &[vec![&even, &[0.0]], vec![&[0.25], &[0.0]]],
        &[1.0, 0.0],
    );
    assert_eq!(all(&told.builds[0].ranks), [0.75, 0.25]);
    assert_eq!(all(&told.builds[1].ranks), [0.25, 0.75]);
    assert_eq!((told.builds[0].range, told.builds[1].range), ((1, 2), (1, 2)));
    // Only one criterion counts: any weights at all are those.
    let firsts: Vec<f64> = told.builds.iter().map(|build| build.first_any_weights).collect();
    assert_eq!(firsts, [0.75, 0.25]);
    near(&[told.builds[0].mean], &[0.5], 1e-3);
}

#[test]
fn identical_builds_share_their_ranks_evenly() {
    let a = Draws::new(512, 4).uniforms(&Key::named("a"));
    let worst = [0.0];
    let column: Vec<&[f64]> = vec![&a, &a];
    let told = ranked(
        &[vec![0.5, 0.5], vec![0.5, 0.5], vec![0.0, 0.0]],
        &[column.clone(), column, vec![&worst, &worst]],
        &[1.0, 2.0],
    );
    for build in &told.builds[..2] {
        near(&all(&build.ranks), &[0.5, 0.5, 0.0], 1e-12);
        near(&[build.first_any_weights], &[0.5], 1e-12);
    }
    near(&[told.builds[2].first_any_weights], &[0.0], 1e-12);
    near(&all(&told.builds[2].ranks), &[0.0, 0.0, 1.0], 1e-12);
    let same = odds(&a, &a, Better::More, None).unwrap();
    assert_eq!((same.chance, same.better), (0.5, None));
    // Without draws the nominal scores stand alone.
    let told = ranked(&[vec![0.2, 0.9], vec![0.9, 0.2]], &[vec![], vec![]], &[1.0, 3.0]);
    assert_eq!(all(&told.builds[0].ranks), [1.0, 0.0]);
    assert!((told.builds[0].first_any_weights - 0.5).abs() < 0.1);
    assert_eq!(told, ranked(&[vec![0.2, 0.9], vec![0.9, 0.2]], &[vec![], vec![]], &[1.0, 3.0]));
}

/// Chances of two normals with a common part, closed form: A − B normal with mean 1 and sd 1 gives Φ(1).
#[test]
fn the_chance_of_being_better_is_that_of_the_difference() {
    let draws = Draws::new(4096, 8);
    let [shared, own] = ["shared", "own"].map(|name| draws.normals(&Key::named(name)));
    let a: Vec<f64> = shared.iter().zip(own.iter()).map(|(s, o)| 10.0 + 50.0 * s + o).collect();
    let b: Vec<f64> = shared.iter().map(|s| 9.0 + 50.0 * s).collect();
    let told = odds(&a, &b, Better::More, None).unwrap();
    assert!((told.chance - 0.841_345).abs() < 1.0 / 2048.0 && told.better.is_some());
    let other = odds(&a, &b, Better::Less, None).unwrap();
    assert!((other.chance - 0.158_655).abs() < 1.0 / 2048.0);
}

/// Expected gain of knowing Z before choosing between 0 and μ + σZ: σ φ(μ/σ) + μ Φ(μ/σ) − max(0, μ) (unit normal
/// loss, Raiffa and Schlaifer 1961). φ and Φ by hand: at 0.5, 0.352065 and 0.691462; at 0, 0.398942 and 0.5.
#[test]
fn knowing_a_normal_figure_gains_the_closed_form() {
    let n = 16_384;
    let draws = Draws::new(n, 6);
    let [key, idle] = ["x/trays/1/seal", "x/hose/bore"].map(Key::named);
    let columns: Vec<(Key, Arc<[f64]>)> =
        [&key, &idle].into_iter().map(|k| (k.clone(), draws.uniforms(k))).collect();
    let [z, noise] = [key.clone(), Key::named("noise")].map(|k| draws.normals(&k));
    for (mu, sigma, density, below) in
        [(0.05, 0.1, 0.352_065, 0.691_462), (-0.05, 0.1, 0.352_065, 0.308_538), (1e-9, 0.2, 0.398_942, 0.5)]
    {
        let first = vec![0.3; n];
        let second: Vec<f64> =
            z.iter().zip(noise.iter()).map(|(z, e)| 0.3 + mu + sigma * z + 0.02 * e).collect();
        let told = gains(&[&first, &second], &columns, |_| vec![true; 2], 1);
        let closed = sigma * density + mu * below - f64::max(0.0, mu);
        assert_eq!(told[0].key, key);
        // Bins lose a little at the border of the choice; 20 shuffles leave chance of about 1e-3 σ.
        assert!((told[0].gain - closed).abs() < 0.012 * sigma, "{mu}: {} {closed}", told[0].gain);
        assert!(told[0].clear && told[1].gain.abs() < 0.01 * sigma);
        // The choice changes where Z passes −μ/σ on the other side, to a bin's width.
        let change = if mu > 0.0 { 1.0 - below } else { below };
        assert!((told[0].changes - change).abs() < 1.0 / 16.0, "{} {change}", told[0].changes);
        assert_eq!(told, gains(&[&first, &second], &columns, |_| vec![true; 2], 1));
    }
}
