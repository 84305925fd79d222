//! To come: nitrate.
