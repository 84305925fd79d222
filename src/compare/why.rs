//! To come: why.
