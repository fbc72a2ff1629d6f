//! Many predictions: comparison of scenarios, maps, printed copies, levers, trade of run time against weight, sweep over the bead
//! radius.

pub mod axis;
pub mod bead;
pub mod comparison;
pub mod family;
pub mod lever_point;
pub mod lever_slope;
pub mod lever_steps;
pub mod levers;
pub mod map;
pub mod map_lines;
pub mod map_standard;
mod map_starts;
pub mod motor_spread;
pub mod room;
pub mod room_limits;
pub mod season;
pub mod spread;
pub mod trade;
pub mod watch;
