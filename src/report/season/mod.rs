//! A season.

pub mod files;
pub(in crate::report) mod motor;
pub mod rows;
pub mod text;
