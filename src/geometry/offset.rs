//! Outlines moved outward or inward, and rounded as a disc can follow them: offset, opening, closing. Arcs stay arcs.

use cavalier_contours::polyline::{BooleanOp, BooleanResultInfo, PlineCreation, PlineSource, PlineSourceMut, Polyline};

use super::outline::{Outline, OutlineError, Point, Vertex, arc_centre};

/// Why an outline cannot be offset or rounded.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum OffsetError {
    /// The outline is nowhere wide enough.
    #[error("nothing is left of the outline when it is moved inward by {} mm", 1e3 * .inward_m)]
    NothingLeft {
        /// How far its edge was moved inward, m.
        inward_m: f64,
    },
    /// A distance that is not finite, or a radius that is negative.
    #[error("an outline cannot be offset by {0} m")]
    BadDistance(f64),
    /// What is left is no outline.
    #[error("what is left is not an outline: {0}")]
    Outline(#[from] OutlineError),
}

/// Parts of a metre in which the offsets are computed. Micrometres put the offset library's fixed tolerances
/// (1e-5 for equal points, 1e-4 for distances, 1e-8 for parameters) at 1e-11 m, 1e-10 m and 1e-14 m: below what contact can tell,
/// above the rounding of parts up to a metre.
const UNITS_PER_M: f64 = 1e6;

/// Edges shorter than this are taken out of a result, m. Twice what [`Outline::new`] takes for no length.
const SLIVER_M: f64 = 2e-9;

/// Within this an arc of a result has the centre of an arc of the outline it came from, m.
const SAME_CENTRE_M: f64 = 1e-8;

/// The outline moved outward by `distance_m` (inward where negative), m. Outward corners become arcs about the corner.
///
/// 0 gives the outline back bit for bit. Where several pieces come of it, the one of the largest area.
///
/// # Errors
/// [`OffsetError`].
pub fn offset(outline: &Outline, distance_m: f64) -> Result<Outline, OffsetError> {
    first(passes(outline, &[Pass::Offset(distance_m)])?, -distance_m)
}

/// The outline opened with a disc of `radius_m`: all that such a disc inside the outline can reach. It never grows; a sharp
/// tip of angle `a` recedes by `radius_m (1 / sin(a / 2) - 1)`.
///
/// 0 gives the outline back bit for bit. Where several pieces come of it, the one of the largest area.
///
/// # Errors
/// [`OffsetError`].
pub fn opened(outline: &Outline, radius_m: f64) -> Result<Outline, OffsetError> {
    first(passes(outline, &[Pass::Opening(radius_m)])?, radius_m)
}

/// The outline closed with a disc of `radius_m`: filled wherever such a disc outside it cannot reach. It never shrinks;
/// inner corners are rounded to the radius. A hole that comes of it is filled.
///
/// 0 gives the outline back bit for bit.
///
/// # Errors
/// [`OffsetError`].
pub fn closed(outline: &Outline, radius_m: f64) -> Result<Outline, OffsetError> {
    first(passes(outline, &[Pass::Closing(radius_m)])?, radius_m)
}

fn first(pieces: Vec<Outline>, inward_m: f64) -> Result<Outline, OffsetError> {
    pieces.into_iter().next().ok_or(OffsetError::NothingLeft { inward_m })
}

/// One step of several on an outline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Pass {
    /// [`offset`] by a distance, m.
    Offset(f64),
    /// [`opened`] with a radius, m.
    Opening(f64),
    /// [`closed`] with a radius, m.
    Closing(f64),
}

/// What `steps`, taken in order, leave of an outline: its pieces, the one of the largest area first, at least one.
///
/// Steps of 0 are left out; if all are, the outline comes back bit for bit. An arc that came of an arc of the outline has its
/// centre to rounding, whatever happened beside it.
///
/// # Errors
/// [`OffsetError`].
pub fn passes(outline: &Outline, steps: &[Pass]) -> Result<Vec<Outline>, OffsetError> {
    for step in steps {
        let (Pass::Offset(amount_m) | Pass::Opening(amount_m) | Pass::Closing(amount_m)) = *step;
        if !amount_m.is_finite() || (amount_m < 0.0 && !matches!(step, Pass::Offset(_))) {
            return Err(OffsetError::BadDistance(amount_m));
        }
    }
    let origin = outline.vertices().first().map_or_else(Point::zeros, |vertex| vertex.at);
    let mut pieces = vec![to_polyline(outline, origin)];
    let mut changed = false;
    for step in steps {
        let (inward_m, next) = match *step {
            Pass::Offset(0.0) | Pass::Opening(0.0) | Pass::Closing(0.0) => continue,
            Pass::Offset(distance_m) => (-distance_m, moved_out(&pieces, distance_m)),
            Pass::Opening(radius_m) => (radius_m, moved_out(&moved_out(&pieces, -radius_m), radius_m)),
            Pass::Closing(radius_m) => (radius_m, moved_out(&moved_out(&pieces, radius_m), -radius_m)),
        };
        if next.is_empty() {
            return Err(OffsetError::NothingLeft { inward_m });
        }
        pieces = next;
        changed = true;
    }
    if !changed {
        return Ok(vec![outline.clone()]);
    }
    pieces.sort_by(|a, b| b.area().total_cmp(&a.area()));
    let arcs = arcs_of(outline);
    pieces.iter().map(|piece| to_outline(piece, origin, &arcs).map_err(OffsetError::from)).collect()
}

/// All pieces moved outward, joined where they then overlap.
fn moved_out(pieces: &[Polyline], distance_m: f64) -> Vec<Polyline> {
    let mut joined: Vec<Polyline> = Vec::new();
    for piece in pieces {
        // The library counts to the left of the direction, which is inward.
        for moved in piece.parallel_offset(-distance_m * UNITS_PER_M) {
            if moved.area() > 0.0 {
                join(&mut joined, moved);
            }
        }
    }
    joined
}

fn join(pieces: &mut Vec<Polyline>, mut added: Polyline) {
    let mut index = 0;
    while index < pieces.len() {
        let mut both = pieces[index].boolean(&added, BooleanOp::Or);
        let apart = matches!(both.result_info, BooleanResultInfo::Disjoint | BooleanResultInfo::InvalidInput);
        if apart || both.pos_plines.len() != 1 {
            index += 1;
            continue;
        }
        if let Some(whole) = both.pos_plines.pop() {
            added = whole.pline;
        }
        pieces.swap_remove(index);
        index = 0;
    }
    pieces.push(added);
}

/// The outline in the library's form, its first vertex at the origin; arcs beyond half a turn are halved, as the library needs.
fn to_polyline(outline: &Outline, origin: Point) -> Polyline {
    let mut polyline = Polyline::with_capacity(2 * outline.vertices().len(), true);
    for (from, to, bulge) in outline.edges() {
        let start = (from - origin) * UNITS_PER_M;
        if bulge.abs() <= 1.0 {
            polyline.add(start.x, start.y, bulge);
            continue;
        }
        // tan(x / 2) of x = atan(bulge).
        let half = bulge / (1.0 + (1.0 + bulge * bulge).sqrt());
        let chord = to - from;
        // The middle of an arc lies bulge times half the chord to the right of the chord's middle.
        let middle = (0.5 * (from + to) + 0.5 * bulge * Point::new(chord.y, -chord.x) - origin) * UNITS_PER_M;
        polyline.add(start.x, start.y, half);
        polyline.add(middle.x, middle.y, half);
    }
    polyline
}

/// Centres of an outline's arcs.
fn arcs_of(outline: &Outline) -> Vec<Point> {
    outline.edges().filter(|edge| edge.2 != 0.0).map(|(from, to, bulge)| arc_centre(from, to, bulge)).collect()
}

/// An edge with what its arc is known to lie on.
#[derive(Debug, Clone, Copy)]
struct Edge {
    from: Point,
    bulge: f64,
    /// Centre and radius, m.
    circle: Option<(Point, f64)>,
}

/// Back in metres, without slivers, arcs on the centres they had.
fn to_outline(piece: &Polyline, origin: Point, centres: &[Point]) -> Result<Outline, OutlineError> {
    let count = piece.vertex_count();
    let at = |index: usize| {
        let vertex = piece.at(index % count);
        Point::new(vertex.x, vertex.y) / UNITS_PER_M + origin
    };
    let mut edges: Vec<Edge> = Vec::with_capacity(count);
    for index in 0..count {
        let (from, to, bulge) = (at(index), at(index + 1), piece.at(index).bulge);
        if (to - from).norm() < SLIVER_M {
            continue;
        }
        let circle = (bulge != 0.0).then(|| {
            let found = arc_centre(from, to, bulge);
            let nearest = centres.iter().min_by(|a, b| (*a - found).norm().total_cmp(&(*b - found).norm()));
            let centre = nearest.copied().filter(|known| (known - found).norm() < SAME_CENTRE_M).unwrap_or(found);
            (centre, 0.5 * ((from - centre).norm() + (to - centre).norm()))
        });
        edges.push(Edge { from, bulge, circle });
    }
    let count = edges.len();
    if count < 2 {
        return Err(OutlineError::TooFewEdges(count));
    }
    for index in 0..count {
        // The earlier arc first, so that the one that leaves the vertex has the last word; the two differ by rounding only.
        for circle in [edges[(index + count - 1) % count].circle, edges[index].circle].into_iter().flatten() {
            edges[index].from = onto(edges[index].from, circle);
        }
    }
    let vertices = (0..count)
        .map(|index| {
            let Edge { from, bulge, circle } = edges[index];
            let to = edges[(index + 1) % count].from;
            Vertex { at: from, bulge: circle.map_or(0.0, |(centre, _)| bulge_about(centre, from, to, bulge)) }
        })
        .collect();
    Outline::new(vertices)
}

/// The point of a circle nearest to `point`.
fn onto(point: Point, (centre, radius_m): (Point, f64)) -> Point {
    let arm = point - centre;
    let length_m = arm.norm();
    if length_m > 0.0 { centre + arm * (radius_m / length_m) } else { point }
}

/// Bulge of the arc about `centre` that leads from `from` to `to` the way that `about` does.
fn bulge_about(centre: Point, from: Point, to: Point, about: f64) -> f64 {
    let (a, b) = (from - centre, to - centre);
    let sweep = a.perp(&b).atan2(a.dot(&b));
    // Half a turn is the longest arc here; at its very end the sign is rounding.
    (0.25 * if sweep * about < 0.0 { std::f64::consts::TAU.copysign(about) + sweep } else { sweep }).tan()
}
