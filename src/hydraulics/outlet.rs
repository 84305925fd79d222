//! To come: outlet.
