//! The action over a turn of a wheel that is out of true, under its keys.

use serde::Serialize;

use crate::clock::escapement::action_over_turn::{OverTurn, PalletTurn};
use crate::clock::side::PerPallet;

/// Both pallets.
pub type OverTurnRecord = PerPallet<PalletOverTurnRecord>;

/// One pallet; drop and clearance in degrees of the wheel, the rest of the pallets.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct PalletOverTurnRecord {
    /// Lock.
    pub lock_deg: RangeRecord,
    /// Lift.
    pub lift_deg: RangeRecord,
    /// Drop, leaving this pallet.
    pub drop_deg: RangeRecord,
    /// Free way of the wheel behind the tooth that has left.
    pub clearance_wheel_deg: RangeRecord,
    /// Teeth that have no action.
    pub teeth_without_action: u32,
}

/// Least and largest over a turn, degrees, with the teeth counted from 0.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct RangeRecord {
    /// Least.
    pub least: f64,
    /// Tooth for which it is least.
    pub least_at_tooth: u32,
    /// Largest.
    pub most: f64,
    /// Tooth for which it is largest.
    pub most_at_tooth: u32,
}

impl From<OverTurn> for RangeRecord {
    fn from(range: OverTurn) -> Self {
        let OverTurn { least_rad, least_tooth, most_rad, most_tooth } = range;
        // A lock of nothing has no sign.
        let degrees = |angle_rad: f64| if angle_rad == 0.0 { 0.0 } else { angle_rad.to_degrees() };
        Self {
            least: degrees(least_rad),
            least_at_tooth: least_tooth,
            most: degrees(most_rad),
            most_at_tooth: most_tooth,
        }
    }
}

impl From<PalletTurn> for PalletOverTurnRecord {
    fn from(turn: PalletTurn) -> Self {
        let PalletTurn { lock, lift, drop, clearance, without_action } = turn;
        Self {
            lock_deg: lock.into(),
            lift_deg: lift.into(),
            drop_deg: drop.into(),
            clearance_wheel_deg: clearance.into(),
            teeth_without_action: without_action,
        }
    }
}

/// The action over a turn of entry and exit pallet.
#[must_use]
pub fn record(turn: PerPallet<PalletTurn>) -> OverTurnRecord {
    turn.map(PalletOverTurnRecord::from)
}
