//! To come: better.
