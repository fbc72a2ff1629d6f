//! The action over a turn of a wheel that is out of true.

pub mod json;
pub mod text;
