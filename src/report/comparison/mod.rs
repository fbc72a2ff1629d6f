//! Scenarios side by side.

pub mod csv;
pub mod json;
pub mod text;
