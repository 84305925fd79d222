//! To come: staging.
