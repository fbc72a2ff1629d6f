//! Numbers without clock words: power series in time, roots, bracketed solves.

pub mod indices;
pub mod intervals;
pub mod points;
pub mod root;
pub mod series;
pub mod sparse;
