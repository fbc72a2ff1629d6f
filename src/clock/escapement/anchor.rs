//! Both pallets as one body: joined by arms to a hub with a bore.

use std::f64::consts::TAU;

use crate::clock::design::AnchorBody;
use crate::clock::side::{PerPallet, Side};
use crate::geometry::{Outline, OutlineError, Point, Vertex};

use super::EscapementOutlines;

/// Diameter of a hub over its bore where the scenario gives none: a wall of half the bore all round (common practice, no source).
pub const COMMON_HUB_TO_BORE: f64 = 2.0;

/// Width of an arm over the hub's diameter where the scenario gives none (common practice, no source).
pub const COMMON_ARM_TO_HUB: f64 = 0.4;

/// Largest departure of the chords along which the room about the wheel is measured, m.
const SAGITTA_M: f64 = 1e-6;

/// Places of a swing at which the room about the wheel is measured.
const PLACES: u32 = 32;

/// An anchor in one piece, in the frame of the escapement: the wheel's centre is the origin, the pallet arbor above it.
#[derive(Debug, Clone, PartialEq)]
pub struct PalletAnchor {
    /// Its outside, anticlockwise; holds the acting edges of both pallets bit for bit.
    pub contour: Outline,
    /// Hole for the arbor.
    pub bore: Outline,
    /// Diameter of that hole, m.
    pub bore_m: f64,
    /// Diameter of the hub, m.
    pub hub_m: f64,
    /// Width of the arms, m.
    pub arm_m: f64,
    /// The arms and the hub alone: what is not drawn pallet.
    added: Vec<Point>,
    arbor: Point,
}

/// Why pallets make no anchor.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum AnchorError {
    /// The arbor's diameter is not known.
    #[error("the bore of the anchor is not stated: give [escapement.pallets] a bore")]
    NoBore,
    /// A pin has no end to which an arm could be joined.
    #[error("pallets that are pins stand on a plate of the maker's own")]
    NoEnd(Side),
    /// Sizes that do not go together.
    #[error("a bore of {:.2} mm, a hub of {:.2} mm and arms of {:.2} mm do not go together", 1e3 * .bore_m, 1e3 * .hub_m, 1e3 * .arm_m)]
    Sizes {
        /// Bore.
        bore_m: f64,
        /// Hub.
        hub_m: f64,
        /// Arms.
        arm_m: f64,
    },
    /// The arms cross each other or the pallets.
    #[error("arms and pallets do not make one outline: {0}")]
    Outline(#[from] OutlineError),
}

/// The anchor of pallets as drawn; `arbor_m` is the diameter of their arbor, where the body states no bore.
///
/// Each pallet is cut open at its end: the straight edge that is farthest from the wheel. An arm leads from there to the hub, on the
/// side away from the wheel, with its near edge in the line from the end's near corner to the arbor; all other vertices and bulges of
/// the pallets stay as they are.
///
/// # Errors
/// [`AnchorError`].
pub fn anchor(
    drawn: &EscapementOutlines,
    body: &AnchorBody,
    arbor_m: Option<f64>,
) -> Result<PalletAnchor, AnchorError> {
    let bore_m = body.bore_m.or(arbor_m).ok_or(AnchorError::NoBore)?;
    let hub_m = body.hub_diameter_m.unwrap_or(COMMON_HUB_TO_BORE * bore_m);
    let arm_m = body.arm_width_m.unwrap_or(COMMON_ARM_TO_HUB * hub_m);
    if !(bore_m > 0.0 && bore_m < hub_m && arm_m > 0.0 && 2.0 * arm_m < hub_m) {
        return Err(AnchorError::Sizes { bore_m, hub_m, arm_m });
    }
    let arbor = Point::new(0.0, drawn.centre_distance_m);
    let arms = PerPallet::try_from_fn(|pallet| {
        PalletArm::of(&drawn.pallets[pallet], arbor, 0.5 * hub_m, arm_m).ok_or(AnchorError::NoEnd(pallet))
    })?;
    // Anticlockwise: down the far edge of the left arm, round its pallet, up its near edge, below the hub to the right arm.
    let [left, right] =
        if arms.entry.root.x < arms.exit.root.x { [&arms.entry, &arms.exit] } else { [&arms.exit, &arms.entry] };
    let arc = |from: Point, to: Point| {
        let (a, b) = (from - arbor, to - arbor);
        (0.25 * a.perp(&b).atan2(a.dot(&b)).rem_euclid(TAU)).tan()
    };
    let straight = |at| Vertex { at, bulge: 0.0 };
    let mut vertices = vec![straight(left.far_root)];
    vertices.push(straight(left.far));
    vertices.extend(&left.pallet);
    vertices.push(Vertex { at: left.root, bulge: arc(left.root, right.root) });
    vertices.push(straight(right.root));
    vertices.extend(&right.pallet);
    vertices.push(straight(right.far));
    vertices.push(Vertex { at: right.far_root, bulge: arc(right.far_root, left.far_root) });
    let contour = Outline::new(vertices)?;
    let under_hub = Outline::circle(arbor, 0.5 * hub_m)?.polyline(SAGITTA_M);
    let edges = [left, right].into_iter().flat_map(|arm| [arm.root, arm.far_root, arm.far]);
    let near = [left, right].into_iter().flat_map(|arm| along(arm.near, arm.root));
    let added = edges.chain(near).chain(under_hub).collect();
    Ok(PalletAnchor { contour, bore: Outline::circle(arbor, 0.5 * bore_m)?, bore_m, hub_m, arm_m, added, arbor })
}

impl PalletAnchor {
    /// The middle of its arbor, m.
    #[must_use]
    pub const fn arbor(&self) -> Point {
        self.arbor
    }

    /// Room between arms or hub and the circle of the wheel's tips over a swing of so much to both sides, m; below 0 where they meet.
    #[must_use]
    pub fn room_about_wheel_m(&self, tip_m: f64, swing_rad: f64) -> f64 {
        let turned = |share: u32| {
            let (sine, cosine) = (swing_rad * (2.0 * f64::from(share) / f64::from(PLACES) - 1.0)).sin_cos();
            self.added.iter().map(move |point| {
                let arm = point - self.arbor;
                (self.arbor + Point::new(cosine * arm.x - sine * arm.y, sine * arm.x + cosine * arm.y)).norm()
            })
        };
        (0..=PLACES).flat_map(turned).fold(f64::INFINITY, f64::min) - tip_m
    }
}

/// Points along an edge, both ends included.
fn along(from: Point, to: Point) -> impl Iterator<Item = Point> {
    (0..=PLACES).map(move |step| from + f64::from(step) / f64::from(PLACES) * (to - from))
}

/// One arm and the pallet at its end.
struct PalletArm {
    /// The pallet without its end, in the order of the outline.
    pallet: Vec<Vertex>,
    /// The end's corner that is nearer to the arbor.
    near: Point,
    /// Where the near edge meets the hub.
    root: Point,
    /// Where the far edge meets the hub.
    far_root: Point,
    /// Where the far edge turns to the pallet.
    far: Point,
}

impl PalletArm {
    /// `None` for a pallet without a straight edge.
    fn of(pallet: &Outline, arbor: Point, hub_radius_m: f64, width_m: f64) -> Option<Self> {
        let edges: Vec<(Point, Point, f64)> = pallet.edges().collect();
        let middle = |&(from, to, _): &(Point, Point, f64)| 0.5 * (from + to);
        let straight = edges.iter().enumerate().filter(|(_, edge)| edge.2 == 0.0);
        let (end, &(from, to, _)) = straight.max_by(|a, b| middle(a.1).norm().total_cmp(&middle(b.1).norm()))?;
        let count = edges.len();
        let mut chain: Vec<Vertex> = (1..=count).map(|step| pallet.vertices()[(end + step) % count]).collect();
        // The edge that leaves the last vertex is the arm's now.
        chain.last_mut()?.bulge = 0.0;
        let (near, distant) = if (from - arbor).norm() < (to - arbor).norm() { (from, to) } else { (to, from) };
        let inward = (arbor - near).normalize();
        let outward = Point::new((to - from).y, -(to - from).x).normalize();
        // Square to the arm, away from the pallet.
        let aside = (outward - outward.dot(&inward) * inward).normalize();
        let deep_m = (hub_radius_m * hub_radius_m - width_m * width_m).sqrt();
        Some(Self {
            pallet: chain,
            near,
            root: arbor - hub_radius_m * inward,
            far_root: arbor - deep_m * inward + width_m * aside,
            far: distant + width_m * aside,
        })
    }
}
