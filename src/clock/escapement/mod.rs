//! Escapement families: from a maker's few numbers to the outlines of one tooth and both pallets.
//!
//! Frame: wheel centre (0, 0), pallet arbor (0, C), x right, y up; the wheel is driven clockwise, pallet angle `theta`
//! anticlockwise positive. The entry pallet is on the left and goes deeper for `theta > 0`, the exit pallet on the
//! right and goes deeper for `theta < 0`. A tooth's place `phi` is the angle of its front tip corner past the upward
//! direction, positive in the driving direction, so that tooth no. 0 stands at `phi = 0` when the wheel's advance is 0.

pub mod action;
pub mod action_over_turn;
pub mod anchor;
pub mod clearance_notes;
pub mod clearances;
mod dead_beat;
mod error;
mod face;
pub mod interference;
mod layout;
mod overlap;
mod pin_anchor;
mod pin_pallet;
mod recoil_anchor;
mod teeth;
mod wheel_body;
mod wheel_rim;

pub use dead_beat::dead_beat;
pub use error::FamilyError;
pub use pin_pallet::pin_pallet;
pub use recoil_anchor::recoil_anchor;
pub use wheel_body::{EscapeWheel, WheelError, WheelHoles, escape_wheel};
pub use wheel_rim::{RimError, WheelRim, wheel_rim};

use crate::geometry::Outline;

use super::design::EscapementDesign;
use super::side::PerPallet;

/// Outlines of an escapement, m, before any printer, play or beat error.
#[derive(Debug, Clone, PartialEq)]
pub struct EscapementOutlines {
    /// Teeth of the wheel.
    pub teeth: u32,
    /// Distance between the arbors (`C`).
    pub centre_distance_m: f64,
    /// Tooth no. 0 in the wheel's frame: its front tip corner (a pin's centre) at (0, R), the wheel turning clockwise,
    /// so to the right.
    pub tooth: Outline,
    /// Pallets, front view in the clock's frame with the pendulum hanging.
    pub pallets: PerPallet<Outline>,
}

/// The outlines of an escapement as drawn; `None` for an ideal one, which has none.
///
/// # Errors
/// [`FamilyError`] of a parametric escapement.
pub fn drawn_outlines(design: &EscapementDesign) -> Result<Option<EscapementOutlines>, FamilyError> {
    match design {
        EscapementDesign::DeadBeat(family) => dead_beat(family).map(Some),
        EscapementDesign::RecoilAnchor(family) => recoil_anchor(family).map(Some),
        EscapementDesign::PinPallet(family) => pin_pallet(family).map(Some),
        EscapementDesign::Outline(given) => Ok(Some(EscapementOutlines {
            teeth: given.teeth,
            centre_distance_m: given.centre_distance_m,
            tooth: given.tooth.clone(),
            pallets: given.pallets.clone(),
        })),
        EscapementDesign::IdealTorque(_) | EscapementDesign::IdealKick(_) => Ok(None),
    }
}
