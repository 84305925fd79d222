//! Ammonia: how much of it is poisonous, and how fast a ripe surface takes it.

use std::f64::consts::LN_10;

use super::drawn;
use crate::assumptions::A;
use crate::model::Role;
use crate::simd::Real;
use crate::uncertainty::Draw;
use crate::units::FREEZING;

/// The rate is told at this temperature, °C, ...
const RATE_TEMPERATURE: f64 = 20.0;
/// ... and this oxygen, mg/l.
const RATE_OXYGEN: f64 = 8.0;

/// Least ammonia nitrogen the search looks at, mg/l.
pub const LEAST_TAN: f64 = 1e-6;
/// Most, mg/l. A steady state found here means: the surface can not keep up at any concentration.
pub const MOST_TAN: f64 = 1e3;
/// The search's span shrinks to `ln(1e9)/2^44`, a relative 1.2e-12.
const HALVINGS: u32 = 44;

/// Share of ammonia nitrogen that is un-ionised (NH3): `1/(1 + 10^(pKa - pH))`,
/// `pKa = 0.09018 + 2729.92/T`.
///
/// `t` °C (0 to 50), `ph` 4 to 11, fresh water; beyond them the equilibrium goes on in the same form.
/// Source: Emerson, Russo, Lund & Thurston 1975, J. Fish. Res. Board Can. 32:2379.
pub fn un_ionised<L: Real>(t: L, ph: L) -> L {
    let pka = L::splat(2729.92) / (t + FREEZING) + 0.09018;
    // Beyond 10^±300 the share is 0 or 1 to the last digit.
    let ten_to = ((pka - ph).clamp(-300.0, 300.0) * LN_10).exp();
    L::one() / (ten_to + 1.0)
}

drawn! {
    /// What a square metre of ripe surface can do.
    Surface {
        max: NitrifyingRate,
        half: NitrifyingHalf,
        theta: NitrifyingTheta,
        oxygen_half: OxygenHalf,
    }
}

impl<L: Real> Surface<L> {
    /// How the surface acts on water near `tan`, m a day. Times `tan` it is the rate, g N/m2 a day:
    /// `max theta^(t-20) S/(half + S) fDO`, `fDO = [DO/(Ko + DO)]/[8/(Ko + 8)]`.
    ///
    /// `tan` mg/l (0 to 5), `t` °C (14 to 27 in the source for theta), `oxygen` mg/l (0 up); the form goes on
    /// beyond them, less and less to be trusted.
    /// Source: Monod's form; theta from Zhu & Chen 2002, Aquacult. Eng. 26:221; the other constants from
    /// memory. Never feed it a farm figure measured at 1 to 2 mg/l.
    pub fn first_order(&self, tan: L, t: L, oxygen: L) -> L {
        let warmth = self.theta.powf(t - RATE_TEMPERATURE);
        let breath = oxygen / (self.oxygen_half + oxygen) * (self.oxygen_half + RATE_OXYGEN) / RATE_OXYGEN;
        self.max * warmth * breath / (self.half + tan)
    }
}

/// Surface open to a biofilm, m2: `surface` m2 per m3 of bed, `bed` m3, times the colonised outer shell
/// of open-pored grains (`shell`, 1 for the rest) and what dirt leaves of it (`fouling`, 1 for clean layers).
/// Never an area by nitrogen adsorption: no bacterium enters those pores. All from 0 up, the factors to 1.
pub fn accessible<L: Real>(surface: L, bed: L, shell: L, fouling: L) -> L {
    surface * bed * shell * fouling
}

/// The shell factor of a medium: `A::ShellFactor` for open-pored grains, else 1. Ours, weak.
pub fn shell<L: Real>(open_pored: bool, draw: &dyn Draw<L>) -> L {
    if open_pored { draw.constant(A::ShellFactor) } else { L::one() }
}

/// Does a layer foul? Layers that catch dirt do (settlement to fine), and so does a biological one that no
/// mechanical layer (coarse to polishing) stands before. Polishing pads are thrown away: see [`is_kept`].
/// Source: Zhu & Chen 2001 for films under organic load, from memory.
pub fn is_fouled(role: Role, mechanical_before: bool) -> bool {
    match role {
        Role::Settlement | Role::Coarse | Role::Medium | Role::Fine => true,
        Role::Biological => !mechanical_before,
        Role::Chemical | Role::Polishing => false,
    }
}

/// Does a layer stay long enough to ripen? Polishing pads are thrown away.
pub fn is_kept(role: Role) -> bool {
    role != Role::Polishing
}

/// Ammonia nitrogen at which the capacity is told, mg/l: `min(kit, guide/f_NH3)`, what a kit can still tell from
/// nothing (`A::AimTan`), or the guide for the un-ionised share (`A::GuideAmmonia`). `t` °C, `ph` as [`un_ionised`].
pub fn told_at<L: Real>(t: L, ph: L, draw: &dyn Draw<L>) -> L {
    draw.constant(A::AimTan).min(draw.constant(A::GuideAmmonia) / un_ionised(t, ph))
}

/// Surface of the tank itself that nitrifies, m2: `1.5 V^(2/3)`, `volume` m3. Ours.
pub fn own_surface<L: Real>(volume: L, draw: &dyn Draw<L>) -> L {
    draw.constant(A::OwnSurface) * volume.powf(L::splat(2.0 / 3.0))
}

/// The fouling factor of a layer: `A::FoulingFactor` where it fouls, else 1. Source as [`is_fouled`].
pub fn fouling<L: Real>(fouled: bool, draw: &dyn Draw<L>) -> L {
    if fouled { draw.constant(A::FoulingFactor) } else { L::one() }
}

/// The tank's steady ammonia nitrogen, mg/l, where `removal` equals `load`, by halving in the logarithm
/// (a balance of mass, derived).
///
/// `load` g N a day (0 up); `removal` g N a day at a concentration in mg/l, rising in it. 0 where the load
/// is 0; [`MOST_TAN`] where the removal never reaches the load.
pub fn steady_tan<L: Real>(load: L, removal: impl Fn(L) -> L) -> L {
    let (mut low, mut high) = (L::splat(LEAST_TAN.ln()), L::splat(MOST_TAN.ln()));
    for _ in 0..HALVINGS {
        let middle = (low + high) * 0.5;
        let short = removal(middle.exp()).lt(load);
        low = L::select(short, middle, low);
        high = L::select(short, high, middle);
    }
    L::select(load.gt(L::zero()), ((low + high) * 0.5).exp(), L::zero())
}
