//! Many predictions: comparison of scenarios, sweep over the bead radius, printed copies.

pub mod bead;
pub mod comparison;
pub mod spread;
pub mod watch;
