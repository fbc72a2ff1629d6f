//! A family of clocks.

pub mod csv;
pub mod json;
pub mod text;
mod view;

pub use view::{FamilyView, LengthsMm, bed_in_words, lengths_mm};
