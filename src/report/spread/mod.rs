//! A spread.

pub mod csv;
pub mod json;
pub mod motor;
pub mod text;
