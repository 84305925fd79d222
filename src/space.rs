//! To come: space.
