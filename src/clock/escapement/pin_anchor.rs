//! The plate in which pallets that are pins stand: a hub and two arms that end round about the pins.

use crate::geometry::{Outline, OutlineError, Point, Vertex};

use super::anchor::bulge_about;

/// A pallet that is a pin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PalletPin {
    at: Point,
    radius_m: f64,
}

impl PalletPin {
    /// `None` of an outline that is no circle.
    pub(super) fn of(pallet: &Outline) -> Option<Self> {
        let [one, other] = pallet.vertices() else { return None };
        let is_circle = one.bulge.abs() == 1.0 && other.bulge == one.bulge;
        is_circle.then(|| Self { at: 0.5 * (one.at + other.at), radius_m: 0.5 * (one.at - other.at).norm() })
    }
}

/// The outside of the plate, anticlockwise. About each pin stands half the width of an arm.
pub(super) fn pin_anchor(
    pins: [PalletPin; 2],
    arbor: Point,
    hub_radius_m: f64,
    arm_m: f64,
) -> Result<Outline, OutlineError> {
    let [left, right] = if pins[0].at.x < pins[1].at.x { pins } else { [pins[1], pins[0]] };
    let half_m = 0.5 * arm_m;
    let mut vertices: Vec<Vertex> = Vec::new();
    for pin in [left, right] {
        let along = (pin.at - arbor).normalize();
        let aside = half_m * Point::new(-along.y, along.x);
        let root = arbor + deep_m(hub_radius_m, half_m) * along;
        let end = pin.at - deep_m(pin.radius_m + half_m, half_m) * along;
        if let Some(last) = vertices.last_mut() {
            last.bulge = bulge_about(arbor, last.at, root - aside);
        }
        vertices.push(Vertex { at: root - aside, bulge: 0.0 });
        vertices.push(Vertex { at: end - aside, bulge: bulge_about(pin.at, end - aside, end + aside) });
        vertices.push(Vertex { at: end + aside, bulge: 0.0 });
        vertices.push(Vertex { at: root + aside, bulge: 0.0 });
    }
    if let [first, .., last] = vertices.as_mut_slice() {
        last.bulge = bulge_about(arbor, last.at, first.at);
    }
    Outline::new(vertices)
}

/// How far from its middle a circle is cut by a chord so long.
fn deep_m(radius_m: f64, half_m: f64) -> f64 {
    (radius_m * radius_m - half_m * half_m).sqrt()
}
