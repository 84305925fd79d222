//! To come: hoses.
