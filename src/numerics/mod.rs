//! Numbers without clock words: power series in time, roots, bracketed solves, least squares.

pub mod indices;
pub mod intervals;
pub mod least_squares;
pub mod points;
pub mod root;
pub mod series;
pub mod sparse;
pub mod whole;
