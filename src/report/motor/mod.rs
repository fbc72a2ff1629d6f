//! A clock driven by a motor.

pub mod csv;
pub mod json;
pub mod text;
