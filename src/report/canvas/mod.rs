//! What pictures are drawn on: sheet, panels, labels, the look.

mod dashes;
pub mod labels;
pub mod look;
pub mod panel;
#[cfg(feature = "png")]
pub mod png;
pub mod sheet;
