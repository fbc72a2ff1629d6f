//! Tooth counts for a wish.

pub mod csv;
pub mod json;
pub mod snippet;
pub mod text;
mod view;

pub use view::CountsView;
