//! Where a plan puts arbor, locking circles and the four places at which a tooth lands and leaves.

use std::f64::consts::TAU;

use crate::clock::design::PalletPlan;
use crate::clock::side::Side;
use crate::geometry::Point;

use super::FamilyError;
use super::teeth::Tip;

/// Places and circles that both families share.
///
/// With `n = spaces - 1/2`, pitch `p` and drop `d` the tip corner of a tooth lands on the entry pallet at
/// `phi = -wide` and leaves it at `-narrow`, lands on the exit pallet at `+narrow` and leaves it at `+wide`, where
/// `2 wide = (n + 1) p - d` and `2 narrow = n p + d`. When a tooth leaves the entry pallet, another stands at
/// `-narrow + n p = narrow - d`, the drop short of its landing place on the exit pallet; when one leaves the exit
/// pallet, another stands at `wide - (n + 1) p = -wide - d`, the drop short of its place on the entry pallet.
#[derive(Debug, Clone, Copy)]
pub(super) struct Layout {
    pub teeth: u32,
    pub radius_m: f64,
    pub pitch_rad: f64,
    pub drop_rad: f64,
    /// Half-angle between the outer places.
    pub wide_rad: f64,
    /// Half-angle between the inner places.
    pub narrow_rad: f64,
    pub centre_distance_m: f64,
    /// Centre distance at which the pallet arbor lies on the tangents at the pallets' mean places.
    pub tangent_m: f64,
    /// Pallet arbor, (0, C).
    pub arbor: Point,
}

impl Layout {
    /// The layout of a plan.
    ///
    /// # Errors
    /// [`FamilyError`] for a quantity out of its range, spaces that are not a whole number and a half or reach half the
    /// wheel, a drop of half the pitch or more, and a pallet arbor inside the wheel.
    pub fn of<T>(plan: &PalletPlan<T>) -> Result<Self, FamilyError> {
        positive("number of teeth", f64::from(plan.teeth))?;
        let radius_m = positive("wheel radius", plan.radius_m)?;
        positive("lift", plan.lift_rad)?;
        let drop_rad = positive("drop", plan.drop_rad)?;
        positive("face length", plan.face_length_rad)?;
        let spaces = positive("number of spaces embraced", plan.spaces_embraced)?;
        let whole = (spaces - 0.5).round().max(0.0);
        if (spaces - 0.5 - whole).abs() > SPACES_SLACK {
            return Err(FamilyError::SpacesNotHalf { spaces, nearest: whole + 0.5 });
        }
        let teeth = plan.teeth;
        let pitch_rad = TAU / f64::from(teeth);
        if whole + 0.5 >= 0.5 * f64::from(teeth) {
            return Err(FamilyError::EmbracesHalf { spaces, teeth });
        }
        if drop_rad >= 0.5 * pitch_rad {
            return Err(FamilyError::DropTooLarge { drop_rad, half_pitch_rad: 0.5 * pitch_rad });
        }
        let wide_rad = 0.5 * ((whole + 1.0) * pitch_rad - drop_rad);
        let narrow_rad = 0.5 * (whole * pitch_rad + drop_rad);
        let middle_rad = 0.5 * (wide_rad + narrow_rad);
        let tangent_m = radius_m / middle_rad.cos();
        let centre_distance_m = match plan.centre_distance_m {
            Some(stated_m) => positive("centre distance", stated_m)?,
            None => tangent_m,
        };
        if centre_distance_m <= radius_m {
            return Err(FamilyError::ArborInsideWheel { centre_distance_m, radius_m, tangent_m });
        }
        let arbor = Point::new(0.0, centre_distance_m);
        Ok(Self { teeth, radius_m, pitch_rad, drop_rad, wide_rad, narrow_rad, centre_distance_m, tangent_m, arbor })
    }

    /// Places at which a tooth lands on a pallet and at which it leaves it, rad.
    pub fn places(&self, pallet: Side) -> (f64, f64) {
        match pallet {
            Side::Entry => (-self.wide_rad, -self.narrow_rad),
            Side::Exit => (self.narrow_rad, self.wide_rad),
        }
    }

    /// How far a face concentric with the pallet arbor falls back from the radius, going inward from a tip at the landing
    /// place, rad.
    pub fn locking_lean_rad(&self, pallet: Side) -> f64 {
        let (land_phi_rad, _) = self.places(pallet);
        let tip = self.on_tip_circle(land_phi_rad);
        let arm = tip - self.arbor;
        let inward = -pallet.away() * Point::new(-arm.y, arm.x);
        let forward = Point::new(land_phi_rad.cos(), -land_phi_rad.sin());
        (-inward.dot(&forward)).atan2(-inward.dot(&tip) / self.radius_m)
    }

    /// The release corner of a pallet at `theta = 0`, m: it lets `tip` go at the leaving place, `release_rad` past the centre.
    pub fn release_corner(&self, pallet: Side, tip: &Tip, release_rad: f64) -> Point {
        let (_, leave_phi_rad) = self.places(pallet);
        self.turned(tip.advanced(leave_phi_rad).release(), -pallet.away() * release_rad)
    }

    /// The point on the pallet's side at `radius_m` from the wheel's arbor, as far from the pallet arbor as `at`, m; `None` if
    /// the two circles do not meet.
    pub fn on_pallet_circle(&self, pallet: Side, at: Point, radius_m: f64) -> Option<Point> {
        let reach_m = (at - self.arbor).norm();
        let (c, r) = (self.centre_distance_m, radius_m);
        let cosine = (r * r + c * c - reach_m * reach_m) / (2.0 * r * c);
        let sine = (1.0 - cosine * cosine).max(0.0).sqrt();
        (cosine.abs() <= 1.0).then(|| r * Point::new(pallet.away() * sine, cosine))
    }

    /// `point` moved towards the pallet arbor by `by_m`, m.
    pub fn towards_arbor(&self, point: Point, by_m: f64) -> Point {
        if by_m == 0.0 { point } else { point + by_m * (self.arbor - point).normalize() }
    }

    /// Point of the tip circle at place `phi`, m.
    pub fn on_tip_circle(&self, phi_rad: f64) -> Point {
        self.radius_m * Point::new(phi_rad.sin(), phi_rad.cos())
    }

    /// `point` turned by `angle_rad` anticlockwise about the pallet arbor, m.
    pub fn turned(&self, point: Point, angle_rad: f64) -> Point {
        self.turned_by(point, angle_rad.sin_cos())
    }

    /// The same by sine and cosine of the angle.
    pub fn turned_by(&self, point: Point, (sine, cosine): (f64, f64)) -> Point {
        let arm = point - self.arbor;
        self.arbor + Point::new(cosine * arm.x - sine * arm.y, sine * arm.x + cosine * arm.y)
    }

    /// Angle about the pallet arbor from `from` to `to`, anticlockwise positive, in (-pi, pi].
    pub fn angle_between(&self, from: Point, to: Point) -> f64 {
        let (a, b) = (from - self.arbor, to - self.arbor);
        (a.x * b.y - a.y * b.x).atan2(a.dot(&b))
    }
}

/// Slack on "a whole number and a half": far below any intended difference, far above rounding of a decimal.
const SPACES_SLACK: f64 = 1e-9;

/// `value` if it is finite and above 0.
pub(super) fn positive(quantity: &'static str, value: f64) -> Result<f64, FamilyError> {
    if value.is_finite() && value > 0.0 { Ok(value) } else { Err(FamilyError::NotPositive { quantity, value }) }
}

/// `value` if it is finite and not below 0.
pub(super) fn not_negative(quantity: &'static str, value: f64) -> Result<f64, FamilyError> {
    if value.is_finite() && value >= 0.0 { Ok(value) } else { Err(FamilyError::Negative { quantity, value }) }
}
