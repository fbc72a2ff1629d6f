//! A prediction.

pub mod by_key;
pub mod csv;
pub mod energy;
pub mod json;
pub mod keyed;
pub mod text;
