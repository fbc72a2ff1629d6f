//! Many predictions: comparison of scenarios, sweep over the bead radius.

pub mod bead;
pub mod comparison;
pub mod watch;
