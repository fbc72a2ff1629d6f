//! Whether a contact lies on both of two primitives: places along lines and directions within arcs.

use super::outline::Point;
use super::pair::{Angles, Trig};
use super::primitive::{END_PLAY, Primitive, cross};

/// Where the contact of a pair of primitives lies on each of them, as trigonometric polynomials of the two angles: the place
/// along a line, the cosine of the normal's angle from the middle of an arc.
#[derive(Debug, Clone, Copy)]
pub(super) struct Limits {
    tooth: (Trig, f64, f64),
    pallet: (Trig, f64, f64),
}

impl Limits {
    /// The limits of a tooth primitive (wheel frame) and a pallet primitive (front view at `theta = 0`); `None` for two lines.
    ///
    /// With `A = i C`, a pallet point `A + p e^(i theta)` and a tooth point `q e^(-i phi)`, the normal `n` is
    /// `(A + p e^(i theta) - q e^(-i phi)) / R` between arcs, `i u e^(i theta)` on a pallet line along `u` and
    /// `-i u e^(-i phi)` on a tooth line.
    pub fn new(tooth: &Primitive, pallet: &Primitive, centre_distance_m: f64) -> Option<Self> {
        let c = centre_distance_m;
        let arbor = Point::new(0.0, c);
        let within = |half_span_cosine: f64| (half_span_cosine - END_PLAY, f64::INFINITY);
        let along = |length_m: f64| (-END_PLAY, length_m + END_PLAY);
        let (tooth_place, pallet_place, tooth_range, pallet_range) = match (*tooth, *pallet) {
            (
                Primitive::Arc { centre: q, radius_m: tooth_radius, middle_normal: m, half_span_cosine },
                Primitive::Arc { centre, radius_m, middle_normal: l, half_span_cosine: pallet_cosine },
            ) => {
                let p = centre - arbor;
                let r = tooth_radius + radius_m;
                let on_tooth = [-m.dot(&q), 0.0, 0.0, c * m.y, -c * m.x, m.dot(&p), -cross(m, p)];
                let on_pallet = [-l.dot(&p), -c * l.y, -c * l.x, 0.0, 0.0, l.dot(&q), cross(l, q)];
                (on_tooth.map(|k| k / r), on_pallet.map(|k| k / r), within(half_span_cosine), within(pallet_cosine))
            }
            (
                Primitive::Arc { centre: q, middle_normal: m, half_span_cosine, .. },
                Primitive::Line { from, along: u, length_m },
            ) => (
                [0.0, 0.0, 0.0, 0.0, 0.0, -cross(m, u), -m.dot(&u)],
                [(arbor - from).dot(&u), -c * u.y, -c * u.x, 0.0, 0.0, u.dot(&q), cross(u, q)],
                within(half_span_cosine),
                along(length_m),
            ),
            (
                Primitive::Line { from, along: u, length_m },
                Primitive::Arc { centre, middle_normal: l, half_span_cosine, .. },
            ) => {
                let p = centre - arbor;
                (
                    [-from.dot(&u), 0.0, 0.0, c * u.y, -c * u.x, u.dot(&p), -cross(u, p)],
                    [0.0, 0.0, 0.0, 0.0, 0.0, -cross(l, u), l.dot(&u)],
                    along(length_m),
                    within(half_span_cosine),
                )
            }
            (Primitive::Line { .. }, Primitive::Line { .. }) => return None,
        };
        Some(Self {
            tooth: (Trig { k: tooth_place }, tooth_range.0, tooth_range.1),
            pallet: (Trig { k: pallet_place }, pallet_range.0, pallet_range.1),
        })
    }

    /// Whether the contact at these angles lies on both.
    #[inline]
    pub fn hold(&self, angles: &Angles) -> bool {
        let holds = |(place, least, most): &(Trig, f64, f64)| (*least..=*most).contains(&place.value(angles));
        holds(&self.tooth) && holds(&self.pallet)
    }
}
