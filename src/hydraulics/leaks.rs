//! To come: leaks.
