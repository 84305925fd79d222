//! Labels beside a drawing: each as near to its place as the others allow.

/// A label in a column: where its middle would like to be, and how high it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wish {
    pub at: f64,
    pub height: f64,
}

/// Middles for the labels, in their order, so that none overlaps another or starts above `top`. Labels in a
/// run that touch share the way they are pushed, so the whole stays as near as it can.
pub fn apart(wishes: &[Wish], top: f64) -> Vec<f64> {
    // Each run: its first label, how many, height, and the sum of the places its top would like.
    struct Run {
        from: usize,
        count: usize,
        height: f64,
        likes: f64,
    }
    impl Run {
        fn top(&self, limit: f64) -> f64 {
            (self.likes / self.count as f64).max(limit)
        }
    }
    let mut order: Vec<usize> = (0..wishes.len()).collect();
    let wish = |i: usize| wishes.get(i).copied().unwrap_or(Wish { at: 0.0, height: 0.0 });
    order.sort_by(|a, b| wish(*a).at.total_cmp(&wish(*b).at));
    let mut runs: Vec<Run> = Vec::new();
    for (n, &i) in order.iter().enumerate() {
        let one = wish(i);
        let mut run = Run { from: n, count: 1, height: one.height, likes: one.at - one.height / 2.0 };
        while let Some(above) = runs.last() {
            if above.top(top) + above.height <= run.top(top) {
                break;
            }
            run.likes += above.likes - above.height * run.count as f64;
            run.from = above.from;
            run.count += above.count;
            run.height += above.height;
            runs.pop();
        }
        runs.push(run);
    }
    let mut out = vec![0.0; wishes.len()];
    for run in runs {
        let mut at = run.top(top);
        for &i in order.iter().skip(run.from).take(run.count) {
            let height = wish(i).height;
            if let Some(slot) = out.get_mut(i) {
                *slot = at + height / 2.0;
            }
            at += height;
        }
    }
    out
}
