//! Return map, limit cycle, verdict with reason, least drive, rate, run time.

pub mod clock;
pub mod compensation;
pub mod cycle;
pub mod drives;
pub mod familiar;
pub mod fates;
pub mod landscape;
pub mod least;
pub mod measure;
pub mod motor;
pub mod point;
pub mod prediction;
pub mod regulation;
pub mod sweeps;
pub mod towns;
pub mod verdict;
