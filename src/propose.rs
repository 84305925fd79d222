//! To come: propose.
