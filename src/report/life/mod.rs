//! The years of a clock: how long it keeps its margin, when it stops, what ages most.

pub mod csv;
pub mod json;
pub mod text;
