//! The tooth for pallets that are pins: its end face takes all the lift.

use crate::clock::design::RisingTooth;
use crate::clock::escapement::FamilyError;
use crate::clock::escapement::layout::Layout;
use crate::geometry::Point;

use super::blade::Blade;
use super::{Tip, Tooth};

/// Tooth no. 0 in the wheel's frame, its front corner the first vertex, at (0, R), the heel the second: `length_m` further along
/// an end face that rises by `rise_rad` above the tangent, going backwards.
///
/// # Errors
/// [`FamilyError`] for sizes out of range, a tooth deeper than the wheel, faces that miss the root and teeth that merge
/// there.
pub(in crate::clock::escapement) fn rising(
    layout: &Layout,
    form: &RisingTooth,
    length_m: f64,
    rise_rad: f64,
) -> Result<Tooth, FamilyError> {
    let blade = Blade::checked(layout, form.depth_m, form.undercut_rad, form.wedge_rad)?;
    let front = Point::new(0.0, layout.radius_m);
    let heel = front + length_m * Point::new(-rise_rad.cos(), rise_rad.sin());
    blade.tooth(layout, Some(heel), Tip { front, heel, round_m: 0.0 })
}
