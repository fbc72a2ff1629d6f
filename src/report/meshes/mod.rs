//! The meshes of a train where they stand.

pub mod json;
pub mod text;
