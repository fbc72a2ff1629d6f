//! The tooth of uniform width: parallel faces, a sloped end face, fillets at the root.

use crate::clock::design::UniformTooth;
use crate::clock::escapement::FamilyError;
use crate::clock::escapement::layout::{Layout, not_negative, positive};
use crate::geometry::{Outline, Point, Vertex};

use super::blade::{Blade, check_pitch};
use super::{Tip, Tooth};

/// Tooth no. 0 in the wheel's frame, its front corner the first vertex, at (0, R), the end face's back the second; the
/// driving direction is +x.
///
/// The corner's angle is a right angle less undercut and slope. Both faces lean by the undercut; each runs into its
/// fillet, and the fillets touch the root circle, between whose points of contact the outline is closed by a straight line.
///
/// # Errors
/// [`FamilyError`] for sizes out of range, an end face that does not fall below the tip circle, faces or fillets that
/// miss the root, and teeth that merge there.
pub(super) fn uniform(layout: &Layout, form: &UniformTooth) -> Result<Tooth, FamilyError> {
    let blade = Blade::checked(layout, form.depth_m, form.undercut_rad, 0.0)?;
    let width_m = positive("tooth width", form.width_m)?;
    let slope_rad = not_negative("slope of the end face", form.slope_rad)?;
    let fillet_m = not_negative("root fillet", form.root_fillet_m)?;
    let corner_rad = std::f64::consts::FRAC_PI_2 - blade.undercut_rad - slope_rad;
    if corner_rad <= 0.0 {
        return Err(FamilyError::CornerVanishes { undercut_rad: blade.undercut_rad, slope_rad });
    }
    let front = Point::new(0.0, layout.radius_m);
    let end_m = width_m / corner_rad.sin();
    let back = front - end_m * Point::new(slope_rad.cos(), slope_rad.sin());
    if back.norm() >= layout.radius_m {
        let least_rad = (0.5 * end_m / layout.radius_m).asin();
        return Err(FamilyError::EndFaceReachesOut { slope_rad, least_rad });
    }
    let tip = Tip::sharp(front);
    if fillet_m == 0.0 {
        return blade.tooth(layout, Some(back), tip);
    }
    let root_m = layout.radius_m - blade.depth_m;
    let missed = FamilyError::FilletMissesRoot { fillet_m, depth_m: blade.depth_m };
    let forward = Point::new(blade.undercut_rad.cos(), -blade.undercut_rad.sin());
    let before = fillet(front, forward, fillet_m, root_m).ok_or(missed)?;
    let behind = fillet(back, -forward, fillet_m, root_m).ok_or(missed)?;
    check_pitch(layout, before.foot.x.atan2(before.foot.y) - behind.foot.x.atan2(behind.foot.y))?;
    let straight = |at| Vertex { at, bulge: 0.0 };
    let vertices = vec![
        straight(front),
        straight(back),
        Vertex { at: behind.tangent, bulge: behind.hollow_bulge },
        straight(behind.foot),
        Vertex { at: before.foot, bulge: before.hollow_bulge },
        straight(before.tangent),
    ];
    Ok(Tooth { outline: Outline::new(vertices)?, tip, shank: Some(blade.shank()) })
}

/// A fillet between a face and the root circle.
struct Fillet {
    /// Where it touches the face.
    tangent: Point,
    /// Where it touches the root circle.
    foot: Point,
    /// Bulge of its arc in an anticlockwise outline.
    hollow_bulge: f64,
}

/// The fillet on the side `outward` (unit vector across the face) of the face that runs inward from `from`: its centre lies its
/// radius away from both. `None` if there is none below `from`.
fn fillet(from: Point, outward: Point, radius_m: f64, root_m: f64) -> Option<Fillet> {
    // Inward along the face, which leans back by the undercut.
    let along = if outward.x > 0.0 { Point::new(outward.y, -outward.x) } else { Point::new(-outward.y, outward.x) };
    let start = from + radius_m * outward;
    let inward = -start.dot(&along);
    let square = inward * inward - start.norm_squared() + (root_m + radius_m).powi(2);
    let length_m = inward - if square > 0.0 { square.sqrt() } else { return None };
    let centre = start + length_m * along;
    let tangent = from + length_m * along;
    let foot = centre * (root_m / (root_m + radius_m));
    let (a, b) = (tangent - centre, foot - centre);
    let turn_rad = a.perp(&b).atan2(a.dot(&b)).abs();
    (length_m > 0.0 && centre.y > 0.0).then(|| Fillet { tangent, foot, hollow_bulge: -(0.25 * turn_rad).tan() })
}
