//! To come: rank.
