//! The clock: design, parts and surroundings, and what they come to at the escape arbor.

pub mod action;
pub mod build;
pub mod design;
pub mod escapement;
pub mod materials;
pub mod mechanism;
