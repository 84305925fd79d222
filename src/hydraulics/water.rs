//! To come: water.
