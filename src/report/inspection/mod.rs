//! What needs no motion.

pub mod json;
pub mod text;
mod view;

pub use view::InspectionView;
