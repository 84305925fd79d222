//! To come: fittings.
