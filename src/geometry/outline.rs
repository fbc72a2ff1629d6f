//! Closed outlines of line segments and circular arcs.

use nalgebra::Vector2;

use super::primitive::turned;

/// A point or vector of the plane, metres.
pub type Point = Vector2<f64>;

/// A corner of an outline and the bulge of the edge that leaves it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vertex {
    /// Position, m.
    pub at: Point,
    /// `tan(arc angle / 4)` of the edge to the next vertex, positive anticlockwise, 0 for a straight edge.
    pub bulge: f64,
}

/// A closed outline, run through anticlockwise (material on the left).
#[derive(Debug, Clone, PartialEq)]
pub struct Outline {
    vertices: Vec<Vertex>,
}

/// Why a chain of vertices is not an outline.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum OutlineError {
    /// Too few edges.
    #[error("an outline needs at least three edges, or two with an arc; this has {0}")]
    TooFewEdges(usize),
    /// An edge of no length.
    #[error("edge {0} has no length")]
    EmptyEdge(usize),
    /// A number that is not finite.
    #[error("vertex {0} is not a finite point, or its bulge is not finite")]
    NotFinite(usize),
    /// An arc of a full turn or more.
    #[error("edge {0} bends by nearly a full turn; split it")]
    FullTurn(usize),
    /// The chain encloses nothing.
    #[error("the outline encloses no area")]
    NoArea,
    /// Two edges cross.
    #[error("edges {0} and {1} cross")]
    Crossing(usize, usize),
}

/// Shortest edge that is told from none, m.
const SHORTEST_EDGE_M: f64 = 1e-9;

/// Radius of an arc above which it is a straight edge, m: rounding alone moves such an arc by a hundredth of a nanometre, and
/// over 10 mm it bends by a tenth of one.
const LARGEST_RADIUS_M: f64 = 1e5;

/// Largest bulge: an arc of 350 degrees.
const LARGEST_BULGE: f64 = 22.9;

impl Outline {
    /// The closed outline through `vertices`; the edge of the last leads back to the first. Turned anticlockwise if given clockwise.
    ///
    /// # Errors
    /// [`OutlineError`] for too few, empty, non-finite or crossing edges and for an outline without area.
    pub fn new(vertices: Vec<Vertex>) -> Result<Self, OutlineError> {
        let count = vertices.len();
        let curved = vertices.iter().any(|vertex| vertex.bulge != 0.0);
        if count < 2 || (count == 2 && !curved) {
            return Err(OutlineError::TooFewEdges(count));
        }
        for (index, vertex) in vertices.iter().enumerate() {
            if !(vertex.at.x.is_finite() && vertex.at.y.is_finite() && vertex.bulge.is_finite()) {
                return Err(OutlineError::NotFinite(index));
            }
            if (vertices[(index + 1) % count].at - vertex.at).norm() < SHORTEST_EDGE_M {
                return Err(OutlineError::EmptyEdge(index));
            }
            if vertex.bulge.abs() > LARGEST_BULGE {
                return Err(OutlineError::FullTurn(index));
            }
        }
        let mut outline = Self { vertices };
        outline.straighten();
        let area = outline.signed_area_m2();
        if area.abs() < SHORTEST_EDGE_M * SHORTEST_EDGE_M {
            return Err(OutlineError::NoArea);
        }
        if let Some((first, second)) = outline.first_crossing() {
            return Err(OutlineError::Crossing(first, second));
        }
        if area < 0.0 {
            outline = outline.reversed();
        }
        Ok(outline)
    }

    /// A full circle, of two arcs that begin to the right of `centre` and to its left, m.
    ///
    /// # Errors
    /// [`OutlineError`] for a radius that is not finite or too small to be one.
    pub fn circle(centre: Point, radius_m: f64) -> Result<Self, OutlineError> {
        let arm = Point::new(radius_m, 0.0);
        Self::new(vec![Vertex { at: centre + arm, bulge: 1.0 }, Vertex { at: centre - arm, bulge: 1.0 }])
    }

    /// Makes straight edges of arcs that are none: of a radius so large that nothing can be computed from its centre.
    fn straighten(&mut self) {
        let count = self.vertices.len();
        for index in 0..count {
            let chord_m = (self.vertices[(index + 1) % count].at - self.vertices[index].at).norm();
            // Radius chord (1 + b^2) / (4 |b|).
            if chord_m > 4.0 * LARGEST_RADIUS_M * self.vertices[index].bulge.abs() {
                self.vertices[index].bulge = 0.0;
            }
        }
    }

    /// The vertices in order.
    #[must_use]
    pub fn vertices(&self) -> &[Vertex] {
        &self.vertices
    }

    /// Vertex pairs of all edges with the edge's bulge.
    pub fn edges(&self) -> impl Iterator<Item = (Point, Point, f64)> + '_ {
        let count = self.vertices.len();
        (0..count).map(move |index| {
            let vertex = self.vertices[index];
            (vertex.at, self.vertices[(index + 1) % count].at, vertex.bulge)
        })
    }

    fn reversed(&self) -> Self {
        let count = self.vertices.len();
        let vertices = (0..count)
            .map(|index| {
                let here = count - 1 - index;
                let before = (here + count - 1) % count;
                Vertex { at: self.vertices[here].at, bulge: -self.vertices[before].bulge }
            })
            .collect();
        Self { vertices }
    }

    /// Enclosed area, m^2, positive for an anticlockwise outline: shoelace plus the arcs' circular segments.
    #[must_use]
    pub fn signed_area_m2(&self) -> f64 {
        self.edges()
            .map(|(from, to, bulge)| {
                let chord = (to - from).norm();
                let sweep = 4.0 * bulge.atan();
                let segment = if bulge == 0.0 {
                    0.0
                } else {
                    let radius = chord / (2.0 * (0.5 * sweep).sin());
                    0.5 * radius * radius * (sweep - sweep.sin())
                };
                0.5 * (from.x * to.y - from.y * to.x) + segment
            })
            .sum()
    }

    /// The outline turned by `angle_rad` anticlockwise about `pivot`.
    #[must_use]
    pub fn turned_about(&self, pivot: Point, angle_rad: f64) -> Self {
        let (sine, cosine) = angle_rad.sin_cos();
        let vertices = self
            .vertices
            .iter()
            .map(|vertex| {
                let arm = vertex.at - pivot;
                let turned = Point::new(cosine * arm.x - sine * arm.y, sine * arm.x + cosine * arm.y);
                Vertex { at: pivot + turned, bulge: vertex.bulge }
            })
            .collect();
        Self { vertices }
    }

    /// The outline with every distance from `about` multiplied by `factor` (positive).
    #[must_use]
    pub fn scaled(&self, factor: f64, about: Point) -> Self {
        self.with_points(|at| about + factor * (at - about))
    }

    /// The outline stretched about `about`: distances along the unit vector `direction` times `along`, those at right angles to
    /// it times `across` (both positive).
    ///
    /// Arcs turn into pieces of ellipses; each, of at most a quarter turn, becomes the arc through its ends and its middle,
    /// which is off by less than a tenth of its radius times the difference of the factors.
    #[must_use]
    pub fn stretched(&self, along: f64, across: f64, direction: Point, about: Point) -> Self {
        if along == across {
            return if along == 1.0 { self.clone() } else { self.scaled(along, about) };
        }
        let place = |at: Point| {
            let arm = at - about;
            about + across * arm + (along - across) * arm.dot(&direction) * direction
        };
        let mut vertices = Vec::with_capacity(self.vertices.len());
        for (from, to, bulge) in self.edges() {
            let centre = arc_centre(from, to, bulge);
            let sweep = 4.0 * bulge.atan();
            let pieces = (sweep.abs() / std::f64::consts::FRAC_PI_2).ceil().max(1.0);
            let (mut piece, mut start) = (0.0, place(from));
            while piece < pieces {
                let at = |share: f64| place(centre + turned(from - centre, sweep * share / pieces));
                let end = if piece + 1.0 < pieces { at(piece + 1.0) } else { place(to) };
                let bulge = if bulge == 0.0 { 0.0 } else { bulge_through(start, at(piece + 0.5), end) };
                vertices.push(Vertex { at: start, bulge });
                (piece, start) = (piece + 1.0, end);
            }
        }
        let mut stretched = Self { vertices };
        stretched.straighten();
        stretched
    }

    /// The outline moved by `by`, m.
    #[must_use]
    pub fn moved(&self, by: Point) -> Self {
        self.with_points(|at| at + by)
    }

    fn with_points(&self, place: impl Fn(Point) -> Point) -> Self {
        let vertices =
            self.vertices.iter().map(|vertex| Vertex { at: place(vertex.at), bulge: vertex.bulge }).collect();
        Self { vertices }
    }

    /// The mirror image in the y axis.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let flipped = Self {
            vertices: self
                .vertices
                .iter()
                .map(|vertex| Vertex { at: Point::new(-vertex.at.x, vertex.at.y), bulge: -vertex.bulge })
                .collect(),
        };
        flipped.reversed()
    }

    /// Points along the outline, arcs split so that no chord is off by more than `sagitta_m`, into 2000 chords at the most.
    #[must_use]
    pub fn polyline(&self, sagitta_m: f64) -> Vec<Point> {
        let mut points = Vec::new();
        for (from, to, bulge) in self.edges() {
            points.push(from);
            if bulge == 0.0 {
                continue;
            }
            let sweep = 4.0 * bulge.atan();
            let radius = ((to - from).norm() / (2.0 * (0.5 * sweep).sin())).abs();
            // radius (1 - cos(step / 2)) is below radius step^2 / 8.
            let step = (8.0 * sagitta_m / radius).sqrt();
            let pieces = (sweep.abs() / step).ceil().clamp(1.0, 2000.0);
            let centre = arc_centre(from, to, bulge);
            let arm = from - centre;
            let mut turn = 1.0;
            while turn < pieces {
                let (sine, cosine) = (sweep * turn / pieces).sin_cos();
                points.push(centre + Point::new(cosine * arm.x - sine * arm.y, sine * arm.x + cosine * arm.y));
                turn += 1.0;
            }
        }
        points
    }

    /// Distance of the outline's farthest point from `from`, m.
    #[must_use]
    pub fn farthest_m(&self, from: Point) -> f64 {
        self.edges()
            .map(|(start, end, bulge)| {
                let corner_m = (start - from).norm();
                let centre = arc_centre(start, end, bulge);
                let radius_m = (start - centre).norm();
                let away = centre - from;
                if bulge == 0.0 || away.norm() <= f64::EPSILON * radius_m {
                    return corner_m;
                }
                // The arc's own farthest point, if it lies on the arc: on the bulging side of the chord.
                let top = centre + away * (radius_m / away.norm());
                let beyond_chord = (end - start).perp(&(top - start)) * bulge < 0.0;
                if beyond_chord { (top - from).norm() } else { corner_m }
            })
            .fold(0.0, f64::max)
    }

    /// Turn of the direction at a vertex, anticlockwise positive, from -pi to pi: of the chords, and of what the arcs add at
    /// their ends.
    #[must_use]
    pub fn turn_rad(&self, index: usize) -> f64 {
        let count = self.vertices.len();
        let (before, here) = (self.vertices[(index + count - 1) % count], self.vertices[index]);
        let (from, to) = (here.at - before.at, self.vertices[(index + 1) % count].at - here.at);
        let turn = from.perp(&to).atan2(from.dot(&to)) - 2.0 * before.bulge.atan() - 2.0 * here.bulge.atan();
        turn - std::f64::consts::TAU * (turn / std::f64::consts::TAU).round()
    }

    /// First two edges that cross, found on a fine polyline of the outline, or overlap next to their common vertex.
    fn first_crossing(&self) -> Option<(usize, usize)> {
        const ARC_PIECES: u32 = 16;
        // Half of what an arc turns by along one of its pieces.
        let half_turn = |edge: usize| 2.0 * self.vertices[edge].bulge.atan() / f64::from(ARC_PIECES);
        let mut pieces: Vec<(usize, Point, Point)> = Vec::new();
        for (index, (from, to, bulge)) in self.edges().enumerate() {
            let centre = arc_centre(from, to, bulge);
            let count = if bulge == 0.0 { 1 } else { ARC_PIECES };
            let sweep = 4.0 * bulge.atan();
            let mut last = from;
            for piece in 1..=count {
                let next = if piece == count {
                    to
                } else {
                    let (sine, cosine) = (sweep * f64::from(piece) / f64::from(count)).sin_cos();
                    let arm = from - centre;
                    centre + Point::new(cosine * arm.x - sine * arm.y, sine * arm.x + cosine * arm.y)
                };
                pieces.push((index, last, next));
                last = next;
            }
        }
        // Of all pairs the first, in the order of the outline.
        let mut found: Option<(usize, usize)> = None;
        let mut keep = |first: usize, second: usize| {
            if found.is_none_or(|known| (first, second) < known) {
                found = Some((first, second));
            }
        };
        for (place, &(first, a, b)) in pieces.iter().enumerate() {
            // Beyond half a turn, with what the arcs add to the turn of their pieces' chords, two edges overlap at once.
            let (second, c, d) = pieces[(place + 1) % pieces.len()];
            if second != first {
                let (from, to) = (b - a, d - c);
                let turn = from.perp(&to).atan2(from.dot(&to)) - half_turn(first) - half_turn(second);
                if turn.abs() > std::f64::consts::PI + 1e-9 {
                    keep(first, second);
                }
            }
        }
        // Only pieces that share a stretch of x can cross.
        pieces.sort_by(|(_, a, b), (_, c, d)| a.x.min(b.x).total_cmp(&c.x.min(d.x)));
        for (place, &(first, a, b)) in pieces.iter().enumerate() {
            let right = a.x.max(b.x);
            for &(second, c, d) in pieces[place + 1..].iter().take_while(|(_, c, d)| c.x.min(d.x) <= right) {
                if first != second && segments_cross(a, b, c, d) {
                    keep(first.min(second), first.max(second));
                }
            }
        }
        found
    }
}

/// Centre of the arc of bulge `bulge` from `from` to `to`; the chord's middle for a straight edge.
#[must_use]
pub fn arc_centre(from: Point, to: Point, bulge: f64) -> Point {
    let middle = 0.5 * (from + to);
    if bulge == 0.0 {
        return middle;
    }
    let chord = to - from;
    let left = Point::new(-chord.y, chord.x);
    // Distance centre to chord over chord length is cot(sweep / 2) / 2 = (1 - bulge^2) / (4 bulge).
    middle + left * ((1.0 - bulge * bulge) / (4.0 * bulge))
}

/// Bulge of the arc from one point through a second to a third: the chords turn by half its sweep.
fn bulge_through(from: Point, through: Point, to: Point) -> f64 {
    let (first, second) = (through - from, to - through);
    (0.5 * first.perp(&second).atan2(first.dot(&second))).tan()
}

/// Whether two segments cross in a point inside both.
fn segments_cross(a: Point, b: Point, c: Point, d: Point) -> bool {
    let side = |p: Point, q: Point, r: Point| (q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}
