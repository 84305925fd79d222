//! Water as the laws see it.

/// Density and viscosity of the tank's water.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Water<L> {
    /// kg/m3.
    pub density: L,
    /// Dynamic viscosity, Pa s.
    pub viscosity: L,
}
