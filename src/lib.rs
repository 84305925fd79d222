//! Cansift compares aquarium canister filter builds side by side, with the doubt in every figure.
//!
//! Data flows downward once, results flow up once:
//!
//! ```text
//! files ──profile──▶ model (plain things)  ──vessel──▶ network ──solve──▶ flows ──▶ assess ──▶ measures
//!                          ▲                                                          │
//!                     tank, draw of assumptions ──────────────────────────────────────┘
//! measures ──▶ compare ──▶ app state ──▶ ui          (screens)
//!                    └──▶ report ──▶ text, tables, JSON
//! ```
//!
//! Direction (`tests/core/layers.rs` reads the `use` lines and fails on a breach): `simd`, `units`, `message`, `parallel`, `place`, `hidden`, `ways` ←
//! `assumptions`, `uncertainty` ← `model` ← `hydraulics` ← `clogging`, `biology`, `media_order`, `uv`, `cost`, `space`
//! ← `measures`, `assess` ← `compare`, `propose` ← `profile`, `library` ← `report` ← `app` ← `ui`; `cli`,
//! `terminal` and `main` see all. From `units` to `propose` there is no serde,
//! no terminal, file, clock, environment, printing or global randomness.

pub mod app;
pub mod assess;
pub mod assumptions;
pub mod biology;
pub mod cli;
pub mod clogging;
pub mod compare;
pub mod cost;
pub mod hidden;
pub mod hydraulics;
pub mod learn;
pub mod library;
pub mod measures;
pub mod media_order;
pub mod message;
pub mod model;
pub mod order;
pub mod parallel;
pub mod place;
pub mod profile;
pub mod propose;
pub mod report;
pub mod simd;
pub mod space;
pub mod terminal;
pub mod ui;
pub mod uncertainty;
pub mod units;
pub mod uv;
pub mod ways;
