//! A build, a tank and one draw of the assumptions go in; every measure comes out.

pub mod assessment;
pub mod biology;
pub mod case;
pub mod explain;
pub mod figures;
pub mod findings;
pub mod improvements;
pub mod log;
pub mod monte_carlo;
pub mod nominal;
pub mod notes;
pub mod pictures;
mod repairs;
pub mod rerun;
pub mod stage;
pub mod suits;
pub mod trace;

pub use assessment::{Assessment, Leak, Section, Slab, TimePoint};
pub use case::Case;
pub use explain::Seen;
pub use figures::Effort;
pub use findings::Costs;
pub use log::Mode;
pub use monte_carlo::Simulated;
pub use suits::Stocking;
pub use trace::Trace;

pub use improvements::advise;
pub use nominal::{judge, judge_build};
