//! A value that was solved for.

pub mod json;
pub mod text;
