//! Beatwright tells the designer of a weight-driven pendulum clock, before a single part is made, whether the clock
//! keeps going, on how little weight, how long between windings and how fast it runs.
//!
//! The way of the data: scenario file -> [`clock::design::Design`] -> [`clock::mechanism::Mechanism`] -> motion ->
//! limit cycle -> answers -> report. Each module uses only those above it in the list below.

pub mod answers;
#[cfg(feature = "cli")]
pub mod cli;
pub mod clock;
pub mod dynamics;
pub mod geometry;
pub mod guide;
pub mod numerics;
pub mod report;
pub mod scenario;
pub mod study;
pub mod units;
