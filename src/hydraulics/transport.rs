//! Who crosses what: a share (of untreated water, of dirt, of ammonia) carried along the solved network.
//!
//! From the inlet, at 1, along the flow. A passage lets a part through (`penetration`); nodes mix by flow. Where
//! two layers touch, water at the rim partly stays at the rim: of the lesser of rim water in and rim water
//! out a share `carry_over` goes straight on, the rest mixes.

// Hot loop over arrays whose indices the plan made itself.
#![allow(clippy::indexing_slicing)]

use crate::simd::Real;

/// The nodes in the order the water meets them.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Walk {
    /// In order, the inlet first; the last is where the pump draws.
    pub stops: Vec<Stop>,
}

#[derive(Clone, Debug, PartialEq, Default)]
pub struct Stop {
    /// Passages that bring water; none for the inlet.
    pub arriving: Vec<u16>,
    /// Passages that take it on; none for the last.
    pub leaving: Vec<u16>,
    /// Rim of the layer before and rim of the layer after, where the two layers touch.
    pub rim: Option<(u16, u16)>,
    /// The settlement space lies here: part of what comes is kept before it goes on.
    pub settles: bool,
}

/// Shares carried along: what enters each passage.
#[derive(Clone, Debug, Default)]
pub struct Carried<L> {
    /// Share of what the inlet had, entering each passage.
    pub entering: Vec<L>,
    /// What arrives where dirt settles, as share times flow.
    pub settling: L,
    /// Share at the pump.
    pub at_pump: L,
}

impl<L: Real> Carried<L> {
    pub fn new(passages: usize) -> Self {
        Self { entering: vec![L::zero(); passages], settling: L::zero(), at_pump: L::zero() }
    }
}

/// Carries a share along. `penetration` is the part that each passage lets through, `settled` the part of what
/// arrives at the settlement space that stays there.
pub fn carry<L: Real>(
    walk: &Walk,
    flows: &[L],
    penetration: &[L],
    carry_over: L,
    settled: L,
    out: &mut Carried<L>,
) {
    let nothing = L::splat(1e-30);
    for stop in &walk.stops {
        let (mut water, mut share) = (L::zero(), L::zero());
        for &p in &stop.arriving {
            let p = usize::from(p);
            // What hardly flows may run backward by the solver's last digits.
            let flow = flows[p].max(L::zero());
            water += flow;
            share += flow * out.entering[p] * penetration[p];
        }
        let mut mixed = if stop.arriving.is_empty() { L::one() } else { share / water.max(nothing) };
        if stop.settles {
            // At the inlet itself nothing has arrived by a passage: all the water is what leaves.
            let through = if stop.arriving.is_empty() { leaving(stop, flows) } else { water };
            out.settling = mixed * through;
            mixed *= L::one() - settled;
        }
        if let Some((rim_in, rim_out)) = stop.rim {
            let (i, o) = (usize::from(rim_in), usize::from(rim_out));
            let straight = flows[i].min(flows[o]).max(L::zero()) * carry_over;
            let at_rim = out.entering[i] * penetration[i];
            let rest = (share - straight * at_rim) / (water - straight).max(nothing);
            for &p in &stop.leaving {
                out.entering[usize::from(p)] = rest;
            }
            let leaves = flows[o].max(nothing);
            out.entering[o] = (straight * at_rim + (leaves - straight) * rest) / leaves;
        } else {
            for &p in &stop.leaving {
                out.entering[usize::from(p)] = mixed;
            }
        }
        if stop.leaving.is_empty() {
            out.at_pump = mixed;
        }
    }
}

fn leaving<L: Real>(stop: &Stop, flows: &[L]) -> L {
    stop.leaving.iter().fold(L::zero(), |sum, &p| sum + flows[usize::from(p)])
}
