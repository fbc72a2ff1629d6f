//! One gear of a mesh as it was made: where its flanks begin and end, and what its tips and roots leave each other.

use std::f64::consts::PI;

use super::mesh::GearPair;

/// What a gear has become since it was designed; lengths in modules as designed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MadeGear {
    /// Size over that designed, `k`.
    pub scale: f64,
    /// Distance by which every edge stands out beyond that, normal to it; below 0 where it falls short.
    pub growth: f64,
    /// Radius of the bead, which rounds the corners of the tips from inside and those of the roots from outside.
    pub bead: f64,
}

impl MadeGear {
    /// A gear as designed.
    pub const DESIGNED: Self = Self { scale: 1.0, growth: 0.0, bead: 0.0 };
}

/// A gear as far as its mesh has to know it; lengths in modules as designed.
///
/// An involute moved outward by `g` normal to itself is an involute of the same base circle, turned by `g/rb`: what is along the
/// normal of the flank is along the line of action (Dudley; ISO 21771; derived). So growth changes neither base circle nor
/// pressure angle, and widens the tooth at its base by `2 g`. Below the base circle flanks are radial.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GearOutline {
    /// Radius of the base circle.
    pub base: f64,
    /// Base pitch.
    pub base_pitch: f64,
    /// Arc of a tooth on the base circle, flank to flank.
    pub thickness_at_base: f64,
    /// Radius to the outermost point of a tip.
    pub tip: f64,
    /// Length on the line of action from the base circle to where a flank ends in the rounded corner of its tip.
    pub tip_run: f64,
    /// The same to where a flank begins above the fillet of its root; 0 where it begins at the base circle.
    pub fillet_run: f64,
    corner: RoundedCorner,
    root: f64,
    fillet: RoundedCorner,
}

/// A rounded corner of a tooth or of a space.
#[derive(Debug, Clone, Copy, PartialEq)]
struct RoundedCorner {
    /// Radius of the arc.
    radius: f64,
    /// Distance of its middle from the gear's.
    middle: f64,
    /// Angle from the axis of the tooth, or of the space, to its middle.
    angle_rad: f64,
}

/// Radius over the tips of a gear as designed, modules: the tips stand one module beyond the pitch circle.
#[must_use]
pub fn designed_tip(teeth: f64) -> f64 {
    0.5 * teeth + 1.0
}

/// Radius over the roots of a gear as designed, modules: one module and the bottom clearance below the pitch circle.
#[must_use]
pub fn designed_root(teeth: f64, bottom_clearance: f64) -> f64 {
    0.5 * teeth - 1.0 - bottom_clearance
}

impl GearOutline {
    /// A gear of a pair with so many teeth, as made.
    ///
    /// Corners: growth rounds those of the tips (an edge moved outward turns a corner into an arc), loss those of the roots, and
    /// neither is tighter than the bead. The arc of a tip of radius `r` lies inside the tip circle and touches the flank: its middle
    /// is on the flank moved inward by `r` at the radius `ra - r`, so that the flank ends at the length
    /// `r + sqrt((ra - r)^2 - rb^2)` on the line of action. Where both arcs of a tooth do not fit side by side the tip is one arc
    /// between the flanks, and lower. The arc of a root is had in the same way from outside, with the flank moved outward.
    #[must_use]
    pub fn of(pair: &GearPair, teeth: f64, made: MadeGear) -> Self {
        let MadeGear { scale, growth, bead } = made;
        let base = 0.5 * scale * teeth * pair.pressure_angle_rad.cos();
        let designed_half_rad = 0.5 * (PI - pair.backlash) / teeth + involute(pair.pressure_angle_rad);
        let half_rad = designed_half_rad + growth / base;
        let tip_circle = scale * designed_tip(teeth) + growth;
        let root_circle = scale * designed_root(teeth, pair.bottom_clearance) + growth;
        let (corner, tip) = tip_corner(base, half_rad, tip_circle, bead.max(growth));
        let fillet = root_corner(
            &MovedFlank { base, half_rad: designed_half_rad, growth },
            PI / teeth,
            root_circle,
            bead.max(-growth),
            tip_circle,
        );
        let fillet_run = tip_run(base, fillet.middle) - fillet.radius;
        Self {
            base,
            base_pitch: PI * scale * pair.pressure_angle_rad.cos(),
            thickness_at_base: 2.0 * base * half_rad,
            tip,
            tip_run: if tip > base { corner.radius + tip_run(base, corner.middle) } else { 0.0 },
            fillet_run: if fillet.radius > 0.0 { fillet_run.max(0.0) } else { 0.0 },
            corner,
            root: fillet.middle - fillet.radius,
            fillet,
        }
    }

    /// Room between a tip of this gear and a root of `other`, its arbor `distance` away.
    ///
    /// The lesser of the room over the middle of the root, and of that between the rounded corner of the tip and the fillet where
    /// the tooth stands on the line of the arbors with its flank against the other's. The way of the corner into the space is not
    /// followed; what it meets there first is the foot of the flank, of which [`GearOutline::fillet_run`] tells.
    #[must_use]
    pub fn tip_room(&self, other: &Self, distance: f64, normal_play: f64) -> f64 {
        let over_root = distance - self.tip - other.root;
        if other.fillet.radius == 0.0 {
            return over_root;
        }
        let place = |corner: &RoundedCorner, angle_rad: f64| {
            let (sine, cosine) = angle_rad.sin_cos();
            (corner.middle * sine, corner.middle * cosine)
        };
        let (x_tip, y_tip) = place(&self.corner, self.corner.angle_rad);
        let angle_rad = other.fillet.angle_rad - 0.5 * normal_play.max(0.0) / other.base;
        let (x_root, up) = place(&other.fillet, angle_rad);
        let (across, deeper) = (x_tip - x_root, y_tip - (distance - up));
        // Only beyond the middle of the fillet, towards flank and root, is its arc what is met.
        if across <= 0.0 || deeper <= 0.0 {
            return over_root;
        }
        over_root.min(other.fillet.radius - self.corner.radius - across.hypot(deeper))
    }
}

/// The corner of a tip, and the radius of the tip.
fn tip_corner(base: f64, half_rad: f64, circle: f64, radius: f64) -> (RoundedCorner, f64) {
    let radius = radius.max(0.0);
    let inner_rad = half_rad - radius / base;
    let at = |middle: f64| inner_rad - involute((base / middle).min(1.0).acos());
    let middle = circle - radius;
    let angle_rad = at(middle);
    if middle > base && (angle_rad >= 0.0 || radius == 0.0) {
        return (RoundedCorner { radius, middle, angle_rad }, circle);
    }
    // The flanks, moved inward by the radius, meet below the tip circle; without a tooth as wide as that nothing is left.
    if inner_rad <= 0.0 || middle <= base {
        return (RoundedCorner { radius, middle: base, angle_rad: 0.0 }, base);
    }
    let middle = base / involute_angle_rad(inner_rad).cos();
    (RoundedCorner { radius, middle, angle_rad: 0.0 }, middle + radius)
}

/// A flank as designed, and how far it was moved outward.
struct MovedFlank {
    base: f64,
    half_rad: f64,
    growth: f64,
}

impl MovedFlank {
    /// Angle from the tooth's axis to the flank moved outward by the growth and `radius` more, at a distance from the gear's middle.
    fn angle_rad(&self, radius: f64, middle: f64) -> f64 {
        let out = self.growth + radius;
        if tip_run(self.base, middle) >= out.max(0.0) && middle > self.base {
            self.half_rad + out / self.base - involute((self.base / middle).acos())
        } else {
            self.half_rad + (out / middle).clamp(-1.0, 1.0).asin()
        }
    }
}

/// The corner of a root; where both of a space do not fit side by side, one arc between the flanks, up to `ceiling` at most.
fn root_corner(flank: &MovedFlank, half_pitch_rad: f64, circle: f64, radius: f64, ceiling: f64) -> RoundedCorner {
    let radius = radius.max(0.0);
    let angle_rad = |middle: f64| half_pitch_rad - flank.angle_rad(radius, middle);
    let mut middle = circle + radius;
    if angle_rad(middle) < 0.0 && radius > 0.0 {
        let mut above = ceiling.max(middle) + radius;
        for _ in 0..60 {
            let between = 0.5 * (middle + above);
            if angle_rad(between) < 0.0 { middle = between } else { above = between }
        }
        middle = above;
    }
    RoundedCorner { radius, middle, angle_rad: angle_rad(middle).max(0.0) }
}

/// Length on the line of action from a base circle to a circle around it; 0 inside.
pub(super) fn tip_run(base: f64, circle: f64) -> f64 {
    (circle * circle - base * base).max(0.0).sqrt()
}

/// `inv alpha = tan alpha - alpha`.
#[must_use]
pub fn involute(angle_rad: f64) -> f64 {
    angle_rad.tan() - angle_rad
}

/// The angle, from 0 to below pi/2, whose involute function is `value` (at least 0).
///
/// Newton's method from above: `inv` is convex, and both `cbrt(3 y)` and `atan(y + pi/2)` lie above the root.
#[must_use]
pub fn involute_angle_rad(value: f64) -> f64 {
    if !(value > 0.0) {
        return 0.0;
    }
    let mut angle_rad = (3.0 * value).cbrt().min((value + 0.5 * PI).atan());
    for _ in 0..50 {
        let tangent = angle_rad.tan();
        let next = angle_rad - (tangent - angle_rad - value) / (tangent * tangent);
        if !(next < angle_rad) {
            break;
        }
        angle_rad = next;
    }
    angle_rad
}
