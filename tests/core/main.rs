//! The laws of the model, what is compared and proposed, and who may see whom.
#![cfg(test)]
#![allow(
    clippy::format_push_string,
    reason = "short texts: a push reads better than a write whose result means nothing"
)]
#![allow(clippy::string_slice, reason = "a test may fail where a text is not as it expects")]
#![allow(clippy::float_cmp, clippy::unreadable_literal, reason = "what is to be exact is checked to the bit")]

#[path = "../common/chance.rs"]
mod chance;
#[path = "../common/filters.rs"]
mod filters;
#[path = "../common/laws.rs"]
mod laws;
#[path = "../common/one.rs"]
mod one;
#[path = "../common/ranged.rs"]
mod ranged;
mod searched;
mod small_filter;

mod ageing_laws;
mod biology_properties;
mod bracketed_oracle;
mod calibration;
mod choice;
mod clearing_laws;
mod compared;
mod decay;
mod dirt_laws;
mod distributions;
mod doubt_laws;
mod draws;
mod edits;
mod ground;
mod helps;
mod hose_laws;
mod layers;
mod logs;
mod loss_laws;
mod metamorphic;
mod money_and_space;
mod network;
mod outlet_and_pump;
mod outlines;
mod propose;
mod propose_rivals;
mod put_right;
mod ranked;
mod rings;
mod silence;
mod staging;
mod unreal_numbers;
mod vessel_laws;
mod whole_ranges;
