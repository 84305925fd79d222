//! To come: ageing.
