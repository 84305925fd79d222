//! Density and viscosity of fresh water at one atmosphere.

use crate::simd::{Real, lanes};

/// What a law needs to know of the water.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Water<L> {
    /// Density, kg/m3.
    pub density: L,
    /// Dynamic viscosity, Pa s.
    pub viscosity: L,
}

lanes! { Water { density, viscosity } }

/// Fresh water at a temperature in °C: [`density`] and [`viscosity`], with their ranges and sources. Salt is left
/// out.
pub fn water<L: Real>(celsius: L) -> Water<L> {
    Water { density: density(celsius), viscosity: viscosity(celsius) }
}

/// Density, kg/m3, of air-free fresh water from 0 to 150 °C: a quintic in `t` °C over `1 + 16.879850e-3 t`. Not
/// held to that range, which the door keeps.
///
/// Kell, J. Chem. Eng. Data 20 (1975) 97.
pub fn density<L: Real>(celsius: L) -> L {
    let t = celsius;
    let above = ((((t * -280.542_53e-12 + 105.563_02e-9) * t - 46.170_461e-6) * t - 7.987_040_1e-3) * t
        + 16.945_176)
        * t
        + 999.839_52;
    above / (t * 16.879_850e-3 + 1.0)
}

/// Dynamic viscosity, Pa s, of liquid water at one bar from -20 to 110 °C.
///
/// IAPWS SR6-08(2011): `280.68 x^-1.9 + 511.45 x^-7.7 + 61.131 x^-19.6 + 0.45903 x^-40` µPa s, `x = T/(300 K)`.
/// Not held to that range, which the door keeps.
pub fn viscosity<L: Real>(celsius: L) -> L {
    let x = ((celsius + 273.15) / 300.0).ln();
    let term = |factor: f64, power: f64| (x * power).exp() * factor;
    (term(280.68, -1.9) + term(511.45, -7.7) + term(61.131, -19.6) + term(0.459_03, -40.0)) * 1e-6
}
