//! To come: network.
