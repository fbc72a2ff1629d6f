//! A family of clocks.

pub mod files;
pub mod text;
