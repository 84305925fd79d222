//! To come: friction.
