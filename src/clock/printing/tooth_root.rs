//! A tooth on its wheel: what a printer does to the tooth without touching the edge at which the drawing cuts it off.
//!
//! The outline of one tooth is cut off at its root, where the wheel in truth goes on. Rounded as it stands, its two root corners
//! would be eaten. So the tooth is set on a piece of wheel first, which carries the root's circle or line on to both
//! sides; it is printed with that, and cut off again at the root, where the fillets of the bead end.

use crate::geometry::{OffsetError, Outline, Pass, Point, Vertex, arc_centre, passes};

/// Turn of the direction at both ends of an edge that is a root: a pin's outline runs on smoothly.
const LEAST_ROOT_TURN_RAD: f64 = std::f64::consts::FRAC_PI_6;

/// So near to half a turn back a turn counts as half a turn forward: there a fillet touches the root that the tooth is cut off at.
const ABOUT_TURN_RAD: f64 = 1e-3;

/// The piece of wheel reaches so many bead radii to each side and inward: fillets and the rounding of its own corners
/// stay clear of each other where tooth and rim meet at more than 25 degrees.
const BODY_PER_BEAD: f64 = 8.0;

/// And so many times the growth.
const BODY_PER_GROWTH: f64 = 4.0;

/// Within this an edge of a printed tooth lies on the printed root, m.
const ON_ROOT_M: f64 = 1e-8;

/// What `steps` leave of a tooth (wheel frame) on its wheel, cut off at the root; the piece on the wheel first, then loose ones.
///
/// The root is the edge nearest to the wheel's centre if it has a corner at either end. An outline without such an edge, as
/// a pin's, is printed as a body of its own.
///
/// # Errors
/// [`OffsetError`]; `NothingLeft` too where the wheel stays and the tooth does not.
pub fn tooth_passes(tooth: &Outline, steps: &[Pass]) -> Result<Vec<Outline>, OffsetError> {
    let (mut growth_m, mut bead_m) = (0.0_f64, 0.0_f64);
    for step in steps {
        match *step {
            Pass::Offset(distance_m) => growth_m += distance_m,
            Pass::Opening(radius_m) | Pass::Closing(radius_m) => bead_m = bead_m.max(radius_m),
        }
    }
    let untouched = growth_m == 0.0 && bead_m == 0.0;
    let Some(root) = Root::of(tooth).filter(|_| !untouched) else { return passes(tooth, steps) };
    let size_m = BODY_PER_BEAD * bead_m + BODY_PER_GROWTH * growth_m.abs();
    let size_m = root.circle.map_or(size_m, |(_, radius_m)| size_m.min(0.5 * radius_m));
    let whole = root.on_wheel(tooth, size_m)?;
    let mut pieces = passes(&whole, steps)?;
    let nothing = OffsetError::NothingLeft { inward_m: if bead_m > 0.0 { bead_m } else { -growth_m } };
    let (place, cut) = pieces
        .iter()
        .enumerate()
        .find_map(|(place, piece)| root.cut(piece, growth_m, size_m).map(|cut| (place, cut)))
        .ok_or(nothing)?;
    pieces[place] = Outline::new(cut)?;
    pieces.swap(0, place);
    Ok(pieces)
}

/// The edge at which a tooth (wheel frame) is cut off from its wheel, by number; it leads from the tooth's back to its front.
/// `None` for an outline that is whole, as a pin's.
#[must_use]
pub fn root_edge(tooth: &Outline) -> Option<usize> {
    Root::of(tooth).map(|root| root.index)
}

/// The edge at which a tooth is cut off.
#[derive(Debug, Clone, Copy)]
struct Root {
    /// Its number; it leads from the tooth's back to its front.
    index: usize,
    back: Point,
    front: Point,
    /// Circle of a hollow root; `None`: the straight line from back to front.
    circle: Option<(Point, f64)>,
}

impl Root {
    fn of(tooth: &Outline) -> Option<Self> {
        let nearness = |&(_, (from, to, bulge)): &(usize, (Point, Point, f64))| {
            let chord: Point = to - from;
            // An arc's middle lies bulge times half the chord to the right of the chord's.
            (0.5 * (from + to) + 0.5 * bulge * Point::new(chord.y, -chord.x)).norm()
        };
        let (index, (back, front, bulge)) =
            tooth.edges().enumerate().min_by(|a, b| nearness(a).total_cmp(&nearness(b)))?;
        let next = (index + 1) % tooth.vertices().len();
        let has_corner = |at: usize| {
            let smooth_or_hollow = ABOUT_TURN_RAD - std::f64::consts::PI..=LEAST_ROOT_TURN_RAD;
            !smooth_or_hollow.contains(&tooth.turn_rad(at))
        };
        let has_corners = has_corner(index) && has_corner(next);
        let circle = (bulge < 0.0).then(|| {
            let centre = arc_centre(back, front, bulge);
            (centre, 0.5 * ((back - centre).norm() + (front - centre).norm()))
        });
        has_corners.then_some(Self { index, back, front, circle })
    }

    /// Height of a point above the root, m.
    fn height_m(&self, point: Point) -> f64 {
        match self.circle {
            Some((centre, radius_m)) => (point - centre).norm() - radius_m,
            None => (self.front - self.back).normalize().perp(&(point - self.back)),
        }
    }

    /// The point `along_m` further forward on the root's circle or line than `from`, `down_m` below it.
    fn beside(&self, from: Point, along_m: f64, down_m: f64) -> Point {
        match self.circle {
            Some((centre, radius_m)) => {
                // Forward is clockwise.
                let (sine, cosine) = (-along_m / radius_m).sin_cos();
                let arm = from - centre;
                let turned = Point::new(cosine * arm.x - sine * arm.y, sine * arm.x + cosine * arm.y);
                centre + turned * ((radius_m - down_m) / radius_m)
            }
            None => {
                let forward = (self.front - self.back).normalize();
                from + along_m * forward - down_m * Point::new(-forward.y, forward.x)
            }
        }
    }

    /// The tooth on a piece of wheel that reaches `size_m` to either side and inward.
    fn on_wheel(&self, tooth: &Outline, size_m: f64) -> Result<Outline, crate::geometry::OutlineError> {
        let count = tooth.vertices().len();
        let side_bulge = self.circle.map_or(0.0, |(_, radius_m)| (0.25 * size_m / radius_m).tan());
        let straight = |at| Vertex { at, bulge: 0.0 };
        // From the front round the tip to the back, which leaves along the rim; then round the piece of wheel.
        let mut vertices: Vec<Vertex> = (1..=count).map(|step| tooth.vertices()[(self.index + step) % count]).collect();
        if let Some(back) = vertices.last_mut() {
            back.bulge = side_bulge;
        }
        vertices.push(straight(self.beside(self.back, -size_m, 0.0)));
        vertices.push(straight(self.beside(self.back, -size_m, size_m)));
        vertices.push(straight(self.beside(self.front, size_m, size_m)));
        vertices.push(Vertex { at: self.beside(self.front, size_m, 0.0), bulge: side_bulge });
        Outline::new(vertices)
    }

    /// The tooth that stands on the printed root of a piece; `None` if none does.
    fn cut(&self, piece: &Outline, growth_m: f64, size_m: f64) -> Option<Vec<Vertex>> {
        let count = piece.vertices().len();
        let on_root: Vec<usize> = piece
            .edges()
            .enumerate()
            .filter(|&(_, (from, to, bulge))| {
                let level = |point| (self.height_m(point) - growth_m).abs() < ON_ROOT_M;
                let follows = match self.circle {
                    Some((centre, _)) => bulge > 0.0 && (arc_centre(from, to, bulge) - centre).norm() < ON_ROOT_M,
                    None => bulge == 0.0,
                };
                follows && level(from) && level(to)
            })
            .map(|(index, _)| index)
            .collect();
        for (place, &rim) in on_root.iter().enumerate() {
            let next_rim = on_root[(place + 1) % on_root.len()];
            // From the end of one stretch of rim to the start of the next: over the tooth, or round the piece of wheel.
            let steps = (next_rim + count - rim - 1) % count;
            let chain: Vec<Vertex> = (0..=steps).map(|step| piece.vertices()[(rim + 1 + step) % count]).collect();
            let over_the_tooth = chain.iter().all(|vertex| self.height_m(vertex.at) > growth_m - 0.25 * size_m);
            if rim != next_rim && steps > 0 && over_the_tooth {
                return Some(self.closed(chain));
            }
        }
        None
    }

    /// The chain from the front's foot over the tip to the back's, closed along the root.
    fn closed(&self, mut chain: Vec<Vertex>) -> Vec<Vertex> {
        let front = chain.first().map_or(self.front, |vertex| vertex.at);
        if let Some(back) = chain.last_mut() {
            back.bulge = self.circle.map_or(0.0, |(centre, _)| {
                let (a, b) = (back.at - centre, front - centre);
                (0.25 * a.perp(&b).atan2(a.dot(&b))).tan()
            });
        }
        chain
    }
}
