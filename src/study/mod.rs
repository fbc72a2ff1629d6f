//! Many predictions: what pictures of one clock draw, comparison of scenarios, maps, printed copies, levers, trade of run time
//! against weight, sweep over the bead radius.

pub mod bead;
pub mod comparison;
pub mod family;
pub mod jobs;
pub mod levers;
pub mod map;
pub mod overview;
mod parallel;
pub mod portrait;
pub mod prepare;
pub mod room;
pub mod season;
pub mod spread;
pub mod trade;
