//! To come: terminal.
