//! Which quantity to change.

pub mod csv;
pub mod json;
pub mod text;
mod view;

pub use view::{LeversView, shown_sides};
