//! A tooth with straight front and back faces on the wheel's root circle.

use crate::clock::escapement::FamilyError;
use crate::clock::escapement::layout::{Layout, not_negative, positive};
use crate::geometry::{Outline, Point, Vertex};

use super::{Shank, Tip, Tooth};

/// The straight faces of a tooth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Blade {
    /// Depth from the circle of the front corners, m.
    pub depth_m: f64,
    /// Fall of the front face from the radius.
    pub undercut_rad: f64,
    /// Angle between the faces.
    pub wedge_rad: f64,
}

impl Blade {
    /// The blade with its sizes checked: all in range, the depth less than the wheel's radius.
    ///
    /// # Errors
    /// [`FamilyError::NotPositive`], [`FamilyError::Negative`], [`FamilyError::ToothDeeperThanWheel`].
    pub fn checked(layout: &Layout, depth_m: f64, undercut_rad: f64, wedge_rad: f64) -> Result<Self, FamilyError> {
        let depth_m = positive("tooth depth", depth_m)?;
        let undercut_rad = not_negative("undercut", undercut_rad)?;
        let wedge_rad = not_negative("wedge angle of the tooth", wedge_rad)?;
        if depth_m >= layout.radius_m {
            return Err(FamilyError::ToothDeeperThanWheel { depth_m, radius_m: layout.radius_m });
        }
        Ok(Self { depth_m, undercut_rad, wedge_rad })
    }

    /// Depth and undercut, for the checks of a held tooth.
    pub const fn shank(&self) -> Shank {
        Shank { depth_m: self.depth_m, undercut_rad: self.undercut_rad }
    }

    /// The tooth whose front face starts at (0, R) and whose back face starts at `back`; pointed if there is none. Its first
    /// vertex is the front corner, the second the back one; the root circle's arc closes it.
    ///
    /// # Errors
    /// [`FamilyError`] for faces that miss the root and teeth that merge there.
    pub fn tooth(&self, layout: &Layout, back: Option<Point>, tip: Tip) -> Result<Tooth, FamilyError> {
        let root_m = layout.radius_m - self.depth_m;
        let front = Point::new(0.0, layout.radius_m);
        let upper = back.unwrap_or(front);
        let lean_rad = self.undercut_rad + self.wedge_rad;
        // The back face starts behind the radius through the front corner, and there the radius itself leans forward.
        let largest_rad = (root_m / upper.norm()).min(1.0).asin() - (-upper.x).atan2(upper.y);
        let missed = FamilyError::FaceMissesRoot { lean_rad, largest_rad };
        let front_root = down_to_circle(front, self.undercut_rad, root_m).ok_or(missed)?;
        let back_root = down_to_circle(upper, lean_rad, root_m).ok_or(missed)?;
        let width_rad = (front_root.x / front_root.y).atan() - (back_root.x / back_root.y).atan();
        check_pitch(layout, width_rad)?;
        let straight = |at| Vertex { at, bulge: 0.0 };
        let mut vertices = vec![straight(front)];
        vertices.extend(back.map(straight));
        // Along the root circle in the driving direction: clockwise about the wheel centre.
        vertices.push(Vertex { at: back_root, bulge: -(0.25 * width_rad).tan() });
        vertices.push(straight(front_root));
        Ok(Tooth { outline: Outline::new(vertices)?, tip, shank: Some(self.shank()) })
    }
}

/// Checks that a tooth leaves a gap to the next at the root.
///
/// # Errors
/// [`FamilyError::TeethMerge`].
pub(super) fn check_pitch(layout: &Layout, width_rad: f64) -> Result<(), FamilyError> {
    if width_rad >= layout.pitch_rad {
        return Err(FamilyError::TeethMerge { width_rad, pitch_rad: layout.pitch_rad });
    }
    Ok(())
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
