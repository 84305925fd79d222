//! biology
