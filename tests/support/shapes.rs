//! Random outlines and polygons, made from nothing but the outlines' vertices.

use std::f64::consts::{PI, TAU};

use beatwright::clock::design::{DeadBeat, PalletPlan, RecoilAnchor, TaperedTooth, ToothForm};
use beatwright::clock::escapement::{EscapementOutlines, dead_beat, recoil_anchor};
use beatwright::geometry::{Outline, Point, Vertex, arc_centre};
use proptest::prelude::*;

use super::polygons::{overlap, turned_point};

/// Chord error of the polygons, m. Chords of 1e-3 rad keep arcs of 10 mm to 1.3e-9 m.
pub const SAGITTA_M: f64 = 1e-8;

/// A star-shaped outline of 3 to 7 edges about `middle`, some straight, some round, some hollow.
pub fn blob(middle: Point, size_m: f64) -> impl Strategy<Value = Outline> {
    let corner = (0.1..0.9_f64, 0.55..1.0_f64, prop_oneof![1 => Just(0.0), 1 => 0.02..0.4_f64, 1 => -0.25..-0.02_f64]);
    prop::collection::vec(corner, 3..8).prop_filter_map("crossing", move |corners| {
        let count = corners.len() as f64;
        let vertices = corners.iter().enumerate().map(|(k, &(place, out, bulge))| {
            let angle = TAU * (k as f64 + place) / count;
            Vertex { at: middle + out * size_m * Point::new(angle.cos(), angle.sin()), bulge }
        });
        Outline::new(vertices.collect()).ok()
    })
}

/// Both families over a wide range of plans.
pub fn family_outlines() -> impl Strategy<Value = EscapementOutlines> {
    let plan = (
        (24_u32..=45, 20e-3..80e-3_f64, 0.18..0.3_f64, 1.5..5.0_f64, 0.1..0.25_f64),
        (0.97..1.04_f64, 0.2..0.3_f64, 0.05..0.6_f64, 4.0..14.0_f64, 4.0..9.0_f64),
        (0.3..1.5_f64, any::<bool>()),
    );
    plan.prop_filter_map(
        "a plan that cannot be drawn",
        |((teeth, radius_m, embraced, lift, drop), (centre, depth, tip, undercut, wedge), (lock, dead))| {
            let pitch_rad = TAU / f64::from(teeth);
            let spaces_embraced = (f64::from(teeth) * embraced).floor() + 0.5;
            let drop_rad = drop * pitch_rad;
            let plan = PalletPlan {
                teeth,
                radius_m,
                spaces_embraced,
                lift_rad: lift.to_radians(),
                drop_rad,
                centre_distance_m: Some(centre * radius_m / (0.5 * spaces_embraced * pitch_rad).cos()),
                tooth: ToothForm::Tapered(TaperedTooth {
                    depth_m: depth * radius_m,
                    tip_width_m: tip * drop_rad * radius_m,
                    undercut_rad: undercut.to_radians(),
                    wedge_rad: wedge.to_radians(),
                }),
                friction: 0.1.into(),
                restitution: 0.0,
                beat_error_rad: 0.0,
                face_length_rad: 4f64.to_radians(),
            };
            if dead {
                dead_beat(&DeadBeat { plan, lock_rad: lock.to_radians() })
            } else {
                recoil_anchor(&RecoilAnchor { plan })
            }
            .ok()
        },
    )
}

/// Every vertex moved by up to `size_m` either way and every edge bent a little more; `None` if edges then cross.
pub fn perturbed(outline: &Outline, size_m: f64, dents: &[(f64, f64, f64)]) -> Option<Outline> {
    let vertices = outline.vertices().iter().zip(dents.iter().cycle()).map(|(vertex, &(x, y, bend))| Vertex {
        at: vertex.at + size_m * Point::new(x, y),
        bulge: vertex.bulge + 0.05 * bend,
    });
    Outline::new(vertices.collect()).ok()
}

/// The place of an outline that is nearest to a point.
pub struct Nearest {
    pub off_m: f64,
    /// Outward normal there; `None` at a corner.
    pub normal: Option<Point>,
    /// Radius of the edge: negative in a hollow, 0 at a corner, infinite along a straight one.
    pub radius_m: f64,
}

pub fn at_edge(outline: &Outline, point: Point) -> Nearest {
    // A corner this close leaves the normal open.
    const CORNER_M: f64 = 1e-9;
    let mut nearest = Nearest { off_m: f64::INFINITY, normal: None, radius_m: 0.0 };
    for (from, to, bulge) in outline.edges() {
        let corner = (point - from).norm().min((point - to).norm());
        let (off, normal, radius_m) = if bulge == 0.0 {
            let along = (to - from).normalize();
            let place = (point - from).dot(&along).clamp(0.0, (to - from).norm());
            ((point - from - place * along).norm(), Point::new(along.y, -along.x), f64::INFINITY)
        } else {
            let centre = arc_centre(from, to, bulge);
            let radial = point - centre;
            let radius = (from - centre).norm();
            let middle = Point::new(to.y - from.y, from.x - to.x).normalize() * bulge.signum();
            let within = radial.normalize().dot(&middle) >= (2.0 * bulge.abs().atan()).cos();
            let off = if within { (radial.norm() - radius).abs() } else { corner };
            (off, radial.normalize() * bulge.signum(), radius * bulge.signum())
        };
        if off.min(corner) < nearest.off_m {
            let smooth = corner > CORNER_M;
            nearest = Nearest {
                off_m: off.min(corner),
                normal: smooth.then_some(normal),
                radius_m: if smooth { radius_m } else { 0.0 },
            };
        }
    }
    nearest
}

/// One tooth and one pallet as polygons.
pub struct Polygons {
    arbor: Point,
    tooth: Vec<Point>,
    pallet: Vec<Point>,
}

impl Polygons {
    pub fn new(tooth: &Outline, pallet: &Outline, arbor: Point) -> Self {
        Self { arbor, tooth: tooth.polyline(SAGITTA_M), pallet: pallet.polyline(SAGITTA_M) }
    }

    /// The tooth stands straight away from the pallet arbor there.
    pub fn window_start_rad(&self) -> f64 {
        let middle = self.tooth.iter().sum::<Point>() / self.tooth.len() as f64;
        middle.y.atan2(middle.x) - 1.5 * PI
    }

    /// Advances to look at between two bounds, both bounds themselves included.
    pub fn scan(&self, theta_rad: f64, from_rad: f64, to_rad: f64) -> impl Iterator<Item = f64> + use<> {
        // The tooth can reach the pallet only where their circles about the wheel centre overlap.
        let half = |points: &[Point]| {
            let middle = points.iter().sum::<Point>() / points.len() as f64;
            let bearing = middle.x.atan2(middle.y);
            let widest = points.iter().map(|p| (p.x.atan2(p.y) - bearing).abs()).fold(0.0, f64::max);
            (bearing, widest)
        };
        let pallet: Vec<Point> = self.pallet.iter().map(|&p| turned_point(p, self.arbor, theta_rad)).collect();
        let ((tooth, wide), (place, pallet_wide)) = (half(&self.tooth), half(&pallet));
        let low = (place - tooth - wide - pallet_wide - 0.01).max(from_rad).min(to_rad);
        let high = (place - tooth + wide + pallet_wide + 0.01).min(to_rad).max(from_rad);
        let steps = ((high - low) / 1e-3).ceil().max(1.0) as u32;
        let inner = (0..=steps).map(move |k| low + (high - low) * f64::from(k) / f64::from(steps));
        inner.chain([from_rad, to_rad])
    }

    pub fn overlap_at(&self, theta_rad: f64, phi_rad: f64) -> bool {
        let tooth: Vec<Point> = self.tooth.iter().map(|&p| turned_point(p, Point::zeros(), -phi_rad)).collect();
        let pallet: Vec<Point> = self.pallet.iter().map(|&p| turned_point(p, self.arbor, theta_rad)).collect();
        overlap(&tooth, &pallet)
    }
}
