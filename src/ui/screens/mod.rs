//! screens
