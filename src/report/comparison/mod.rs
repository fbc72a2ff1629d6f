//! Scenarios side by side.

pub mod csv;
pub mod text;
