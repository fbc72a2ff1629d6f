//! How far a primitive is from a point, and which way it faces: what rules out a contact cheaply.

use super::outline::Point;
use super::primitive::{Primitive, cross, turned};

/// Share of a length by which distances are widened: more than the play at the ends of primitives, which is largest on an arc of
/// next to no turn, the root of twice that play.
const MARGIN: f64 = 1e-6;

/// Least and greatest distance, m.
#[derive(Debug, Clone, Copy)]
pub(super) struct Extent {
    least_m: f64,
    most_m: f64,
}

impl Extent {
    /// Whether some distance is in both.
    #[inline]
    pub fn meets(&self, other: &Self) -> bool {
        self.least_m <= other.most_m && other.least_m <= self.most_m
    }

    /// The greatest.
    pub fn most_m(&self) -> f64 {
        self.most_m
    }

    /// Wider by a length on either side.
    pub fn widened(&self, by_m: f64) -> Self {
        Self { least_m: self.least_m - by_m, most_m: self.most_m + by_m }
    }
}

/// Distances of a primitive's points from `from`, somewhat widened.
pub(super) fn distances_m(primitive: &Primitive, from: Point) -> Extent {
    let (least_m, most_m, size_m) = match *primitive {
        Primitive::Line { from: start, along, length_m } => {
            let (first, last) = (start - from, start + length_m * along - from);
            let foot = (-first.dot(&along)).clamp(0.0, length_m);
            ((first + foot * along).norm(), first.norm().max(last.norm()), length_m)
        }
        Primitive::Arc { centre, radius_m, middle_normal, half_span_cosine } => {
            let arm = centre - from;
            let (arm_m, size_m) = (arm.norm(), radius_m.abs());
            let half_span = half_span_cosine.clamp(-1.0, 1.0).acos();
            let ends = [-half_span, half_span].map(|turn| (arm + radius_m * turned(middle_normal, turn)).norm());
            // The nearest and farthest points of the whole circle, where they are on the arc.
            let towards = arm.dot(&middle_normal) * radius_m.signum();
            let farthest = if towards >= half_span_cosine * arm_m { arm_m + size_m } else { 0.0 };
            let nearest = if -towards >= half_span_cosine * arm_m { (arm_m - size_m).abs() } else { f64::INFINITY };
            (ends[0].min(ends[1]).min(nearest), ends[0].max(ends[1]).max(farthest), size_m)
        }
    };
    Extent { least_m, most_m }.widened(MARGIN * (most_m + size_m))
}

/// Whether a tooth's primitive, in the wheel's frame, has places where it faces forward (an obstacle there holds the wheel) and
/// where it faces back; a place that faces straight out counts as both.
pub(super) fn faces(primitive: &Primitive) -> (bool, bool) {
    let (arms_m, size_m) = match *primitive {
        Primitive::Line { from, along, length_m } => {
            let first = from.dot(&along);
            ([first, first + length_m], from.norm() + length_m)
        }
        Primitive::Arc { centre, middle_normal, half_span_cosine, .. } => {
            // Over less than half a turn of the normal its arm changes sign once at the most.
            if !(half_span_cosine > 0.0) {
                return (true, true);
            }
            let half_span = half_span_cosine.min(1.0).acos();
            ([-half_span, half_span].map(|turn| -cross(centre, turned(middle_normal, turn))), centre.norm())
        }
    };
    let margin_m = MARGIN * size_m;
    (arms_m.iter().any(|&arm| arm > -margin_m), arms_m.iter().any(|&arm| arm < margin_m))
}
