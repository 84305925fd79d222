//! The UV chamber: dose of one pass, what repeated passes kill, and what doses are known to do.

use std::f64::consts::LN_10;

use crate::assumptions::Checked;
use crate::biology::decay::mean_left;
use crate::biology::drawn;
use crate::simd::Real;
use crate::units::DAY;

drawn! {
    /// What a chamber does with a lamp's power, in one draw.
    Chamber {
        mixing: UvMixing,
        efficiency: UvEfficiency,
        sleeve: UvSleeve,
        transmittance: UvTransmittance,
        wear: UvWear,
        life: UvLife,
        floor: UvFloor,
    }
}

impl<L: Real> Chamber<L> {
    /// UV-C over electrical watts of a lamp of so many: `0.22 + 0.01 (W - 5)`, from 0.22 to 0.28. Catalogue figures of
    /// small compact lamps, from memory.
    pub fn share(&self, power: L) -> L {
        ((power - 5.0) * 0.01 + 0.22).clamp(0.22, 0.28) * self.efficiency
    }

    /// Output of a lamp over that of a new one after `hours` (0 up): `1 - 0.2 hours/9000`, at least 0.5: past its
    /// rated hours a lamp that still burns is told no weaker.
    pub fn age(&self, hours: L) -> L {
        (L::one() - self.wear * hours / self.life).max(self.floor)
    }

    /// Dose of one pass, mJ/cm2: `0.7 P eff 0.90 age (1 - e^-ad)/(a Q)`.
    ///
    /// `power` W, `age` from [`Self::age`], `gap` between sleeve and shell m (above 0), `flow` m3/s (above 0);
    /// `a = -ln(UVT/100)` per cm. Lamp length and radius cancel: radial light in a ring-shaped gap, mean
    /// intensity times mean stay (derived).
    pub fn dose(&self, power: L, age: L, gap: L, flow: L) -> L {
        let uv = self.mixing * power * 1e3 * self.share(power) * self.sleeve * age;
        let cm = gap * 1e2;
        let absorbed = -(self.transmittance / 100.0).ln();
        // (1 - e^-ad)/a = d (1 - e^-ad)/(ad), which stays good in clear water.
        uv * cm * mean_left(absorbed.max(L::zero()) * cm) / (flow.max(L::splat(1e-30)) * 1e6)
    }
}

/// Light path of a chamber, m: half of shell less sleeve diameter, both m. Below 0 where the two do not fit, which
/// the door refuses.
pub fn gap<L: Real>(shell: L, sleeve: L) -> L {
    (shell - sleeve) * 0.5
}

/// Kills per day over repeated passes: `(Q/V)(1 - 10^(-D/D10))`, the share of what floats in the tank that
/// dies each day (it may pass 1).
///
/// `flow` m3/s (0 up), `volume` m3 above 0, `dose` mJ/cm2 (0 up), `tenth` the dose that leaves a tenth, mJ/cm2. It
/// rises with flow and levels off: a fast flow does not undo UV in a loop. UV touches only what floats past.
/// First-order killing in a stirred tank (derived).
pub fn kills_a_day<L: Real>(flow: L, volume: L, dose: L, tenth: L) -> L {
    let x = dose / tenth * LN_10;
    flow * DAY / volume * x * mean_left(x)
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    pub what: &'static str,
    /// From this dose, mJ/cm2 ...
    pub from: f64,
    /// ... or, by strain and water, this one.
    pub to: f64,
    /// Where it comes from.
    pub source: &'static str,
    pub checked: Checked,
}

/// Bands of single-pass doses, by their upper end.
pub static BANDS: [Band; 3] = [
    Band {
        what: "E. coli, 4 log (1 in 10 000 left)",
        from: 5.0,
        to: 10.0,
        source: "Wright & Sakamoto 2001, list of reported doses, by strain",
        checked: Checked::Memory,
    },
    Band {
        what: "Giardia, 3 log (1 in 1000 left)",
        from: 11.0,
        to: 11.0,
        source: "USEPA Ultraviolet Disinfection Guidance Manual 2006, table of doses",
        checked: Checked::Read,
    },
    Band {
        what: "small soft algae: tens",
        from: 10.0,
        to: 100.0,
        source: "Malayeri et al. 2016, list of reported doses, from memory",
        checked: Checked::Memory,
    },
];

/// D10 of small soft algae, mJ/cm2, for [`kills_a_day`]; from memory of the same list.
pub const ALGAE_TENTH: f64 = 30.0;

/// What every page that shows UV says beside it.
pub const CAUTION: &str = "Never look at a lit UV-C lamp, nor run it outside its chamber. A broken lamp is mercury-bearing waste. Unplug before opening, and follow the maker's instructions.";
