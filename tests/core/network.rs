//! The method on networks whose answer is known.

// The method on networks whose answer is known.

use cansift::hydraulics::network::*;
use cansift::hydraulics::{Loss, QuadraticLoss};
use cansift::simd::F64x8;
use cansift::simd::Real;

/// Three quadratic passages side by side from a driven node: flows must equal the closed form.
#[test]
fn passages_side_by_side_share_as_the_closed_form_says() {
    // 0 -> 1 driven by -1000 Pa + 1e6 q; 1 -> 0 by three laws.
    let graph = Graph::new(2, vec![(0, 1), (1, 0), (1, 0), (1, 0)]);
    let laws = [
        QuadraticLoss { a: 1e5, b: 1e9 },
        QuadraticLoss { a: 1e6, b: 0.0 },
        QuadraticLoss { a: 1e3, b: 5e10 },
    ];
    let mut net = Network::<f64>::new(&graph);
    net.set_offset(0, -1000.0, 1e6);
    for (p, law) in laws.into_iter().enumerate() {
        net.set(p + 1, law);
    }
    let status = net.solve(&graph, &mut AllQuadratic, Tolerance::FULL);
    assert!(status.solved, "{status:?}");
    let drop = net.head(1);
    for (p, law) in laws.into_iter().enumerate() {
        assert!((net.flow(p + 1) / law.flow(drop) - 1.0).abs() < 1e-9);
    }
    assert!((1000.0 - 1e6 * net.flow(0) - drop).abs() < 1e-9 * drop);
    assert!(net.imbalance(&graph) < 1e-12);
    assert!(net.residual(&graph, &mut AllQuadratic) < 1e-9);
}

/// No passage but quadratic ones.
struct AllQuadratic;
impl<L: Real> Curved<L> for AllQuadratic {
    fn at(&mut self, _: usize, _: L) -> Loss<L> {
        Loss::none()
    }
}

struct Power;
impl<L: Real> Curved<L> for Power {
    fn at(&mut self, _: usize, q: L) -> Loss<L> {
        // -1000 Pa + 2e9 q^1.8
        let size = q.abs().powf(L::splat(0.8));
        Loss { loss: size * q * 2e9 - 1000.0, gradient: size * (1.8 * 2e9) }
    }
}

#[test]
fn a_curved_passage_is_solved_to_its_own_law_in_any_lane() {
    let graph = Graph::new(3, vec![(0, 1), (1, 2), (2, 0), (1, 0)]);
    let build = |net: &mut Network<f64>| {
        net.set_curved(0, 1e-4);
        net.set(1, QuadraticLoss { a: 1e5, b: 1e9 });
        net.set(2, QuadraticLoss { a: 1e4, b: 1e8 });
        net.set(3, QuadraticLoss { a: 1e7, b: 1e12 });
    };
    let mut one = Network::<f64>::new(&graph);
    build(&mut one);
    assert!(one.solve(&graph, &mut Power, Tolerance::FULL).solved);
    assert!(one.residual(&graph, &mut Power) < 1e-9);
    let mut eight = Network::<F64x8>::new(&graph);
    eight.set_curved(0, F64x8::splat(1e-4));
    for (p, (a, b)) in [(1e5, 1e9), (1e4, 1e8), (1e7, 1e12)].into_iter().enumerate() {
        eight.set(p + 1, QuadraticLoss { a: F64x8::splat(a), b: F64x8::splat(b) });
    }
    assert!(F64x8::all(eight.solve(&graph, &mut Power, Tolerance::FULL).solved));
    for p in 0..4 {
        assert!((eight.flow(p).draw(5) / one.flow(p) - 1.0).abs() < 1e-11);
    }
}

#[test]
fn elimination_keeps_fill_between_late_neighbours() {
    // A ladder with a long rung: solved heads must match a plain dense solve of the same conductances.
    let links = vec![(0, 1), (1, 2), (2, 3), (3, 4), (4, 0), (1, 4), (2, 4), (3, 0), (1, 3)];
    let graph = Graph::new(5, links.clone());
    let mut net = Network::<f64>::new(&graph);
    net.set_offset(0, -50.0, 3.0);
    for p in 1..links.len() {
        net.set_offset(p, 0.0, 1.0 + p as f64);
    }
    net.solve(&graph, &mut AllQuadratic, Tolerance::FULL);
    let mut balance = [0.0; 5];
    for (p, &(i, j)) in links.iter().enumerate() {
        let drop = net.head(i as usize) - net.head(j as usize);
        let (c, a) = if p == 0 { (-50.0, 3.0) } else { (0.0, 1.0 + p as f64) };
        let q = (drop - c) / a;
        assert!((q - net.flow(p)).abs() < 1e-12);
        balance[i as usize] -= q;
        balance[j as usize] += q;
    }
    assert!(balance.iter().all(|b| b.abs() < 1e-12), "{balance:?}");
}

#[test]
fn the_answer_to_water_put_in_is_the_slope_of_the_head() {
    // Two ways of two passages each with a cross link, driven at node 1.
    let graph = Graph::new(4, vec![(0, 1), (1, 2), (1, 3), (2, 3), (2, 0), (0, 3)]);
    let head = |flow: f64| {
        let mut net = Network::<f64>::new(&graph);
        net.set_offset(0, -1e15 * flow, 1e15);
        let laws = [(1e5, 1e9), (1e6, 5e9), (2e5, 1e8), (1e4, 7e9), (3e5, 2e9)];
        for (p, (a, b)) in laws.into_iter().enumerate() {
            net.set(p + 1, QuadraticLoss { a, b });
        }
        assert!(net.solve(&graph, &mut AllQuadratic, Tolerance::FULL).solved);
        let head = net.head(1);
        (head, net.answer(&graph, 1))
    };
    for flow in [1e-6, 1e-4, 1e-3] {
        let step = flow * 1e-3;
        let ((less, _), (_, gradient), (more, _)) = (head(flow - step), head(flow), head(flow + step));
        assert!(((more - less) / (2.0 * step) / gradient - 1.0).abs() < 1e-6, "gradient at {flow}");
    }
}
