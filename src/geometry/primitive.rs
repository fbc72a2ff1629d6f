//! The pieces of an outline that can touch another: edges, arcs and sharp corners.

use super::outline::{Outline, Point, arc_centre};

/// A piece of an outline. A sharp corner is an arc of radius 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Primitive {
    /// Straight edge.
    Line {
        /// Start.
        from: Point,
        /// Unit vector to the end.
        along: Point,
        /// Length, m.
        length_m: f64,
    },
    /// Arc or corner.
    Arc {
        /// Centre.
        centre: Point,
        /// Radius, m: positive where the outline bulges outwards, negative in a hollow, 0 at a corner.
        radius_m: f64,
        /// Outward normal in the middle of the arc.
        middle_normal: Point,
        /// Cosine of half the angle that the normals span.
        half_span_cosine: f64,
    },
}

impl Primitive {
    /// The piece turned anticlockwise about a point.
    #[must_use]
    pub fn turned_about(&self, pivot: Point, angle_rad: f64) -> Self {
        let placed = |point: Point| pivot + turned(point - pivot, angle_rad);
        match *self {
            Self::Line { from, along, length_m } => {
                Self::Line { from: placed(from), along: turned(along, angle_rad), length_m }
            }
            Self::Arc { centre, radius_m, middle_normal, half_span_cosine } => Self::Arc {
                centre: placed(centre),
                radius_m,
                middle_normal: turned(middle_normal, angle_rad),
                half_span_cosine,
            },
        }
    }
}

/// Play in the test whether a contact lies on a primitive: keeps neighbours from both refusing their common end.
pub(super) const END_PLAY: f64 = 1e-13;

/// Edges, arcs and sharp outward corners of an outline, in order.
#[must_use]
pub fn primitives_of(outline: &Outline) -> Vec<Primitive> {
    let edges: Vec<_> = outline.edges().collect();
    let mut primitives = Vec::with_capacity(2 * edges.len());
    for (index, &(from, to, bulge)) in edges.iter().enumerate() {
        let (before_from, before_to, before_bulge) = edges[(index + edges.len() - 1) % edges.len()];
        let normal_before = end_normal(before_from, before_to, before_bulge, true);
        let normal_here = end_normal(from, to, bulge, false);
        let turn = cross(normal_before, normal_here).atan2(normal_before.dot(&normal_here));
        // A joint this smooth needs no corner: its neighbours' ends meet within END_PLAY.
        if turn > 1e-9 {
            primitives.push(corner(from, normal_before, turn));
        }
        primitives.push(edge(from, to, bulge));
    }
    primitives
}

fn corner(at: Point, first_normal: Point, turn_rad: f64) -> Primitive {
    Primitive::Arc {
        centre: at,
        radius_m: 0.0,
        middle_normal: turned(first_normal, 0.5 * turn_rad),
        half_span_cosine: (0.5 * turn_rad).cos(),
    }
}

fn edge(from: Point, to: Point, bulge: f64) -> Primitive {
    let chord = to - from;
    let length_m = chord.norm();
    if bulge == 0.0 {
        return Primitive::Line { from, along: chord / length_m, length_m };
    }
    let sweep = 4.0 * bulge.atan();
    Primitive::Arc {
        centre: arc_centre(from, to, bulge),
        radius_m: length_m / (2.0 * (0.5 * sweep).sin()),
        middle_normal: turned(chord / length_m, -std::f64::consts::FRAC_PI_2),
        half_span_cosine: (0.5 * sweep).cos(),
    }
}

/// Outward normal at an end of an edge of an anticlockwise outline.
fn end_normal(from: Point, to: Point, bulge: f64, at_end: bool) -> Point {
    let half_sweep = 2.0 * bulge.atan();
    let middle = turned((to - from).normalize(), -std::f64::consts::FRAC_PI_2);
    turned(middle, if at_end { half_sweep } else { -half_sweep })
}

/// `vector` turned anticlockwise.
#[must_use]
pub fn turned(vector: Point, angle_rad: f64) -> Point {
    let (sine, cosine) = angle_rad.sin_cos();
    Point::new(cosine * vector.x - sine * vector.y, sine * vector.x + cosine * vector.y)
}

/// z component of the cross product.
#[inline]
#[must_use]
pub fn cross(a: Point, b: Point) -> f64 {
    a.x * b.y - a.y * b.x
}
