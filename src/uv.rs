//! To come: uv.
