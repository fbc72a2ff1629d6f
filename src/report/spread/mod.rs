//! Printed copies.

pub mod csv;
pub mod json;
pub mod text;
mod view;

pub use view::{SpreadView, failing_reason};
