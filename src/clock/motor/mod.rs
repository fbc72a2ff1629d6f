//! Parts of a clock driven by a stepping motor: whether its counts are exact, how fast it runs, what its hands ask for, what
//! it draws.

pub mod error;
pub mod load;
pub mod power;
pub mod rate;
pub mod ratio;
