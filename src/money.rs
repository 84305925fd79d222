//! To come: money.
