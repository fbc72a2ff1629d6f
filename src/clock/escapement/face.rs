//! A pallet's straight face, and the closed outline around it.

use crate::clock::side::Side;
use crate::geometry::{Outline, Point, Vertex};

use super::FamilyError;
use super::layout::Layout;
use super::teeth::Tip;

/// Largest angle of a pallet about its arbor.
const LARGEST_REACH_RAD: f64 = std::f64::consts::FRAC_PI_2;

/// Poses into which an interval of the action is split, for the checks of the whole action.
pub(super) const STEPS: u32 = 16;

/// A pallet angle, and the place of the tooth that the pallet then holds.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pose {
    pub theta_rad: f64,
    pub phi_rad: f64,
}

/// A pallet's outline at `theta = 0`, and poses all along its action.
#[derive(Debug, Clone)]
pub(super) struct PosedPallet {
    pub pallet: Side,
    pub outline: Outline,
    pub poses: Vec<Pose>,
    /// Lean of the locking face at the tip that rests on it, as [`Layout::locking_lean_rad`] has it; `None` without one.
    pub locking_lean_rad: Option<f64>,
}

/// A straight pallet face from the corner `lead` to the corner `release`, as it lies at `theta = 0`, with its material to the
/// left.
#[derive(Debug, Clone, Copy)]
pub(super) struct Face {
    pub pallet: Side,
    pub lead: Point,
    pub release: Point,
}

/// A touch this far beyond the end of a face still counts as one on it, m: rounding.
const BEYOND_M: f64 = 1e-12;

/// Pallet angle by which a heel may come before the front corner: rounding, far below a micrometre.
const LEAD_RAD: f64 = 1e-9;

impl Face {
    /// Pallet angle at which the pallet rests on a tooth's tip at place `phi`, rad: lifted out just so far that neither
    /// overlaps the other. `None` if it does not reach the tip.
    ///
    /// What may touch: the front corner (or a pin) with the face, a pin with the face's corners, the end face with the release
    /// corner. Each is free once the pallet is lifted far enough, so the greatest lift of all is the place of rest.
    pub fn theta_rad(&self, layout: &Layout, tip: &Tip, phi_rad: f64) -> Option<f64> {
        let placed = tip.advanced(phi_rad);
        let touches = [
            self.with_face(layout, &placed),
            self.with_corner(layout, &placed, self.lead),
            self.with_corner(layout, &placed, self.release),
            self.with_end_face(layout, &placed),
        ];
        let away = self.pallet.away();
        touches.into_iter().flatten().max_by(|a, b| (away * a).total_cmp(&(away * b)))
    }

    /// The tip's front on the straight face. The distance from the arbor of its centre singles out one point of the line
    /// that runs the tip's radius outside the face, on the face's side of the line's foot; the angle from that point to the
    /// centre is the pallet angle.
    fn with_face(&self, layout: &Layout, tip: &Tip) -> Option<f64> {
        let along = (self.release - self.lead).normalize();
        let outward = tip.round_m * Point::new(along.y, -along.x);
        let middle = 0.5 * (self.lead + self.release) - layout.arbor + outward;
        let foot = middle - middle.dot(&along) * along;
        let square = (tip.front - layout.arbor).norm_squared() - foot.norm_squared();
        if square < 0.0 {
            return None;
        }
        let touching = layout.arbor + foot + square.sqrt().copysign(middle.dot(&along)) * along;
        let (way_m, length_m) = ((touching - outward - self.lead).dot(&along), (self.release - self.lead).norm());
        (way_m > -BEYOND_M && way_m < length_m + BEYOND_M).then(|| layout.angle_between(touching, tip.front))
    }

    /// A pin on a corner.
    fn with_corner(&self, layout: &Layout, tip: &Tip, corner: Point) -> Option<f64> {
        if tip.round_m == 0.0 {
            return None;
        }
        let (reach_m, apart_m) = ((corner - layout.arbor).norm(), (tip.front - layout.arbor).norm());
        let cosine = (reach_m * reach_m + apart_m * apart_m - tip.round_m * tip.round_m) / (2.0 * reach_m * apart_m);
        (cosine <= 1.0).then(|| layout.angle_between(corner, tip.front) + self.pallet.away() * cosine.acos())
    }

    /// The release corner on the end face between front corner and heel.
    fn with_end_face(&self, layout: &Layout, tip: &Tip) -> Option<f64> {
        let end = tip.heel - tip.front;
        if end == Point::zeros() {
            return None;
        }
        // |front + share end - arbor| is the release corner's distance from the arbor.
        let from = tip.front - layout.arbor;
        let (a, b) = (end.norm_squared(), from.dot(&end));
        let c = from.norm_squared() - (self.release - layout.arbor).norm_squared();
        let root = b * b - a * c;
        if root < 0.0 {
            return None;
        }
        let away = self.pallet.away();
        let slack = BEYOND_M / a.sqrt();
        [(-b - root.sqrt()) / a, (-b + root.sqrt()) / a]
            .into_iter()
            .filter(|share| (-slack..=1.0 + slack).contains(share))
            .map(|share| layout.angle_between(self.release, tip.front + share * end))
            .max_by(|p, q| (away * p).total_cmp(&(away * q)))
    }

    /// Poses of the slide from place `from_rad` to `to_rad`, both ends included.
    ///
    /// # Errors
    /// [`FamilyError::WheelCannotDrive`] where the pallet is not lifted out steadily as the tooth advances,
    /// [`FamilyError::EndFaceLeads`] where the end face is steeper than the pallet's.
    pub fn slide(&self, layout: &Layout, tip: &Tip, from_rad: f64, to_rad: f64) -> Result<Vec<Pose>, FamilyError> {
        let stalled = FamilyError::WheelCannotDrive { pallet: self.pallet, tangent_m: layout.tangent_m };
        let mut poses: Vec<Pose> = Vec::new();
        for step in 0..=STEPS {
            let phi_rad = from_rad + (to_rad - from_rad) * f64::from(step) / f64::from(STEPS);
            let theta_rad = self.theta_rad(layout, tip, phi_rad).ok_or(stalled)?;
            // A heel that would touch the face sooner than the front corner does takes the action over.
            if let Some(heel_rad) = self.with_face(layout, &Tip::sharp(tip.advanced(phi_rad).heel))
                && (heel_rad - theta_rad) * self.pallet.away() > LEAD_RAD
            {
                return Err(FamilyError::EndFaceLeads { pallet: self.pallet });
            }
            if poses.last().is_some_and(|last| (theta_rad - last.theta_rad) * self.pallet.away() <= 0.0) {
                return Err(stalled);
            }
            poses.push(Pose { theta_rad, phi_rad });
        }
        Ok(poses)
    }
}

/// Pallet angles going deeper by `swing_rad` from `theta_rad`.
pub(super) fn rest_angles(pallet: Side, theta_rad: f64, swing_rad: f64) -> impl Iterator<Item = f64> {
    (0..=STEPS).map(move |step| theta_rad - pallet.away() * swing_rad * f64::from(step) / f64::from(STEPS))
}

/// Poses with the pallet going deeper by `swing_rad` from `theta_rad` while the tooth stays at `phi_rad`.
pub(super) fn rest(pallet: Side, theta_rad: f64, swing_rad: f64, phi_rad: f64) -> Vec<Pose> {
    rest_angles(pallet, theta_rad, swing_rad).map(|theta_rad| Pose { theta_rad, phi_rad }).collect()
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
    pallet: Side,
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
