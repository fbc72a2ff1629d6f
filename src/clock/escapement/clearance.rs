//! Whether pallets and teeth keep clear of each other over the whole action, apart from the tip corner at work.

use super::face::{Action, Pose};
use super::layout::Layout;
use super::{EscapementOutlines, FamilyError, PalletSide};
use crate::clock::design::ToothForm;
use crate::geometry::{Outline, Point};

/// Chords of arcs stay this near to them, m.
const SAGITTA_M: f64 = 1e-7;

/// Overlap that is taken for a touch, m: ten times what chords can be off, a hundredth of what any tool holds.
const TOUCH_M: f64 = 1e-6;

/// Pitches from a pallet's middle place within which a tooth can meet it: teeth and pallets are narrower than a pitch.
const TEETH_NEAR: f64 = 2.0;

/// The outlines, if both pallets keep clear of the wheel over their whole action.
///
/// # Errors
/// [`FamilyError::ToothTooShallow`], [`FamilyError::UndercutTooSmall`], and the `Hits` variants.
pub(super) fn outlines_of(
    layout: &Layout,
    form: &ToothForm,
    tooth: Outline,
    entry: Action,
    exit: Action,
) -> Result<EscapementOutlines, FamilyError> {
    for action in [&entry, &exit] {
        check_held_tooth(layout, form, action)?;
    }
    let tooth_m = tooth.polyline(SAGITTA_M);
    for holding in [&entry, &exit] {
        for pose in &holding.poses {
            for action in [&entry, &exit] {
                let pallet_m = turned_points(&action.outline, layout.arbor, pose.theta_rad);
                check_neighbours(layout, &tooth_m, &pallet_m, action.pallet, holding.pallet, pose)?;
            }
        }
    }
    Ok(EscapementOutlines {
        teeth: layout.teeth,
        centre_distance_m: layout.centre_distance_m,
        tooth,
        entry: entry.outline,
        exit: exit.outline,
    })
}

/// Checks a pallet against the root and against the front of the tooth that it holds.
fn check_held_tooth(layout: &Layout, form: &ToothForm, action: &Action) -> Result<(), FamilyError> {
    let pallet = action.pallet;
    let (mut reach_m, mut least_rad) = (0.0_f64, 0.0_f64);
    for pose in &action.poses {
        let tip = layout.on_tip_circle(pose.phi_rad);
        let forward = Point::new(pose.phi_rad.cos(), -pose.phi_rad.sin());
        for point in turned_points(&action.outline, layout.arbor, pose.theta_rad) {
            reach_m = reach_m.max(layout.radius_m - point.norm());
            let inward_m = (tip - point).dot(&tip) / layout.radius_m;
            let backward_m = (tip - point).dot(&forward);
            if inward_m > TOUCH_M {
                least_rad = least_rad.max((backward_m - TOUCH_M).atan2(inward_m));
            }
        }
    }
    if reach_m >= form.depth_m {
        return Err(FamilyError::ToothTooShallow { pallet, reach_m, depth_m: form.depth_m });
    }
    if least_rad > form.undercut_rad {
        return Err(FamilyError::UndercutTooSmall { pallet, undercut_rad: form.undercut_rad, least_rad });
    }
    Ok(())
}

/// Checks one pallet at one pose against all teeth that it could meet.
fn check_neighbours(
    layout: &Layout,
    tooth_m: &[Point],
    pallet_m: &[Point],
    pallet: PalletSide,
    holding: PalletSide,
    pose: &Pose,
) -> Result<(), FamilyError> {
    let middle_rad = 0.5 * pallet.away() * (layout.wide_rad + layout.narrow_rad);
    for index in 0..layout.teeth {
        let phi_rad = pose.phi_rad + f64::from(index) * layout.pitch_rad;
        let from_middle_rad = nearest_turn(phi_rad - middle_rad);
        if from_middle_rad.abs() > TEETH_NEAR * layout.pitch_rad {
            continue;
        }
        let placed_m: Vec<Point> = tooth_m.iter().map(|&point| turned_back(point, phi_rad)).collect();
        let depth_m = overlap_m(&placed_m, pallet_m);
        if depth_m <= TOUCH_M {
            continue;
        }
        let theta_rad = pose.theta_rad;
        return Err(if index == 0 && pallet == holding {
            FamilyError::HitsTipLand { pallet, depth_m, theta_rad }
        } else if from_middle_rad > 0.0 {
            FamilyError::HitsToothAhead { pallet, depth_m, theta_rad }
        } else {
            FamilyError::HitsToothBehind { pallet, depth_m, theta_rad }
        });
    }
    Ok(())
}

/// Points along an outline turned by `theta_rad` about the pallet arbor, m.
fn turned_points(outline: &Outline, arbor: Point, theta_rad: f64) -> Vec<Point> {
    outline.turned_about(arbor, theta_rad).polyline(SAGITTA_M)
}

/// `point` turned clockwise about the wheel centre, m.
fn turned_back(point: Point, phi_rad: f64) -> Point {
    let (sine, cosine) = phi_rad.sin_cos();
    Point::new(cosine * point.x + sine * point.y, cosine * point.y - sine * point.x)
}

/// The same angle within half a turn of 0.
fn nearest_turn(angle_rad: f64) -> f64 {
    angle_rad - std::f64::consts::TAU * (angle_rad / std::f64::consts::TAU).round()
}

/// Greatest depth of a vertex of one polygon within the other, m; 0 if there is none.
fn overlap_m(first: &[Point], second: &[Point]) -> f64 {
    let deepest = |points: &[Point], polygon: &[Point]| {
        points.iter().map(|&point| depth_within_m(point, polygon)).fold(0.0_f64, f64::max)
    };
    deepest(first, second).max(deepest(second, first))
}

/// Distance of a point inside a polygon from its boundary, m; 0 outside.
fn depth_within_m(point: Point, polygon: &[Point]) -> f64 {
    let mut inside = false;
    let mut nearest_m = f64::INFINITY;
    for (index, &from) in polygon.iter().enumerate() {
        let to = polygon[(index + 1) % polygon.len()];
        if (from.y > point.y) != (to.y > point.y)
            && point.x < from.x + (point.y - from.y) / (to.y - from.y) * (to.x - from.x)
        {
            inside = !inside;
        }
        let edge = to - from;
        let share = ((point - from).dot(&edge) / edge.norm_squared()).clamp(0.0, 1.0);
        nearest_m = nearest_m.min((point - from - share * edge).norm());
    }
    if inside { nearest_m } else { 0.0 }
}
