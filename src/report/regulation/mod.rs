//! Bringing to time, beat and swing.

pub mod json;
pub mod text;
