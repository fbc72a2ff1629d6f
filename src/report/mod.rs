//! Results, tables and pictures: the only place that rounds and prints units.

pub mod results;
pub mod tables;
