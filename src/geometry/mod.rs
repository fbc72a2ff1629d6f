//! Outlines of lines and arcs, contact of two primitives, contact curves. No masses, no files.

mod ahead;
mod curve;
mod limits;
mod moment;
mod near;
mod offset;
mod outline;
mod pair;
mod primitive;

pub use curve::{COVERED_RAD, ContactCurve, CurveError, Piece};
pub use offset::{OffsetError, Pass, closed, offset, opened, passes};
pub use outline::{Outline, OutlineError, Point, Vertex, arc_centre};
pub use pair::{Angles, ContactPair, ContactPlace, Flank, Reach, Trig};
