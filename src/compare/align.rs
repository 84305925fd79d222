//! To come: align.
