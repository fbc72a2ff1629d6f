//! Numbers without clock words: power series in time, roots, bracketed solves.

pub mod root;
pub mod series;
