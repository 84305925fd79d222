//! To come: pump.
