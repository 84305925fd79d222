//! Small dense matrices as lists of rows: Cholesky's factor and what is solved with it.

pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

/// A lower triangle whose product with itself turned is a symmetric matrix: row `i` has `i + 1` numbers.
pub(super) struct Factor(Vec<Vec<f64>>);

impl Factor {
    /// Of a matrix of which only the lower triangle is looked at; none where it is not positive definite.
    pub(super) fn of(matrix: &[Vec<f64>]) -> Option<Self> {
        let mut done: Vec<Vec<f64>> = Vec::with_capacity(matrix.len());
        for row in matrix {
            let mut new = Vec::with_capacity(done.len() + 1);
            for (before, x) in done.iter().zip(row) {
                // Of the row before only as much as there is of the new one.
                let diagonal = before.last()?;
                new.push((x - dot(&new, before)) / diagonal);
            }
            let square = row.get(done.len())? - dot(&new, &new);
            if !square.is_finite() || square <= 0.0 {
                return None;
            }
            new.push(square.sqrt());
            done.push(new);
        }
        Some(Self(done))
    }

    /// The factor's own solution, of `L y = b`.
    pub(super) fn forward(&self, b: &[f64]) -> Vec<f64> {
        let mut y: Vec<f64> = Vec::with_capacity(b.len());
        for (row, b) in self.0.iter().zip(b) {
            let rest = b - dot(&y, row);
            y.push(rest / row.last().copied().unwrap_or(1.0));
        }
        y
    }

    pub(super) fn solve(&self, b: &[f64]) -> Vec<f64> {
        let (mut rest, mut x) = (self.forward(b), Vec::with_capacity(b.len()));
        for row in self.0.iter().rev() {
            let (Some(top), Some(diagonal)) = (rest.pop(), row.last()) else { break };
            let found = top / diagonal;
            for (r, c) in rest.iter_mut().zip(row) {
                *r -= c * found;
            }
            x.push(found);
        }
        x.reverse();
        x
    }

    pub(super) fn inverse(&self) -> Vec<Vec<f64>> {
        let unit = |i| (0..self.0.len()).map(|j| f64::from(u8::from(i == j))).collect::<Vec<f64>>();
        (0..self.0.len()).map(|i| self.solve(&unit(i))).collect()
    }

    pub(super) fn ln_det(&self) -> f64 {
        self.0.iter().filter_map(|row| row.last()).map(|x| 2.0 * libm::log(*x)).sum()
    }
}
