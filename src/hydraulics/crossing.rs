//! To come: crossing.
