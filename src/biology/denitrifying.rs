//! To come: denitrifying.
