//! Whether pallets and teeth keep clear of each other over the whole action, apart from the tip corner at work.

use crate::clock::side::{PerPallet, Side};
use crate::geometry::Point;

use super::face::{Pose, PosedPallet};
use super::layout::Layout;
use super::teeth::{Shank, Tooth};
use super::{EscapementOutlines, FamilyError};

/// Chords of arcs stay this near to them, m.
const SAGITTA_M: f64 = 1e-7;

/// Overlap that is taken for a touch, m: ten times what chords can be off, a hundredth of what any tool holds.
const TOUCH_M: f64 = 1e-6;

/// How far inside the front of its tooth a pallet may seem to lie by rounding, m: a pin may rest against all of it.
const ROUNDING_M: f64 = 1e-12;

/// Teeth on either side of the one nearest to a pallet that it could meet: teeth and pallets are narrower than a pitch.
const TEETH_NEAR: i32 = 2;

/// The outlines, if both pallets keep clear of the wheel over their whole action.
///
/// # Errors
/// [`FamilyError::ToothTooShallow`], [`FamilyError::UndercutTooSmall`], and the `Hits` variants.
pub(super) fn outlines_of(
    layout: &Layout,
    tooth: Tooth,
    actions: PerPallet<PosedPallet>,
) -> Result<EscapementOutlines, FamilyError> {
    if let Some(shank) = &tooth.shank {
        for action in actions.values() {
            check_held_tooth(layout, shank, action)?;
        }
    }
    let tooth_m = Shape::of(tooth.outline.polyline(SAGITTA_M));
    let shapes_m = actions.as_ref().map(|action| Shape::of(action.outline.polyline(SAGITTA_M)));
    for holding in actions.values() {
        for pose in &holding.poses {
            for (action, shape_m) in actions.values().zip(shapes_m.values()) {
                check_neighbours(layout, &tooth_m, shape_m, action.pallet, pose)?;
            }
        }
    }
    Ok(EscapementOutlines {
        teeth: layout.teeth,
        centre_distance_m: layout.centre_distance_m,
        tooth: tooth.outline,
        pallets: actions.map(|action| action.outline),
    })
}

/// Checks a pallet against the root and against the front of the tooth that it holds.
fn check_held_tooth(layout: &Layout, shank: &Shank, action: &PosedPallet) -> Result<(), FamilyError> {
    let pallet = action.pallet;
    let shape_m = action.outline.polyline(SAGITTA_M);
    // A hollow locking face asks most of the front with its corner. A round one does so right at the tip, between two points of
    // its polyline; a front that cuts a chord of it keeps the tip off by less than what counts as a touch.
    let (mut reach_m, mut least_rad) = (0.0_f64, action.locking_lean_rad.unwrap_or(0.0).max(0.0));
    for pose in &action.poses {
        let tip = layout.on_tip_circle(pose.phi_rad);
        let forward = Point::new(pose.phi_rad.cos(), -pose.phi_rad.sin());
        for point in turned_points(layout, &shape_m, pose.theta_rad) {
            reach_m = reach_m.max(layout.radius_m - point.norm());
            let inward_m = (tip - point).dot(&tip) / layout.radius_m;
            let backward_m = (tip - point).dot(&forward);
            if inward_m > TOUCH_M {
                least_rad = least_rad.max((backward_m - ROUNDING_M).atan2(inward_m));
            }
        }
    }
    if reach_m >= shank.depth_m {
        return Err(FamilyError::ToothTooShallow { pallet, reach_m, depth_m: shank.depth_m });
    }
    if least_rad > shank.undercut_rad {
        return Err(FamilyError::UndercutTooSmall { pallet, undercut_rad: shank.undercut_rad, least_rad });
    }
    Ok(())
}

/// Checks one pallet at one pose against all teeth that it could meet.
fn check_neighbours(
    layout: &Layout,
    tooth: &Shape,
    shape: &Shape,
    pallet: Side,
    pose: &Pose,
) -> Result<(), FamilyError> {
    let middle_rad = 0.5 * pallet.away() * (layout.wide_rad + layout.narrow_rad);
    let nearest = ((middle_rad - pose.phi_rad) / layout.pitch_rad).round();
    let shape_middle_m = layout.turned(shape.middle_m, pose.theta_rad);
    let mut pallet_m = Vec::new();
    for step in -TEETH_NEAR..=TEETH_NEAR {
        let phi_rad = pose.phi_rad + (nearest + f64::from(step)) * layout.pitch_rad;
        let turn = phi_rad.sin_cos();
        if (turned_back(tooth.middle_m, turn) - shape_middle_m).norm() > tooth.radius_m + shape.radius_m {
            continue;
        }
        if pallet_m.is_empty() {
            pallet_m = turned_points(layout, &shape.points_m, pose.theta_rad);
        }
        let placed_m: Vec<Point> = tooth.points_m.iter().map(|&point| turned_back(point, turn)).collect();
        let depth_m = overlap_m(&placed_m, &pallet_m);
        if depth_m <= TOUCH_M {
            continue;
        }
        let theta_rad = pose.theta_rad;
        return Err(if phi_rad > middle_rad {
            FamilyError::HitsToothAhead { pallet, depth_m, theta_rad }
        } else {
            FamilyError::HitsToothBehind { pallet, depth_m, theta_rad }
        });
    }
    Ok(())
}

/// `points` turned by `theta_rad` about the pallet arbor, m.
fn turned_points(layout: &Layout, points: &[Point], theta_rad: f64) -> Vec<Point> {
    let turn = theta_rad.sin_cos();
    points.iter().map(|&point| layout.turned_by(point, turn)).collect()
}

/// `point` turned clockwise about the wheel centre by the angle with the given sine and cosine, m.
fn turned_back(point: Point, (sine, cosine): (f64, f64)) -> Point {
    Point::new(cosine * point.x + sine * point.y, cosine * point.y - sine * point.x)
}

/// A polygon and a circle around it.
struct Shape {
    points_m: Vec<Point>,
    middle_m: Point,
    radius_m: f64,
}

impl Shape {
    fn of(points_m: Vec<Point>) -> Self {
        let (low, high) = bounds(&points_m);
        let middle_m = 0.5 * (low + high);
        // A hair more than the farthest point, for rounding.
        let radius_m = points_m.iter().map(|point| (point - middle_m).norm()).fold(0.0, f64::max) + 0.1 * TOUCH_M;
        Self { points_m, middle_m, radius_m }
    }
}

/// Greatest depth of a vertex of one polygon within the other, m; 0 if there is none.
fn overlap_m(first: &[Point], second: &[Point]) -> f64 {
    let (low, high) = bounds(second);
    let (from, to) = bounds(first);
    if from.x > high.x || to.x < low.x || from.y > high.y || to.y < low.y {
        return 0.0;
    }
    // Only vertices in both boxes can lie within both polygons.
    let (low, high) = (low.sup(&from), high.inf(&to));
    let shared = |point: &Point| point.x >= low.x && point.x <= high.x && point.y >= low.y && point.y <= high.y;
    let deepest = |points: &[Point], polygon: &[Point]| {
        let within = points.iter().filter(|&&point| shared(&point) && is_within(point, polygon));
        within.map(|&point| distance_m(point, polygon)).fold(0.0_f64, f64::max)
    };
    deepest(first, second).max(deepest(second, first))
}

/// Lower left and upper right corner of the box around points, m.
fn bounds(points: &[Point]) -> (Point, Point) {
    let everywhere = Point::repeat(f64::INFINITY);
    points.iter().fold((everywhere, -everywhere), |(low, high), point| (low.inf(point), high.sup(point)))
}

/// Edges of a closed polygon.
fn edges(polygon: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    polygon.iter().copied().zip(polygon.iter().copied().cycle().skip(1))
}

/// Whether a point lies inside a polygon: an odd number of edges to its right.
fn is_within(point: Point, polygon: &[Point]) -> bool {
    let to_the_right = |&(from, to): &(Point, Point)| {
        (from.y > point.y) != (to.y > point.y)
            && point.x < from.x + (point.y - from.y) / (to.y - from.y) * (to.x - from.x)
    };
    edges(polygon).filter(to_the_right).count() % 2 == 1
}

/// Distance of a point from the boundary of a polygon, m.
fn distance_m(point: Point, polygon: &[Point]) -> f64 {
    let from_edge = |(from, to): (Point, Point)| {
        let edge = to - from;
        let share = ((point - from).dot(&edge) / edge.norm_squared()).clamp(0.0, 1.0);
        (point - from - share * edge).norm()
    };
    edges(polygon).map(from_edge).fold(f64::INFINITY, f64::min)
}
