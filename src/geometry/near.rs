//! Which primitives come near each other: how far each is from the wheel arbor and which way it faces rule out a contact cheaply.

use super::outline::Point;
use super::pair::Flank;
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
    fn meets(&self, other: &Self) -> bool {
        self.least_m <= other.most_m && other.least_m <= self.most_m
    }

    /// Wider by a length on either side.
    fn widened(&self, by_m: f64) -> Self {
        Self { least_m: self.least_m - by_m, most_m: self.most_m + by_m }
    }
}

/// Which primitives of a tooth and a pallet could touch: a touching point lies as far from the wheel arbor on the one as on the
/// other, and the tooth's normal there turns to the flank's side.
pub(super) struct Neighbourhood {
    /// Distances of the tooth's primitives from the wheel arbor.
    tooth_reach: Vec<Extent>,
    /// Whether the tooth's primitives have a front and a back.
    tooth_faces: Vec<(bool, bool)>,
    pallet: Vec<Primitive>,
    /// By how much, per radian of the pallets' turn, the distances of the pallet's primitives from the wheel arbor change at the
    /// most, m.
    pallet_arms_m: Vec<f64>,
    centre_distance_m: f64,
}

impl Neighbourhood {
    /// Of the primitives of a tooth (wheel frame) and of a pallet (front view at `theta = 0`).
    pub fn of(tooth: &[Primitive], pallet: Vec<Primitive>, centre_distance_m: f64) -> Self {
        let arbor = Point::new(0.0, centre_distance_m);
        let arm_m = |primitive: &Primitive| distances_m(primitive, arbor).most_m.min(centre_distance_m);
        Self {
            tooth_reach: tooth.iter().map(|primitive| distances_m(primitive, Point::zeros())).collect(),
            tooth_faces: tooth.iter().map(faces).collect(),
            pallet_arms_m: pallet.iter().map(arm_m).collect(),
            pallet,
            centre_distance_m,
        }
    }

    /// Distances of the pallet's primitives from the wheel arbor anywhere between two pallet angles.
    pub fn pallet_reach(&self, (from_rad, to_rad): (f64, f64)) -> Vec<Extent> {
        // The pallets stand still and the wheel arbor goes round their own.
        let arbor = Point::new(0.0, self.centre_distance_m);
        let seen_from = arbor + turned(-arbor, -0.5 * (from_rad + to_rad));
        let half_rad = 0.5 * (to_rad - from_rad);
        let reach =
            |(primitive, arm_m): (&Primitive, &f64)| distances_m(primitive, seen_from).widened(half_rad * arm_m);
        self.pallet.iter().zip(&self.pallet_arms_m).map(reach).collect()
    }

    /// Whether a tooth's and a pallet's primitive, given by their numbers, could touch on a flank.
    #[inline]
    pub fn could_touch(&self, flank: Flank, (tooth, pallet): (usize, usize), pallet_reach: &[Extent]) -> bool {
        let (front, back) = self.tooth_faces[tooth];
        let faces_there = if flank == Flank::Front { front } else { back };
        faces_there && self.tooth_reach[tooth].meets(&pallet_reach[pallet])
    }
}

/// Distances of a primitive's points from `from`, somewhat widened.
fn distances_m(primitive: &Primitive, from: Point) -> Extent {
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
fn faces(primitive: &Primitive) -> (bool, bool) {
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
