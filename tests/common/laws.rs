//! Laws as tables and textbooks give them, put together from the program's own.

use cansift::biology::decay::mean_left;
use cansift::biology::nitrifying::Surface;
use cansift::hydraulics::Loss;
use cansift::hydraulics::friction::Heads;
use cansift::hydraulics::friction::{Bore, OverLaminar, over_laminar};
use cansift::hydraulics::water::Water;
use cansift::simd::Real;

/// A Darcy friction factor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Friction<L> {
    /// The factor `f` in `dp = f L/D rho v2/2`.
    pub factor: L,
    /// Its slope over the Reynolds number.
    pub gradient: L,
}

/// The Darcy factor of [`over_laminar`]; below 1e-100 it stays finite.
pub fn churchill<L: Real>(re: L, relative_roughness: L) -> Friction<L> {
    let OverLaminar { ratio, gradient } = over_laminar(re, relative_roughness);
    let inverse = L::one() / re.max(L::splat(1e-100));
    let laminar = inverse * 64.0;
    Friction { factor: laminar * ratio, gradient: laminar * (gradient - ratio * inverse) }
}

/// A straight pipe or hose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pipe<L> {
    /// Inside diameter, m.
    pub bore: L,
    /// Length, m.
    pub length: L,
    /// Roughness over bore.
    pub relative_roughness: L,
    /// Least Darcy factor of a ribbed wall, its factor of doubt included; see `ribbed`.
    pub rib: Option<L>,
}

impl<L: Real> Pipe<L> {
    /// Darcy–Weisbach loss at a flow, m3/s: odd, rising, exactly `128 mu L q/(pi D4)` in laminar flow.
    pub fn at(&self, q: L, water: &Water<L>) -> Loss<L> {
        let bore = self.filled(water);
        let (_, own) = bore.over_laminar(q);
        bore.friction(q, &own, self.length / self.bore)
    }
    /// The Darcy factor at a flow, m3/s; very large, yet finite, at no flow.
    pub fn factor(&self, q: L, water: &Water<L>) -> L {
        let bore = self.filled(water);
        let (_, own) = bore.over_laminar(q);
        own.ratio * 64.0 / (bore.reynolds * q.abs()).max(L::splat(1e-100))
    }
    fn filled(&self, water: &Water<L>) -> Bore<L> {
        Bore::new(self.bore, self.relative_roughness, self.rib, water)
    }
}

/// The coefficient K, a bare number, at a Darcy factor and a Reynolds number above 0 of its bore.
pub fn coefficient<L: Real>(heads: &Heads<L>, factor: L, re: L) -> L {
    heads.friction * factor + heads.per_re / re + heads.fixed
}

/// What a surface nitrifies, g N/m2 a day: Monod's form.
pub fn rate<L: Real>(surface: &Surface<L>, tan: L, t: L, oxygen: L) -> L {
    surface.first_order(tan, t, oxygen) * tan
}

/// Nitrogen taken in one pass through a layer, g N a day: `q S (1 - exp(-k1 A/q))`, first-order plug flow (textbook).
///
/// `flow` m3 a day, `tan` mg/l entering, `k1` m a day, `area` m2. It rises with flow to `k1 A S`.
pub fn one_pass<L: Real>(flow: L, tan: L, k1: L, area: L) -> L {
    let reach = k1 * area;
    tan * reach * mean_left(reach / flow.max(L::splat(1e-30)))
}
