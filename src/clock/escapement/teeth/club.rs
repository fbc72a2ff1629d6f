//! The club tooth: its end face rises from the front corner to the heel and takes a share of the lift.

use crate::clock::design::ClubTooth;
use crate::clock::escapement::FamilyError;
use crate::clock::escapement::layout::{Layout, positive};
use crate::clock::side::Side;
use crate::geometry::Point;
use crate::numerics::root::solve_bracketed;

use super::blade::Blade;
use super::{Tip, Tooth};

/// Largest rise of the end face above the tangent.
const STEEPEST_RAD: f64 = std::f64::consts::FRAC_PI_3;

/// The rise is found to this, rad: a thousandth of what shows in an action read to 1e-9 rad.
const RISE_TOLERANCE_RAD: f64 = 1e-14;

/// Tooth no. 0 in the wheel's frame, its front corner the first vertex, at (0, R), the heel the second, further out than R.
///
/// The rise of the end face is found so that the two pallets' mean tooth lift is as planned.
///
/// # Errors
/// [`FamilyError`] for sizes out of range, a tooth lift that no end face of that length gives, faces that miss the root and
/// teeth that merge there.
pub(super) fn club(layout: &Layout, form: &ClubTooth, release_rad: f64) -> Result<Tooth, FamilyError> {
    let blade = Blade::checked(layout, form.depth_m, form.undercut_rad, form.wedge_rad)?;
    let tip_width_m = positive("tip width", form.tip_width_m)?;
    let tooth_lift_rad = positive("lift on the tooth", form.tooth_lift_rad)?;
    let front = Point::new(0.0, layout.radius_m);
    let tip = |rise_rad: f64| Tip {
        front,
        heel: front + tip_width_m * Point::new(-rise_rad.cos(), rise_rad.sin()),
        round_m: 0.0,
    };
    // The end face as a chord of the tip circle gives no lift.
    let least_rad = -(0.5 * tip_width_m / layout.radius_m).min(1.0).asin();
    let excess_rad = |rise_rad: f64| {
        mean_tooth_lift_rad(layout, &tip(rise_rad), release_rad).map_or(f64::NAN, |lift| lift - tooth_lift_rad)
    };
    let (low, high) = (excess_rad(least_rad), excess_rad(STEEPEST_RAD));
    let refused = FamilyError::ToothLiftOutOfReach { tooth_lift_rad, most_rad: (high + tooth_lift_rad).max(0.0) };
    let rise_rad =
        solve_bracketed(excess_rad, (least_rad, low), (STEEPEST_RAD, high), RISE_TOLERANCE_RAD).map_err(|_| refused)?;
    blade.tooth(layout, Some(tip(rise_rad).heel), tip(rise_rad))
}

/// Pallet angle over which the end face drives the release corner, the mean of both pallets; `None` if the front corner never
/// reaches one.
fn mean_tooth_lift_rad(layout: &Layout, tip: &Tip, release_rad: f64) -> Option<f64> {
    let of = |pallet: Side| {
        let release = layout.release_corner(pallet, tip, release_rad);
        let handover = layout.on_pallet_circle(pallet, release, tip.front.norm())?;
        Some(release_rad - pallet.away() * layout.angle_between(release, handover))
    };
    Some(0.5 * (of(Side::Entry)? + of(Side::Exit)?))
}
