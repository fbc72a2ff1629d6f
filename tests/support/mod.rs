//! What several test programs share. None of them uses all of it.
#![allow(dead_code)]

pub mod brute_force;
pub mod clocks;
pub mod close;
pub mod demo;
pub mod dice;
pub mod kicked;
pub mod plain;
pub mod plans;
pub mod polygons;
pub mod program;
pub mod shapes;
pub mod slow_clock;
pub mod still;
pub mod svg;
