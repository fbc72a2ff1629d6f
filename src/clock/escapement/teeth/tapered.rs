//! The tapered tooth: two faces that lean towards each other and a narrow land.

use crate::clock::design::TaperedTooth;
use crate::clock::escapement::FamilyError;
use crate::clock::escapement::layout::{Layout, not_negative};
use crate::geometry::Point;

use super::blade::Blade;
use super::{Tip, Tooth};

/// Fall of the tip land below the chord of the tip circle. Own choice: a straight land along the chord would graze a
/// pallet's release corner with its back end; five degrees put the land out of reach and cost the tip little strength.
const LAND_FALL_RAD: f64 = 5.0 * std::f64::consts::PI / 180.0;

/// Tooth no. 0 in the wheel's frame, its front tip corner the first vertex, at (0, R); the driving direction is +x.
///
/// The front face falls back from the radius by the undercut, going inward against the driving direction; the back face
/// leans by undercut and wedge. Both end on the root circle, whose arc closes the outline. The straight tip land leaves
/// the front corner backwards and falls below the tip circle, so the front corner alone touches a pallet. With a tip
/// width of 0 the tooth is pointed.
///
/// # Errors
/// [`FamilyError`] for sizes out of range, a tooth deeper than the wheel, faces that miss the root, teeth that merge at
/// the root, and a land wider than the drop.
pub(super) fn tapered(layout: &Layout, form: &TaperedTooth, drop_rad: f64) -> Result<Tooth, FamilyError> {
    let blade = Blade::checked(layout, form.depth_m, form.undercut_rad, form.wedge_rad)?;
    let tip_width_m = not_negative("tip width", form.tip_width_m)?;
    if tip_width_m == 0.0 && blade.wedge_rad == 0.0 {
        return Err(FamilyError::ToothHasNoBody);
    }
    let drop_m = drop_rad * layout.radius_m;
    if tip_width_m >= drop_m {
        return Err(FamilyError::TipWiderThanDrop { tip_width_m, drop_m });
    }
    let front = Point::new(0.0, layout.radius_m);
    let fall_rad = (0.5 * tip_width_m / layout.radius_m).asin() + LAND_FALL_RAD;
    let back = front - tip_width_m * Point::new(fall_rad.cos(), fall_rad.sin());
    blade.tooth(layout, (tip_width_m > 0.0).then_some(back), Tip::sharp(front))
}
