//! Whether pallets and wheel have room for one another with the pendulum hanging.

use crate::clock::mechanism::ContactEscapement;
use crate::clock::printing::tooth_root::root_edge;
use crate::clock::side::Side;
use crate::geometry::{ContactCurve, Outline, Point};

use super::EscapementOutlines;

/// Chords of arcs stay this near to them, m; a pallet so little inside the wheel touches it.
const SAGITTA_M: f64 = 1e-6;

/// Why the parts cannot be put together.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum StandingError {
    /// A pallet in the wheel's body.
    #[error("with the pendulum hanging at rest, the {pallet} pallet lies {:.3} mm inside the wheel, below the roots of the teeth", 1e3 * depth_m)]
    InBody {
        /// Which pallet.
        pallet: Side,
        /// How far it reaches below the root.
        depth_m: f64,
    },
    /// No place of the wheel at which both pallets are clear of the teeth.
    #[error("with the pendulum hanging at rest, the pallets lie in the teeth whichever way the wheel is turned")]
    NoPlace,
}

/// Checks that with the pendulum hanging there is a place of the wheel at which no pallet overlaps teeth or wheel. Of a wheel whose
/// teeth differ, the first tooth stands for all.
///
/// # Errors
/// [`StandingError`].
pub fn check_standing(
    outlines: &EscapementOutlines,
    escapement: &ContactEscapement,
    beat_error_rad: f64,
) -> Result<(), StandingError> {
    let tooth = outlines.tooth.vertices();
    if let Some(back) = root_edge(&outlines.tooth) {
        let front = tooth[(back + 1) % tooth.len()].at;
        let root_m = front.norm().min(tooth[back].at.norm());
        let arbor = Point::new(0.0, outlines.centre_distance_m);
        for (pallet, outline) in outlines.pallets.iter() {
            let depth_m = root_m - nearest_m(&outline.turned_about(arbor, beat_error_rad));
            if depth_m > SAGITTA_M {
                return Err(StandingError::InBody { pallet, depth_m });
            }
        }
    }
    let taken = [taken(&escapement.curves.entry), taken(&escapement.curves.exit)];
    let pitch_rad = escapement.pitch_rad();
    let is_free = |place_rad: f64| {
        taken.iter().flatten().all(|&(from_rad, width_rad)| {
            let within_rad = (place_rad - from_rad).rem_euclid(pitch_rad);
            within_rad == 0.0 && width_rad < pitch_rad || within_rad >= width_rad
        })
    };
    // If any place is free, one just before a pallet is.
    if taken.iter().flatten().any(|_| true) && !taken.iter().flatten().any(|&(from_rad, _)| is_free(from_rad)) {
        return Err(StandingError::NoPlace);
    }
    Ok(())
}

/// The places that a pallet takes from the wheel with the pendulum hanging: the first, and how many follow, rad.
fn taken(curve: &ContactCurve) -> Option<(f64, f64)> {
    let from_rad = curve.front_at(0.0)?.phi_rad;
    let to_rad = curve.back_advance_at(0.0)?;
    Some((from_rad, (to_rad - from_rad).max(0.0)))
}

/// Distance of the wheel's centre from an outline, m; 0 inside it.
fn nearest_m(outline: &Outline) -> f64 {
    let points = outline.polyline(SAGITTA_M);
    let edges = || points.iter().zip(points.iter().cycle().skip(1));
    let crossed = edges()
        .filter(|(from, to)| {
            (from.y > 0.0) != (to.y > 0.0) && from.x - from.y / (to.y - from.y) * (to.x - from.x) > 0.0
        })
        .count();
    if crossed % 2 == 1 {
        return 0.0;
    }
    edges()
        .map(|(from, to)| {
            let edge = to - from;
            let share = (-from.dot(&edge) / edge.norm_squared()).clamp(0.0, 1.0);
            (from + share * edge).norm()
        })
        .fold(f64::INFINITY, f64::min)
}
