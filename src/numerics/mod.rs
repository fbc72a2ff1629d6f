//! Numbers without clock words: power series in time, roots, bracketed solves, least squares, search for the best point.

pub mod digits;
pub mod extremes;
pub mod indices;
pub mod intervals;
pub mod least_squares;
pub mod peak;
pub mod points;
pub mod root;
pub mod search;
pub mod series;
pub mod sparse;
pub mod whole;
