//! A pallet's straight face, and the closed outline around it.

use super::layout::Layout;
use super::{FamilyError, PalletSide};
use crate::geometry::{Outline, Point, Vertex};

/// Largest angle of a pallet about its arbor.
const LARGEST_REACH_RAD: f64 = std::f64::consts::FRAC_PI_2;

/// Poses into which an interval of the action is split, for the checks of the whole action.
const STEPS: u32 = 16;

/// A pallet angle, and the place of the tooth that the pallet then holds.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pose {
    pub theta_rad: f64,
    pub phi_rad: f64,
}

/// A pallet's outline at `theta = 0`, and poses all along its action.
#[derive(Debug, Clone)]
pub(super) struct Action {
    pub pallet: PalletSide,
    pub outline: Outline,
    pub poses: Vec<Pose>,
}

/// A straight pallet face on which a tooth's tip corner slides from `landing` to `release`, as it lies at `theta = 0`.
#[derive(Debug, Clone, Copy)]
pub(super) struct Face {
    pub pallet: PalletSide,
    pub landing: Point,
    pub release: Point,
}

impl Face {
    /// Pallet angle at which the face's line passes through the tip corner of a tooth at place `phi`, rad; `None` if
    /// the corner is nearer to the arbor than the line ever is.
    ///
    /// The corner's distance from the arbor singles out one point of the line on the face's side of the line's foot; the angle
    /// from that point to the corner is the pallet angle.
    pub fn theta_rad(&self, layout: &Layout, phi_rad: f64) -> Option<f64> {
        let corner = layout.on_tip_circle(phi_rad);
        let along = (self.release - self.landing).normalize();
        let middle = 0.5 * (self.landing + self.release) - layout.arbor;
        let foot = middle - middle.dot(&along) * along;
        let square = (corner - layout.arbor).norm_squared() - foot.norm_squared();
        if square < 0.0 {
            return None;
        }
        let touching = layout.arbor + foot + square.sqrt().copysign(middle.dot(&along)) * along;
        Some(layout.angle_between(touching, corner))
    }

    /// Poses of the slide from place `from_rad` to `to_rad`, both ends included.
    ///
    /// # Errors
    /// [`FamilyError::WheelCannotDrive`] where the pallet is not lifted out steadily as the tooth advances.
    pub fn slide(&self, layout: &Layout, from_rad: f64, to_rad: f64) -> Result<Vec<Pose>, FamilyError> {
        let stalled = FamilyError::WheelCannotDrive { pallet: self.pallet, tangent_m: layout.tangent_m };
        let mut poses: Vec<Pose> = Vec::new();
        for step in 0..=STEPS {
            let phi_rad = from_rad + (to_rad - from_rad) * f64::from(step) / f64::from(STEPS);
            let theta_rad = self.theta_rad(layout, phi_rad).ok_or(stalled)?;
            if poses.last().is_some_and(|last| (theta_rad - last.theta_rad) * self.pallet.away() <= 0.0) {
                return Err(stalled);
            }
            poses.push(Pose { theta_rad, phi_rad });
        }
        Ok(poses)
    }
}

/// Poses with the pallet going deeper by `swing_rad` from `theta_rad` while the tooth stays at `phi_rad`.
pub(super) fn rest(pallet: PalletSide, theta_rad: f64, swing_rad: f64, phi_rad: f64) -> Vec<Pose> {
    (0..=STEPS)
        .map(|step| Pose {
            theta_rad: theta_rad - pallet.away() * swing_rad * f64::from(step) / f64::from(STEPS),
            phi_rad,
        })
        .collect()
}

/// Closed outline of a pallet at `theta = 0`: straight face from `lead` to `release`, back face concentric with the
/// arbor, a radial end, and, if `lock_rad` is above 0, a concentric locking face of that angle down to `lead`.
///
/// The vertices start at `lead` (run anticlockwise). A back face concentric with the arbor keeps its place in the wheel
/// at every swing, so it comes no nearer to the tooth ahead by swinging deeper than the tooth's own lean makes it.
///
/// # Errors
/// [`FamilyError::FaceTooLong`], [`FamilyError::WheelCannotDrive`] for a release corner not deeper than the rest, and
/// what [`Outline::new`] finds.
pub(super) fn pallet_outline(
    layout: &Layout,
    pallet: PalletSide,
    lead: Point,
    release: Point,
    lock_rad: f64,
) -> Result<Outline, FamilyError> {
    let away = pallet.away();
    let top = layout.turned(lead, away * lock_rad);
    let reach_rad = away * layout.angle_between(release, top);
    if reach_rad <= 0.0 {
        return Err(FamilyError::WheelCannotDrive { pallet, tangent_m: layout.tangent_m });
    }
    if lock_rad.max(reach_rad) > LARGEST_REACH_RAD {
        let reach_rad = lock_rad.max(reach_rad);
        return Err(FamilyError::FaceTooLong { pallet, reach_rad, largest_rad: LARGEST_REACH_RAD });
    }
    let back_top = layout.turned(release, away * reach_rad);
    let mut vertices = vec![
        Vertex { at: lead, bulge: 0.0 },
        Vertex { at: release, bulge: away * (0.25 * reach_rad).tan() },
        Vertex { at: back_top, bulge: 0.0 },
    ];
    if lock_rad > 0.0 {
        vertices.push(Vertex { at: top, bulge: -away * (0.25 * lock_rad).tan() });
    }
    Ok(Outline::new(vertices)?)
}
