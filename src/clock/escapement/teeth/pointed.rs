//! The pointed tooth: front and back face meet in a point, the front radial or undercut.

use crate::clock::design::PointedTooth;
use crate::clock::escapement::FamilyError;
use crate::clock::escapement::layout::Layout;
use crate::geometry::Point;

use super::blade::Blade;
use super::{Tip, Tooth};

/// Tooth no. 0 in the wheel's frame, its point the first vertex, at (0, R); the driving direction is +x.
///
/// # Errors
/// [`FamilyError`] for sizes out of range, a tooth deeper than the wheel, no wedge, faces that miss the root and teeth that
/// merge there.
pub(super) fn pointed(layout: &Layout, form: &PointedTooth) -> Result<Tooth, FamilyError> {
    let blade = Blade::checked(layout, form.depth_m, form.undercut_rad, form.wedge_rad)?;
    if blade.wedge_rad == 0.0 {
        return Err(FamilyError::ToothHasNoBody);
    }
    blade.tooth(layout, None, Tip::sharp(Point::new(0.0, layout.radius_m)))
}
