//! Both pallets as one body: joined by arms to a hub with a bore.

use std::f64::consts::TAU;

use crate::clock::design::{AnchorBody, PendulumClock};
use crate::clock::materials::is_metal;
use crate::clock::side::{PerPallet, Side};
use crate::geometry::{Outline, OutlineError, Point, Vertex};

use super::EscapementOutlines;
use super::pin_anchor::{PalletPin, pin_anchor};

/// Diameter of a hub over its bore where the scenario gives none: a wall of half the bore all round (common practice, no source).
pub const COMMON_HUB_TO_BORE: f64 = 2.0;

/// Width of an arm over the hub's diameter where the scenario gives none (common practice, no source).
pub const COMMON_ARM_TO_HUB: f64 = 0.4;

/// The same at most, where the least width asks for more: both arms meet at the hub.
const WIDEST_ARM_TO_HUB: f64 = 0.45;

/// Beads side by side in an arm that prints stiff enough (common practice, no source).
pub const LEAST_BEADS: f64 = 6.0;

/// Width of a bead where the scenario names none, m: that of a usual nozzle (common practice, no source).
pub const COMMON_BEAD_M: f64 = 0.4e-3;

/// Largest departure of the chords along which the room about the wheel is measured, m.
const SAGITTA_M: f64 = 1e-6;

/// Places of a swing at which the room about the wheel is measured.
const PLACES: u32 = 32;

/// An anchor in one piece, in the frame of the escapement: the wheel's centre is the origin, the pallet arbor above it.
#[derive(Debug, Clone, PartialEq)]
pub struct PalletAnchor {
    /// Its outside, anticlockwise; holds the acting edges of both pallets bit for bit, unless they are pins.
    pub contour: Outline,
    /// Hole for the arbor.
    pub bore: Outline,
    /// Holes for pallets that are pins; empty of all others.
    pub pins: Vec<Outline>,
    /// Diameter of that hole, m.
    pub bore_m: f64,
    /// Diameter of the hub, m.
    pub hub_m: f64,
    /// Width of the arms, m.
    pub arm_m: f64,
    /// The arms and the hub alone, in the plane of the wheel: what is not drawn pallet.
    pub(super) added: Vec<Point>,
    pub(super) arbor: Point,
}

/// Why pallets make no anchor.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum AnchorError {
    /// The arbor's diameter is not known.
    #[error("the bore of the anchor is not stated: give [escapement.pallets] a bore")]
    NoBore,
    /// Without a straight edge there is no end to which an arm could be joined.
    #[error("the {} pallet has no straight edge to which an arm could be joined", .0.name())]
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
    #[error("hub and arms run into the pallets or into each other: make them smaller")]
    Outline(#[from] OutlineError),
}

/// Width of an arm below which none is drawn unless the scenario states it, m: so many beads, or nothing where the pallets are of metal.
#[must_use]
pub fn least_arm_m<S>(clock: &PendulumClock<S>) -> f64 {
    if clock.pallets.as_ref().is_some_and(|pallets| is_metal(&pallets.material)) {
        return 0.0;
    }
    LEAST_BEADS * bead_m(clock)
}

/// Width of the bead that prints the pallets, m.
#[must_use]
pub fn bead_m<S>(clock: &PendulumClock<S>) -> f64 {
    Some(2.0 * clock.printer.bead_radius.value).filter(|width_m| *width_m > 0.0).unwrap_or(COMMON_BEAD_M)
}

/// Sizes of the body that the scenario leaves open are in proportion to its bore, with arms no narrower than `least_arm_m`.
fn sized(body: &AnchorBody, bore_m: f64, least_arm_m: f64) -> Result<(f64, f64), AnchorError> {
    let for_arms_m = body.arm_width_m.unwrap_or(least_arm_m) / COMMON_ARM_TO_HUB;
    let hub_m = body.hub_diameter_m.unwrap_or((COMMON_HUB_TO_BORE * bore_m).max(for_arms_m));
    let common_m = (COMMON_ARM_TO_HUB * hub_m).max(least_arm_m.min(WIDEST_ARM_TO_HUB * hub_m));
    let arm_m = body.arm_width_m.unwrap_or(common_m);
    if bore_m > 0.0 && bore_m < hub_m && arm_m > 0.0 && 2.0 * arm_m < hub_m {
        Ok((hub_m, arm_m))
    } else {
        Err(AnchorError::Sizes { bore_m, hub_m, arm_m })
    }
}

/// The anchor of pallets as drawn; `arbor_m` is the diameter of their arbor, where the body states no bore, `least_arm_m` the width of
/// the arms at the least, where it states none.
///
/// Each pallet is cut open at its end: the straight edge that is farthest from the wheel. An arm leads from there to the hub, on the
/// side away from the wheel, with its near edge in the line from the end's near corner to the arbor; all other vertices and bulges of
/// the pallets stay as they are. Pallets that are pins stand in a plate with a hole for each, before or behind the wheel.
///
/// # Errors
/// [`AnchorError`].
pub fn anchor(
    drawn: &EscapementOutlines,
    body: &AnchorBody,
    arbor_m: Option<f64>,
    least_arm_m: f64,
) -> Result<PalletAnchor, AnchorError> {
    let bore_m = body.bore_m.or(arbor_m).ok_or(AnchorError::NoBore)?;
    let (hub_m, arm_m) = sized(body, bore_m, least_arm_m)?;
    let arbor = Point::new(0.0, drawn.centre_distance_m);
    let bore = Outline::circle(arbor, 0.5 * bore_m)?;
    if let (Some(entry), Some(exit)) = (PalletPin::of(&drawn.pallets.entry), PalletPin::of(&drawn.pallets.exit)) {
        let contour = pin_anchor([entry, exit], arbor, 0.5 * hub_m, arm_m)?;
        let pins = vec![drawn.pallets.entry.clone(), drawn.pallets.exit.clone()];
        return Ok(PalletAnchor { contour, bore, pins, bore_m, hub_m, arm_m, added: Vec::new(), arbor });
    }
    let arms = PerPallet::try_from_fn(|pallet| {
        PalletArm::of(&drawn.pallets[pallet], arbor, 0.5 * hub_m, arm_m).ok_or(AnchorError::NoEnd(pallet))
    })?;
    // Anticlockwise: down the far edge of the left arm, round its pallet, up its near edge, below the hub to the right arm.
    let [left, right] =
        if arms.entry.root.x < arms.exit.root.x { [&arms.entry, &arms.exit] } else { [&arms.exit, &arms.entry] };
    let arc = |from, to| bulge_about(arbor, from, to);
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
    Ok(PalletAnchor { contour, bore, pins: Vec::new(), bore_m, hub_m, arm_m, added, arbor })
}

impl PalletAnchor {
    /// The middle of its arbor, m.
    #[must_use]
    pub const fn arbor(&self) -> Point {
        self.arbor
    }

    /// Its area without the holes, m2.
    #[must_use]
    pub fn area_m2(&self) -> f64 {
        let holes = std::iter::once(&self.bore).chain(&self.pins);
        self.contour.signed_area_m2() - holes.map(|hole| hole.signed_area_m2().abs()).sum::<f64>()
    }

    /// Room between arms or hub and the circle of the wheel's tips over a swing of so much to both sides, m; below 0 where they meet.
    /// `None` of a plate beside the wheel.
    #[must_use]
    pub fn room_about_wheel_m(&self, tip_m: f64, swing_rad: f64) -> Option<f64> {
        let turned = |share: u32| {
            let (sine, cosine) = (swing_rad * (2.0 * f64::from(share) / f64::from(PLACES) - 1.0)).sin_cos();
            self.added.iter().map(move |point| {
                let arm = point - self.arbor;
                (self.arbor + Point::new(cosine * arm.x - sine * arm.y, sine * arm.x + cosine * arm.y)).norm()
            })
        };
        let nearest_m = (0..=PLACES).flat_map(turned).fold(f64::INFINITY, f64::min);
        nearest_m.is_finite().then_some(nearest_m - tip_m)
    }
}

/// Bulge of the arc about a centre that leads anticlockwise from one point to another.
pub(super) fn bulge_about(centre: Point, from: Point, to: Point) -> f64 {
    let (a, b) = (from - centre, to - centre);
    (0.25 * a.perp(&b).atan2(a.dot(&b)).rem_euclid(TAU)).tan()
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
