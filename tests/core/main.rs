//! The laws of the model, what is compared and proposed, and who may see whom.

#[path = "../common/filters.rs"]
mod filters;
mod searched;
mod small_filter;

mod ageing_laws;
mod biology_properties;
mod bracketed_oracle;
mod choice;
mod dirt_laws;
mod doubt_laws;
mod edits;
mod helps;
mod layers;
mod money_and_space;
mod propose;
mod propose_rivals;
mod staging;
mod unreal_numbers;
mod vessel_laws;
