//! To come: vessel.
