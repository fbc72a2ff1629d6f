//! Materials and friction pairs with their sources.

pub mod json;
mod rows;
pub mod text;
