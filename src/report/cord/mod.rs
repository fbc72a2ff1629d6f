//! The cord of a weight: what bending it takes, how it lies on its drum, what of it hangs.

pub mod json;
pub mod text;
