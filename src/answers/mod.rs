//! Return map, limit cycle, verdict with reason, least drive, rate, run time.

pub mod bench;
pub mod compensation;
pub mod cycle;
pub mod dial;
mod dial_solver;
pub mod drivable;
pub mod friction_reserve;
pub mod gain_scan;
pub mod lasting_swing;
pub mod least_drive;
pub mod measure;
pub mod motor;
pub mod motor_friction_reserve;
pub mod no_answer;
pub mod prediction;
pub mod regulation;
pub mod remarks;
pub mod return_map;
mod solution;
pub mod solve;
pub mod start_basins;
pub mod steady;
pub mod towns;
pub mod verdict;
pub mod wandering;
mod wanted;
pub mod warm_start;
