//! Cansift compares aquarium canister filter builds side by side, with the doubt in every figure.
//!
//! Data flows downward once, results flow up once:
//!
//! ```text
//! files ──profile──▶ filter (plain things) ──vessel──▶ network ──solve──▶ flows ──▶ judge ──▶ measures
//!                          ▲                                                          │
//!                     tank, draw of assumptions ──────────────────────────────────────┘
//! measures ──▶ compare ──▶ app state ──▶ ui          (screens)
//!                    └──▶ report ──▶ text, tables, JSON
//! ```
//!
//! Direction (`tests/layers.rs` reads the `use` lines and fails on a breach): `lane`, `units`, `said` ←
//! `assumptions`, `doubt` ← `filter` ← `hydraulics` ← `ageing`, `biology`, `staging`, `uv`, `money`, `space`
//! ← `measures`, `judge` ← `compare`, `propose` ← `profile`, `library` ← `report` ← `app` ← `ui`; `cli`,
//! `terminal` and `main` see all. From `units` to `propose` there is no serde,
//! no terminal, file, clock, environment, printing or global randomness.

#![cfg_attr(test, allow(clippy::float_cmp, clippy::unreadable_literal))]

pub mod ageing;
pub mod app;
pub mod assumptions;
pub mod biology;
pub mod cli;
pub mod compare;
pub mod doubt;
pub mod filter;
pub mod hydraulics;
pub mod judge;
pub mod lane;
pub mod library;
pub mod measures;
pub mod money;
pub mod profile;
pub mod propose;
pub mod report;
pub mod said;
pub mod space;
pub mod staging;
pub mod terminal;
pub mod ui;
pub mod units;
pub mod uv;
