//! What is not known exactly: a figure with its spread, the key that names where the doubt comes from, and draws.
pub mod centre;
pub mod distribution;
pub mod field;
pub mod generator;
pub mod key;
pub mod normal;
pub mod pinned;
pub mod recorder;
pub mod sampling;
pub mod spread;
pub mod summary;
pub mod uncertain;

pub use centre::Centre;
pub use field::{Field, Printed};
pub use generator::Generator;
pub use key::{Key, Source, Spot};
pub use sampling::{Batch, Draws};
pub use spread::{Provenance, Spread};
pub use summary::{Band, Sample};
pub use uncertain::{Draw, Nominal, Uncertain};
