//! Levers.

pub mod files;
pub mod text;
