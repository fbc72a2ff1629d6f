//! Wall and hanging weight: what they do to rate and swing over the run.

pub mod csv;
pub mod json;
pub mod text;
