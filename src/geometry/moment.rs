//! Second moment of the area inside an outline.

use super::outline::{Outline, Point, arc_centre};

/// Arcs flatter than this are integrated along the arc: their closed form is a small difference of large terms, those of a
/// circle many times larger than the arc.
const FLAT_BULGE: f64 = 0.05;

/// Nodes (0 to 1, both signs) and weights of the Gauss-Legendre rule of ten points (Abramowitz and Stegun 1964, table 25.4; from
/// memory). Along an arc of bulge 0.05 the integrand turns by less than half a radian: the rule is exact to rounding.
const GAUSS: [(f64, f64); 5] = [
    (0.148_874_338_981_631_22, 0.295_524_224_714_752_87),
    (0.433_395_394_129_247_2, 0.269_266_719_309_996_35),
    (0.679_409_568_299_024_4, 0.219_086_362_515_982_04),
    (0.865_063_366_688_984_5, 0.149_451_349_150_580_6),
    (0.973_906_528_517_171_7, 0.066_671_344_308_688_14),
];

impl Outline {
    /// Polar second moment of the enclosed area about a point, m^4, positive: the integral of the squared distance from it.
    ///
    /// By Green's theorem a quarter of the closed integral of `r^2 (x dy - y dx)`, in closed form on every edge.
    #[must_use]
    pub fn polar_moment_m4(&self, about: Point) -> f64 {
        self.edges()
            .map(|(from, to, bulge)| {
                let (from, to) = (from - about, to - about);
                if bulge == 0.0 {
                    line_m4(from, to)
                } else if bulge.abs() < FLAT_BULGE {
                    flat_arc_m4(from, to, bulge)
                } else {
                    arc_m4(from, to, bulge)
                }
            })
            .sum()
    }
}

/// Share of a straight edge.
fn line_m4(from: Point, to: Point) -> f64 {
    from.perp(&to) * (from.norm_squared() + from.dot(&to) + to.norm_squared()) / 12.0
}

/// Share of an arc: of `p = c + R u` with the unit vector `u` it is the integral over the angle of
/// `(R^2 + R c.u) (|c|^2 + R^2 + 2 R c.u) / 4`, for which those of `c.u` and its square are wanted.
fn arc_m4(from: Point, to: Point, bulge: f64) -> f64 {
    let sweep_rad = 4.0 * bulge.atan();
    let centre = arc_centre(from, to, bulge);
    let (start, end) = (from - centre, to - centre);
    let radius_m = 0.5 * (start.norm() + end.norm());
    let (radius_2, centre_2) = (radius_m * radius_m, centre.norm_squared());
    let chord = to - from;
    // R c.u integrates to c times the chord turned clockwise by a right angle,
    let along = centre.dot(&Point::new(chord.y, -chord.x));
    // and (R c.u)^2 to half of |R c|^2 times the angle and of the change of (R c.u) (R c x u).
    let product = |arm: Point| centre.dot(&arm) * centre.perp(&arm);
    let square = 0.5 * (centre_2 * radius_2 * sweep_rad + product(end) - product(start));
    0.25 * (radius_2 * (centre_2 + radius_2) * sweep_rad + (centre_2 + 3.0 * radius_2) * along + 2.0 * square)
}

/// Share of a flat arc, along half the chord to each side of its middle: no term of it is larger than the arc's own reach.
fn flat_arc_m4(from: Point, to: Point, bulge: f64) -> f64 {
    let half_rad = 2.0 * bulge.atan();
    let middle = 0.5 * (from + to);
    let half_chord = 0.5 * (to - from);
    // Positive bulges lie to the right of the chord.
    let right = Point::new(half_chord.y, -half_chord.x);
    let share = |place: f64| {
        let angle = half_rad * place;
        let height = 2.0 * (0.5 * (half_rad + angle)).sin() * (0.5 * (half_rad - angle)).sin() / half_rad.sin();
        let at = middle + half_chord * (angle.sin() / half_rad.sin()) + right * height;
        let way = (half_chord * angle.cos() - right * angle.sin()) * (half_rad / half_rad.sin());
        0.25 * at.norm_squared() * at.perp(&way)
    };
    GAUSS.iter().map(|&(node, weight)| weight * (share(node) + share(-node))).sum()
}
