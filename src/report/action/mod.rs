//! The action of the pallets.

pub mod csv;
pub mod json;
pub mod text;
