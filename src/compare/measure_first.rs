//! To come: measure_first.
