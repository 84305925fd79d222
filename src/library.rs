//! To come: library.
