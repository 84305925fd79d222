//! Percentiles of the draws.
