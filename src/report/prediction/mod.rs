//! A prediction as text, JSON and CSV.

pub mod by_key;
pub mod csv;
pub mod json;
pub mod text;
