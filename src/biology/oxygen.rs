//! To come: oxygen.
