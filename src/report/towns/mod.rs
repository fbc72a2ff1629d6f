//! The clock in other towns.

pub mod json;
pub mod text;
