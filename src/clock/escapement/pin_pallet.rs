//! Pallets that are round pins: the teeth hold them on their front faces and lift them with their end faces.

use crate::clock::design::PinPallet;
use crate::clock::side::{PerPallet, Side};
use crate::geometry::{Outline, Point};
use crate::numerics::root::solve_bracketed;

use super::face::{Pose, PosedPallet, STEPS, rest_angles};
use super::layout::{Layout, positive};
use super::teeth::{Tooth, rising};
use super::{EscapementOutlines, FamilyError, overlap as clearance};

/// Largest rise of the end face above the tangent.
const STEEPEST_RAD: f64 = 0.4 * std::f64::consts::PI;

/// Rise and length of the end face are found to this share: a thousandth of what shows in an action read to 1e-9 rad.
const TOLERANCE: f64 = 1e-14;

/// Lengths of the end face, as shares of the pitch, among which the planned drop is bracketed.
const LENGTHS: u32 = 24;

/// Outlines of an escapement whose pallets are pins, m, at `theta = 0` and `phi = 0`.
///
/// A pin rests on the front face of a tooth; where the pallet's swing takes it past the front corner it is unlocked, and the end
/// face lifts it until the heel has passed below it. The pins stand where the heel lets them go at the layout's leaving
/// places, (lift + lock) / 2 past the centre. Length and rise of the end face, the same for both pallets, are found so that the
/// means of both pallets' lift and drop are as planned; each pallet by itself may differ a little, and so may its lock. The
/// front face is straight, so the wheel does not stand quite still while it locks. The beat error is not applied.
///
/// # Errors
/// [`FamilyError`]; the action up to `face_length_rad` beyond the unlocking is checked against all teeth.
///
/// Source: own construction from the conditions on unlocking, landing and leaving.
pub fn pin_pallet(design: &PinPallet) -> Result<EscapementOutlines, FamilyError> {
    let layout = Layout::of(&design.plan)?;
    let pin_m = 0.5 * positive("pin diameter", design.pin_diameter_m)?;
    let lock_rad = positive("lock", design.lock_rad)?;
    let release_rad = 0.5 * (design.plan.lift_rad + lock_rad);
    let with = |length_m: f64, rise_rad: f64| -> Result<Pinned, FamilyError> {
        let tooth = rising(&layout, &design.plan.tooth, length_m, rise_rad)?;
        Ok(Pinned { layout, tooth, pin_m, release_rad, undercut_rad: design.plan.tooth.undercut_rad })
    };
    // Sizes that no length mends are told first.
    with(1e-3 * layout.radius_m * layout.pitch_rad, 0.0)?;
    let none = FamilyError::NoEndFace { diameter_m: design.pin_diameter_m };
    let risen = |length_m: f64| -> Option<Pinned> {
        let excess_rad = |rise_rad: f64| {
            let lift = with(length_m, rise_rad).ok().and_then(|pinned| pinned.mean(Pinned::lift_rad));
            lift.map_or(f64::NAN, |lift| lift - design.plan.lift_rad)
        };
        let flat_rad = -(0.5 * length_m / layout.radius_m).min(1.0).asin();
        let high = (1..=8).rev().map(|eighths| flat_rad + (STEEPEST_RAD - flat_rad) * f64::from(eighths) / 8.0);
        let (high, high_value) = high.map(|rise| (rise, excess_rad(rise))).find(|(_, value)| value.is_finite())?;
        let low = (flat_rad, excess_rad(flat_rad));
        let rise_rad = solve_bracketed(excess_rad, low, (high, high_value), TOLERANCE).ok()?;
        with(length_m, rise_rad).ok()
    };
    let excess_rad = |length_m: f64| {
        let drop = risen(length_m).and_then(|pinned| pinned.mean(Pinned::drop_before_rad));
        drop.map_or(f64::NAN, |drop| drop - design.plan.drop_rad)
    };
    let arc_m = layout.radius_m * layout.pitch_rad;
    let tried: Vec<(f64, f64)> = (1..=LENGTHS)
        .map(|step| arc_m * f64::from(step) / f64::from(LENGTHS))
        .map(|length_m| (length_m, excess_rad(length_m)))
        .collect();
    let bracket = tried.windows(2).find(|pair| pair[0].1 >= 0.0 && pair[1].1 <= 0.0).ok_or(none)?;
    let length_m =
        solve_bracketed(excess_rad, bracket[0], bracket[1], TOLERANCE * layout.radius_m).map_err(|_| none)?;
    let pinned = risen(length_m).ok_or(none)?;
    let actions = PerPallet::try_from_fn(|pallet| pinned.action(pallet, design.plan.face_length_rad))?;
    clearance::outlines_of(&layout, pinned.tooth, actions)
}

/// A tooth and the pins that it lets go at the leaving places.
struct Pinned {
    layout: Layout,
    tooth: Tooth,
    pin_m: f64,
    release_rad: f64,
    undercut_rad: f64,
}

impl Pinned {
    /// The mean of a figure of both pallets.
    fn mean(&self, of: impl Fn(&Self, Side) -> Option<f64>) -> Option<f64> {
        Some(0.5 * (of(self, Side::Entry)? + of(self, Side::Exit)?))
    }

    /// Centre of a pallet's pin at `theta = 0`, m: straight above the heel when that lets it go.
    fn pin(&self, pallet: Side) -> Point {
        let heel = self.tooth.tip.advanced(self.layout.places(pallet).1).heel;
        let above = heel * (1.0 + self.pin_m / heel.norm());
        self.layout.turned(above, -pallet.away() * self.release_rad)
    }

    /// Centre of a pin that touches the front face `down_m` below the front corner, in the wheel's frame at `phi = 0`, m.
    fn on_front(&self, down_m: f64) -> Point {
        let (sine, cosine) = self.undercut_rad.sin_cos();
        self.tooth.tip.front + self.pin_m * Point::new(cosine, -sine) - down_m * Point::new(sine, cosine)
    }

    /// Pallet angle at which a pin passes the front corner, rad.
    fn unlock_rad(&self, pallet: Side) -> Option<f64> {
        let pin = self.pin(pallet);
        let passing = self.layout.on_pallet_circle(pallet, pin, self.on_front(0.0).norm())?;
        Some(self.layout.angle_between(pin, passing))
    }

    fn lift_rad(&self, pallet: Side) -> Option<f64> {
        Some(self.release_rad - pallet.away() * self.unlock_rad(pallet)?)
    }

    /// Wheel angle that a tooth falls before it lands on a pallet, rad.
    fn drop_before_rad(&self, pallet: Side) -> Option<f64> {
        let landing = self.layout.turned(self.pin(pallet), -pallet.away() * self.release_rad);
        // When the other pallet lets go, the tooth that will land stands a drop short of the layout's landing place.
        let (land_phi_rad, _) = self.layout.places(pallet);
        Some(self.held_phi_rad(landing)? - land_phi_rad + self.layout.drop_rad)
    }

    /// Place of the tooth that is stopped by a pin at `centre`, rad: of all the places at which a part of it would touch the pin,
    /// the one reached first.
    fn held_phi_rad(&self, centre: Point) -> Option<f64> {
        let place = |point: Point| centre.x.atan2(centre.y) - point.x.atan2(point.y);
        let reach_m = centre.norm();
        let touches = [self.front_at(reach_m), self.end_at(reach_m)];
        let corners = [self.tooth.tip.front, self.tooth.tip.heel].map(|corner| {
            let cosine =
                (corner.norm_squared() + reach_m * reach_m - self.pin_m * self.pin_m) / (2.0 * corner.norm() * reach_m);
            (cosine <= 1.0).then(|| place(corner) - cosine.acos())
        });
        touches.into_iter().flatten().map(place).chain(corners.into_iter().flatten()).min_by(f64::total_cmp)
    }

    /// Centre at `reach_m` from the wheel's arbor of a pin on the front face, in the wheel's frame, m.
    fn front_at(&self, reach_m: f64) -> Option<Point> {
        let (start, along) = (self.on_front(0.0), -Point::new(self.undercut_rad.sin(), self.undercut_rad.cos()));
        on_ray(start, along, reach_m).map(|(point, _)| point)
    }

    /// Centre at `reach_m` from the wheel's arbor of a pin on the end face, in the wheel's frame, m.
    fn end_at(&self, reach_m: f64) -> Option<Point> {
        let end = self.tooth.tip.heel - self.tooth.tip.front;
        let along = end.normalize();
        let start = self.tooth.tip.front + self.pin_m * Point::new(along.y, -along.x);
        on_ray(start, along, reach_m).filter(|&(_, way_m)| way_m <= end.norm()).map(|(point, _)| point)
    }

    /// One pallet, with poses from the deepest lock to the release.
    fn action(&self, pallet: Side, swing_rad: f64) -> Result<PosedPallet, FamilyError> {
        let none = FamilyError::NoEndFace { diameter_m: 2.0 * self.pin_m };
        let away = pallet.away();
        let (pin, unlock_rad) = (self.pin(pallet), self.unlock_rad(pallet).ok_or(none)?);
        let release_rad = away * self.release_rad;
        let lift = (0..=STEPS).map(|step| unlock_rad + (release_rad - unlock_rad) * f64::from(step) / f64::from(STEPS));
        let poses = rest_angles(pallet, unlock_rad, swing_rad)
            .chain(lift)
            .map(|theta_rad| {
                let phi_rad = self.held_phi_rad(self.layout.turned(pin, theta_rad)).ok_or(none)?;
                Ok(Pose { theta_rad, phi_rad })
            })
            .collect::<Result<_, FamilyError>>()?;
        Ok(PosedPallet { pallet, outline: Outline::circle(pin, self.pin_m)?, poses, locking_lean_rad: None })
    }
}

/// The first point at `reach_m` from the wheel centre on the ray from `start` along `along`, m, and the way to it.
fn on_ray(start: Point, along: Point, reach_m: f64) -> Option<(Point, f64)> {
    let inward = -start.dot(&along);
    let square = inward * inward - start.norm_squared() + reach_m * reach_m;
    if square < 0.0 {
        return None;
    }
    [inward - square.sqrt(), inward + square.sqrt()]
        .into_iter()
        .find(|way_m| *way_m >= -f64::EPSILON * reach_m)
        .map(|way_m| (start + way_m * along, way_m))
}
