//! What readings say of the figures that builds hang on: chances of readings, weights of rows of draws, linear steps
//! towards them when weights run thin, and whether readings and model agree. No clock, no file, no build: a model is a
//! function from rows of standard normals to what each reading is compared with.

pub mod agree;
pub mod course;
mod kept;
pub mod learnt;
mod linear;
mod next;
pub mod own;
pub mod picture;
pub mod reading;
pub mod search;
mod telling;
pub mod weights;
