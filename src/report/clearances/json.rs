//! The margins of the action under their keys.

use serde::Serialize;

use crate::clock::escapement::clearances::{LARGEST_CHANGE_M, Margin, Margins};

/// Margins of an action under their keys. A change that is null is larger than the largest one tried.
#[derive(Debug, Clone, Serialize)]
pub struct MarginsRecord {
    /// Largest change tried.
    pub largest_change_mm: f64,
    /// Smallest lock, degrees of the pallets; null where nothing locks.
    pub lock: Option<HoldRecord>,
    /// Without locks: smallest arc from a tooth's fall to its release, degrees of the pallets.
    pub hold: Option<HoldRecord>,
    /// Smallest drop.
    pub drop: GapRecord,
    /// Smallest free way behind a tooth that has left a pallet.
    pub clearance: GapRecord,
    /// Height that the bead takes off the tip of the tooth.
    pub bead_off_tip_mm: f64,
    /// By how much smaller a wheel would have the same lock without a bead; null where that says nothing.
    pub bead_as_wheel_small_mm: Option<f64>,
}

/// What holds a tooth, and what eats it up.
#[derive(Debug, Clone, Serialize)]
pub struct HoldRecord {
    /// Pallet at which it is least.
    pub pallet: String,
    /// What there is.
    pub deg: f64,
    /// A smaller diameter.
    pub wheel_small_mm: Option<f64>,
    /// Arbors further apart.
    pub arbors_apart_mm: Option<f64>,
    /// Edges short of the drawing.
    pub edges_short_mm: Option<f64>,
}

/// A gap, and what closes it.
#[derive(Debug, Clone, Serialize)]
pub struct GapRecord {
    /// Pallet that the tooth has left.
    pub pallet: String,
    /// Degrees of the wheel.
    pub deg: f64,
    /// The same along the tip circle.
    pub mm: f64,
    /// A larger diameter.
    pub wheel_large_mm: Option<f64>,
    /// Arbors closer together.
    pub arbors_close_mm: Option<f64>,
    /// Growth of every edge.
    pub growth_mm: Option<f64>,
}

impl From<&Margins> for MarginsRecord {
    fn from(margins: &Margins) -> Self {
        let mm = |length_m: Option<f64>| length_m.map(|length_m| 1e3 * length_m);
        let hold = HoldRecord {
            pallet: margins.hold.pallet.to_string(),
            deg: margins.hold.least_rad.to_degrees(),
            wheel_small_mm: mm(margins.hold.wheel_m),
            arbors_apart_mm: mm(margins.hold.arbors_m),
            edges_short_mm: mm(margins.hold.edges_m),
        };
        let gap = |margin: &Margin| GapRecord {
            pallet: margin.pallet.to_string(),
            deg: margin.least_rad.to_degrees(),
            mm: 1e3 * margin.least_rad * margins.tip_radius_m,
            wheel_large_mm: mm(margin.wheel_m),
            arbors_close_mm: mm(margin.arbors_m),
            growth_mm: mm(margin.edges_m),
        };
        let (lock, hold) = if margins.locks { (Some(hold), None) } else { (None, Some(hold)) };
        Self {
            largest_change_mm: 1e3 * LARGEST_CHANGE_M,
            lock,
            hold,
            drop: gap(&margins.drop),
            clearance: gap(&margins.clearance),
            bead_off_tip_mm: 1e3 * margins.bead_off_tip_m,
            bead_as_wheel_small_mm: mm(margins.bead_as_wheel_m),
        }
    }
}
