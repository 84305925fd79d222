//! To come: nitrifying.
