//! A better design of the same clock: before and after.

pub mod csv;
pub mod json;
pub mod keys;
pub mod overlay_toml;
pub mod state;
pub mod text;
mod view;

pub use view::{FrontDesign, ImproveView, JudgedDesign};
