//! Many predictions: comparison of scenarios, maps, printed copies, sweep over the bead radius.

pub mod axis;
pub mod bead;
pub mod comparison;
pub mod map;
pub mod map_lines;
pub mod map_standard;
mod map_starts;
pub mod spread;
pub mod watch;
