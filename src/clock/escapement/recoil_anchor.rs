//! The recoil anchor: one straight face on each pallet.

use crate::clock::design::{PalletPlan, RecoilAnchor};
use crate::clock::side::{PerPallet, Side};
use crate::geometry::Point;

use super::face::{Face, PosedPallet, pallet_outline};
use super::layout::Layout;
use super::teeth::{Tip, tooth};
use super::{EscapementOutlines, FamilyError, overlap as clearance};

/// Outlines of a recoil anchor with straight faces, m, at `theta = 0` and `phi = 0`.
///
/// A tooth lands on a pallet at the layout's landing place half the lift short of the centre, and leaves it at the leaving place
/// half the lift past the centre. Both places, turned back by the pallet angle, lie on the face; it is prolonged beyond the
/// landing place, away from the wheel, as far as a tooth's tip corner reaches at a pallet angle of half the lift and
/// `face_length_rad`. With pins the face is the tangent from the release corner to the pin that lands. There the pallet pushes the wheel back. The outline's first vertex is that far end of the face,
/// the second the release corner. The beat error is not applied.
///
/// # Errors
/// [`FamilyError`]; the action up to the end of the faces is checked against teeth ahead, behind and held.
///
/// Source: own construction from the conditions on the places of landing and leaving.
pub fn recoil_anchor(design: &RecoilAnchor) -> Result<EscapementOutlines, FamilyError> {
    let plan = &design.plan;
    let layout = Layout::of(plan)?;
    let tooth = tooth(&layout, plan, 0.5 * plan.lift_rad)?;
    let actions = PerPallet::try_from_fn(|pallet| action(&layout, plan, pallet, &tooth.tip))?;
    clearance::outlines_of(&layout, tooth, actions)
}

/// One pallet, with poses from the deepest recoil to the release.
fn action(layout: &Layout, plan: &PalletPlan, pallet: Side, tip: &Tip) -> Result<PosedPallet, FamilyError> {
    let away = pallet.away();
    let half_lift_rad = 0.5 * plan.lift_rad;
    let (land_phi_rad, leave_phi_rad) = layout.places(pallet);
    let landing = layout.turned(layout.on_tip_circle(land_phi_rad), away * half_lift_rad);
    let release = layout.release_corner(pallet, tip, half_lift_rad);
    let deepest_rad = -away * (half_lift_rad + plan.face_length_rad);
    let stalled = FamilyError::WheelCannotDrive { pallet, tangent_m: layout.tangent_m };
    let outward = tip.round_m * outward_of_tangent(landing, release, tip.round_m).ok_or(stalled)?;
    // The way of a pin's centre is the face moved outward by its radius.
    let end = into_circle(
        layout.turned(landing, deepest_rad),
        layout.turned(release + outward, deepest_rad),
        layout.radius_m,
    )
    .ok_or(stalled)?;
    let end_phi_rad = end.x.atan2(end.y);
    let lead = layout.turned(end, -deepest_rad) - outward;
    let face = Face { pallet, lead, release };
    // Two runs: a face whose far end lies on the wrong side of the landing place fails in the first.
    let mut poses = face.slide(layout, tip, end_phi_rad, land_phi_rad)?;
    poses.extend(face.slide(layout, tip, land_phi_rad, leave_phi_rad)?);
    let outline = pallet_outline(layout, pallet, lead, release, 0.0)?;
    Ok(PosedPallet { pallet, outline, poses, locking_lean_rad: None })
}

/// Unit vector from the face that ends at `release` to the centre `landing` of a disc that it touches; the disc lies to the right
/// of the way to the release corner. `None` if the corner lies within the disc.
fn outward_of_tangent(landing: Point, release: Point, radius_m: f64) -> Option<Point> {
    let way = release - landing;
    let sine = radius_m / way.norm();
    if sine >= 1.0 {
        return None;
    }
    // The face's direction is the way from centre to corner, turned to the right by the angle that the disc takes.
    let (along, right) = (way.normalize(), Point::new(way.y, -way.x).normalize());
    let face = (1.0 - sine * sine).sqrt() * along + sine * right;
    Some(Point::new(face.y, -face.x))
}

/// Where the line from `from` towards `to` enters the circle of `radius_m` about the wheel centre, m; `None` if it misses it.
fn into_circle(from: Point, to: Point, radius_m: f64) -> Option<Point> {
    let along = (to - from).normalize();
    let foot = from - from.dot(&along) * along;
    let square = radius_m * radius_m - foot.norm_squared();
    (square > 0.0).then(|| foot - square.sqrt() * along)
}
