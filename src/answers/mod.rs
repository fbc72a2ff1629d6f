//! Return map, limit cycle, verdict with reason, least drive, rate, run time.

pub mod clock;
pub mod cycle;
pub mod least;
pub mod measure;
