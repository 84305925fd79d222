//! Which nodes the passages join, and the order of elimination that follows from it.

// Loops over arrays whose indices the graph made itself; a slip is a test failure, not a user's.
#![allow(clippy::indexing_slicing)]

/// Which nodes the passages join, and the order of elimination that follows. The same for every draw.
#[derive(Clone, Debug, PartialEq)]
pub struct Graph {
    pub(super) nodes: usize,
    pub(super) passages: Vec<(u16, u16)>,
    /// For each passage, the slot of its off-diagonal entry; none when one end is node 0.
    pub(super) slots: Vec<Option<u16>>,
    pub(super) pivots: Vec<Pivot>,
    pub(super) slot_count: usize,
}

/// What eliminating one node touches: entries of its row, and where their products go.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Pivot {
    /// (slot, node) of each later neighbour.
    pub(super) row: Vec<(u16, u16)>,
    /// For i < j of the row: slot of the entry between those neighbours, row by row.
    pub(super) fill: Vec<u16>,
}

impl Graph {
    /// A graph of `nodes` nodes; node 0 is the reference, at head 0. Each passage runs from, to. Nodes are
    /// eliminated in number order, so neighbours should have near numbers.
    pub fn new(nodes: usize, passages: Vec<(u16, u16)>) -> Self {
        let n = nodes;
        let mut linked = vec![false; n * n];
        for &(i, j) in &passages {
            let (i, j) = (usize::from(i), usize::from(j));
            if i != 0 && j != 0 && i != j {
                linked[i * n + j] = true;
                linked[j * n + i] = true;
            }
        }
        let mut slot_of = vec![None; n * n];
        let mut slot_count = 0;
        let mut rows: Vec<Vec<(u16, u16)>> = vec![Vec::new(); n];
        for k in 1..n {
            let later: Vec<usize> = (k + 1..n).filter(|j| linked[k * n + j]).collect();
            for &i in &later {
                for &j in &later {
                    if i != j {
                        linked[i * n + j] = true;
                    }
                }
            }
            for &j in &later {
                slot_of[k * n + j] = Some(slot_count as u16);
                slot_of[j * n + k] = Some(slot_count as u16);
                rows[k].push((slot_count as u16, j as u16));
                slot_count += 1;
            }
        }
        let pivots = rows
            .into_iter()
            .map(|row| {
                let mut fill = Vec::new();
                for (at, &(_, i)) in row.iter().enumerate() {
                    for &(_, j) in &row[at + 1..] {
                        fill.push(slot_of[usize::from(i) * n + usize::from(j)].unwrap_or(0));
                    }
                }
                Pivot { row, fill }
            })
            .collect();
        let slots = passages.iter().map(|&(i, j)| slot_of[usize::from(i) * n + usize::from(j)]).collect();
        Self { nodes, passages, slots, pivots, slot_count }
    }

    pub fn passages(&self) -> &[(u16, u16)] {
        &self.passages
    }
}
