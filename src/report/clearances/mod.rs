//! The margins of the action.

pub mod json;
pub mod text;
