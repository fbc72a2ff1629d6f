//! One tooth of the escape wheel.

use super::FamilyError;
use super::layout::{Layout, not_negative, positive};
use crate::clock::design::PalletPlan;
use crate::geometry::{Outline, Point, Vertex};

/// Fall of the tip land below the chord of the tip circle. Own choice: a straight land along the chord would graze a
/// pallet's release corner with its back end; five degrees put the land out of reach and cost the tip little strength.
const LAND_FALL_RAD: f64 = 5.0 * std::f64::consts::PI / 180.0;

/// Outline of tooth no. 0 in the wheel's frame, its front tip corner the first vertex, at (0, R); the driving direction is +x.
///
/// The front face falls back from the radius by the undercut, going inward against the driving direction; the back face
/// leans by undercut and wedge. Both end on the root circle, whose arc closes the outline. The straight tip land leaves
/// the front corner backwards and falls below the tip circle, so the front corner alone touches a pallet. With a tip
/// width of 0 the tooth is pointed.
///
/// # Errors
/// [`FamilyError`] for sizes out of range, a tooth deeper than the wheel, faces that miss the root, teeth that merge at
/// the root, and a land wider than the drop.
pub(super) fn tooth(layout: &Layout, plan: &PalletPlan) -> Result<Outline, FamilyError> {
    let form = plan.tooth;
    let radius_m = layout.radius_m;
    let depth_m = positive("tooth depth", form.depth_m)?;
    let tip_width_m = not_negative("tip width", form.tip_width_m)?;
    let undercut_rad = not_negative("undercut", form.undercut_rad)?;
    let wedge_rad = not_negative("wedge angle of the tooth", form.wedge_rad)?;
    if depth_m >= radius_m {
        return Err(FamilyError::ToothDeeperThanWheel { depth_m, radius_m });
    }
    if tip_width_m == 0.0 && wedge_rad == 0.0 {
        return Err(FamilyError::ToothHasNoBody);
    }
    let drop_m = plan.drop_rad * radius_m;
    if tip_width_m >= drop_m {
        return Err(FamilyError::TipWiderThanDrop { tip_width_m, drop_m });
    }
    let root_m = radius_m - depth_m;
    let front = Point::new(0.0, radius_m);
    let fall_rad = (0.5 * tip_width_m / radius_m).asin() + LAND_FALL_RAD;
    let back = front - tip_width_m * Point::new(fall_rad.cos(), fall_rad.sin());
    let lean_rad = undercut_rad + wedge_rad;
    let missed = FamilyError::FaceMissesRoot { lean_rad, largest_rad: (root_m / radius_m).asin() };
    let front_root = down_to_circle(front, undercut_rad, root_m).ok_or(missed)?;
    let back_root = down_to_circle(back, lean_rad, root_m).ok_or(missed)?;
    let width_rad = (front_root.x / front_root.y).atan() - (back_root.x / back_root.y).atan();
    if width_rad >= layout.pitch_rad {
        return Err(FamilyError::TeethMerge { width_rad, pitch_rad: layout.pitch_rad });
    }
    let straight = |at| Vertex { at, bulge: 0.0 };
    let mut vertices = vec![straight(front)];
    if tip_width_m > 0.0 {
        vertices.push(straight(back));
    }
    // Along the root circle in the driving direction: clockwise about the wheel centre.
    vertices.push(Vertex { at: back_root, bulge: -(0.25 * width_rad).tan() });
    vertices.push(straight(front_root));
    Ok(Outline::new(vertices)?)
}

/// First point at `radius_m` from the wheel centre on the ray that leaves `from` inward, leaning back from the vertical
/// by `lean_rad`; `None` if the ray passes the circle by or meets it on the lower half.
fn down_to_circle(from: Point, lean_rad: f64, radius_m: f64) -> Option<Point> {
    if lean_rad >= std::f64::consts::FRAC_PI_2 {
        return None;
    }
    let along = -Point::new(lean_rad.sin(), lean_rad.cos());
    let inward = -from.dot(&along);
    let inside = inward * inward - from.norm_squared() + radius_m * radius_m;
    let length_m = inward - if inside > 0.0 { inside.sqrt() } else { return None };
    let foot = from + length_m * along;
    (length_m > 0.0 && foot.y > 0.0).then_some(foot)
}
