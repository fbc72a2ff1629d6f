//! The recoil anchor: one straight face on each pallet.

use super::face::{Action, Face, pallet_outline};
use super::layout::Layout;
use super::tooth::tooth;
use super::{EscapementOutlines, FamilyError, PalletSide, clearance};
use crate::clock::design::{PalletPlan, RecoilAnchor};
use crate::geometry::Point;

/// Outlines of a recoil anchor with straight faces, m, at `theta = 0` and `phi = 0`.
///
/// A tooth lands on a pallet at the layout's landing place half the lift short of the centre, and leaves it at the leaving place
/// half the lift past the centre. Both places, turned back by the pallet angle, lie on the face; it is prolonged beyond the
/// landing place, away from the wheel, as far as a tooth's tip corner reaches at a pallet angle of half the lift and
/// `face_length_rad`. There the pallet pushes the wheel back. The outline's first vertex is that far end of the face,
/// the second the release corner. The beat error is not applied.
///
/// # Errors
/// [`FamilyError`]; the action up to the end of the faces is checked against teeth ahead, behind and held.
///
/// Source: own construction from the conditions on the places of landing and leaving.
pub fn recoil_anchor(design: &RecoilAnchor) -> Result<EscapementOutlines, FamilyError> {
    let plan = &design.plan;
    let layout = Layout::of(plan)?;
    let tooth = tooth(&layout, plan)?;
    let entry = action(&layout, plan, PalletSide::Entry)?;
    let exit = action(&layout, plan, PalletSide::Exit)?;
    clearance::outlines_of(&layout, &plan.tooth, tooth, entry, exit)
}

/// One pallet, with poses from the deepest recoil to the release.
fn action(layout: &Layout, plan: &PalletPlan, pallet: PalletSide) -> Result<Action, FamilyError> {
    let away = pallet.away();
    let half_lift_rad = 0.5 * plan.lift_rad;
    let (land_phi_rad, leave_phi_rad) = layout.places(pallet);
    let landing = layout.turned(layout.on_tip_circle(land_phi_rad), away * half_lift_rad);
    let release = layout.turned(layout.on_tip_circle(leave_phi_rad), -away * half_lift_rad);
    let deepest_rad = -away * (half_lift_rad + plan.face_length_rad);
    let stalled = FamilyError::WheelCannotDrive { pallet, tangent_m: layout.tangent_m };
    let end = into_circle(layout.turned(landing, deepest_rad), layout.turned(release, deepest_rad), layout.radius_m)
        .ok_or(stalled)?;
    let end_phi_rad = end.x.atan2(end.y);
    let outline = pallet_outline(layout, pallet, layout.turned(end, -deepest_rad), release, 0.0)?;
    let face = Face { pallet, landing, release };
    // Two runs: a face whose far end lies on the wrong side of the landing place fails in the first.
    let mut poses = face.slide(layout, end_phi_rad, land_phi_rad)?;
    poses.extend(face.slide(layout, land_phi_rad, leave_phi_rad)?);
    Ok(Action { pallet, outline, poses })
}

/// Where the line from `from` towards `to` enters the circle of `radius_m` about the wheel centre, m; `None` if it misses it.
fn into_circle(from: Point, to: Point, radius_m: f64) -> Option<Point> {
    let along = (to - from).normalize();
    let foot = from - from.dot(&along) * along;
    let square = radius_m * radius_m - foot.norm_squared();
    (square > 0.0).then(|| foot - square.sqrt() * along)
}
