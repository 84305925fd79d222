//! Nitrogen and oxygen: what feeding makes, what the media carry.

pub mod decay;
pub mod denitrifying;
pub mod load;
pub mod nitrate;
pub mod nitrifying;
pub mod oxygen;
