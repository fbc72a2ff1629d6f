//! Outlines of lines and arcs, contact of two primitives, contact curves. No masses, no files.

mod outline;

pub use outline::{Outline, OutlineError, Point, Vertex, arc_centre};

/// Contact curve of one pallet: the wheel advance at which a tooth meets it, over the pendulum angle.
#[derive(Debug, Clone, PartialEq)]
pub struct ContactCurve {}
