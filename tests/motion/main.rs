//! The motion of a clock: its events, its limit cycles, and the same motion computed in other ways.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "../support/mod.rs"]
mod support;

mod bands;
mod contradictions;
mod crosscheck;
mod crutch;
mod events;
mod free_decay;
mod friction_reserve;
mod ideal_clocks;
mod independent;
mod life;
mod limit_cycles;
mod short_starts;
mod solver;
mod teeth_that_differ;
