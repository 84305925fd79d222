//! To come: load.
