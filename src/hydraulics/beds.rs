//! To come: beds.
