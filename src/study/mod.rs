//! Many predictions: what pictures of one clock draw, comparison of scenarios, maps, printed copies, levers, trade of run time
//! against weight, papers for the builder, sweep over the bead radius.
//!
//! Maps, levers and families are asked with a design and with the ways in which it can be changed ([`setter`]); a scenario is one such
//! way, its overrides.

pub mod bead;
pub mod comparison;
pub mod counts;
pub mod family;
pub mod fit;
pub mod friction_open;
pub mod improve;
pub mod jobs;
pub mod keyed;
pub mod levers;
pub mod map;
pub mod overview;
pub mod page_asks;
pub mod papers;
mod parallel;
pub mod portrait;
pub mod prepare;
pub mod quantity_written;
pub mod room;
pub mod season;
pub mod setter;
pub mod solve_for;
pub mod spread;
pub mod trade;
pub mod wish;
