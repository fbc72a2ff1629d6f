//! Many predictions: comparison of scenarios.

pub mod comparison;
