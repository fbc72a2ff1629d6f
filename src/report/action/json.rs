//! The action of the pallets under its keys.

use serde::Serialize;

use crate::answers::prediction::Prediction;
use crate::clock::environment::InRoom;
use crate::clock::escapement::action::{Action, PalletAction};
use crate::clock::side::PerPallet;

/// Action of both pallets.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct ActionRecord {
    /// Entry pallet.
    pub entry: PalletRecord,
    /// Exit pallet.
    pub exit: PalletRecord,
}

/// Action of one pallet: pallet degrees, drop and clearance in degrees of the wheel.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct PalletRecord {
    /// Lock.
    pub lock_deg: f64,
    /// Lift.
    pub lift_deg: f64,
    /// Drop, leaving this pallet.
    pub drop_deg: f64,
    /// Recoil at the steady swing, else at the start arc.
    pub recoil_deg: f64,
    /// Wheel angle by which it is pushed back.
    pub recoil_wheel_deg: f64,
    /// Free way of the wheel behind the tooth that has left.
    pub clearance_wheel_deg: f64,
}

impl PalletRecord {
    /// The action of a pallet with the pallet and wheel arcs of its recoil, rad.
    #[must_use]
    pub fn of(action: &PalletAction, recoil_rad: (f64, f64)) -> Self {
        // A lock of nothing has no sign.
        let lock = if action.lock_rad == 0.0 { 0.0 } else { action.lock_rad };
        Self {
            lock_deg: lock.to_degrees(),
            lift_deg: action.lift_rad.to_degrees(),
            drop_deg: action.drop_rad.to_degrees(),
            recoil_deg: recoil_rad.0.to_degrees(),
            recoil_wheel_deg: recoil_rad.1.to_degrees(),
            clearance_wheel_deg: action.clearance_rad.to_degrees(),
        }
    }
}

impl ActionRecord {
    /// An action with the pallet and wheel arcs of the recoil of entry and exit, rad.
    #[must_use]
    pub fn of(action: &Action, recoil_rad: PerPallet<(f64, f64)>) -> Self {
        Self {
            entry: PalletRecord::of(&action.entry, recoil_rad.entry),
            exit: PalletRecord::of(&action.exit, recoil_rad.exit),
        }
    }
}

/// The action of a prediction under its keys.
#[must_use]
pub fn record(design: &InRoom, prediction: &Prediction) -> Option<ActionRecord> {
    Some(ActionRecord::of(&prediction.action()?, prediction.recoil_rad(design)?))
}
