//! Many predictions: comparison of scenarios, sweep over the bead radius, levers, trade of run time against weight.

pub mod bead;
pub mod comparison;
pub mod lever_point;
pub mod lever_slope;
pub mod lever_steps;
pub mod levers;
pub mod trade;
pub mod watch;
