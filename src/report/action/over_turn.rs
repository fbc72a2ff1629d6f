//! The action over a turn of a wheel that is out of true, as keys and as a table.

use std::fmt::Write as _;

use serde::Serialize;

use crate::clock::build::Built;
use crate::clock::escapement::action_over_turn::{OverTurn, PalletTurn, action_over_turn};
use crate::clock::side::PerPallet;
use crate::report::prediction::text::number;

/// Both pallets.
pub type TurnActionKeys = PerPallet<PalletTurnKeys>;

/// One pallet; drop and clearance in degrees of the wheel, the rest of the pallets.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct PalletTurnKeys {
    /// Lock.
    pub lock_deg: RangeKeys,
    /// Lift.
    pub lift_deg: RangeKeys,
    /// Drop, leaving this pallet.
    pub drop_deg: RangeKeys,
    /// Free way of the wheel behind the tooth that has left.
    pub clearance_wheel_deg: RangeKeys,
    /// Teeth that have no action.
    pub teeth_without_action: u32,
}

/// Least and largest over a turn, degrees, with the teeth counted from 0.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct RangeKeys {
    /// Least.
    pub least: f64,
    /// Tooth for which it is least.
    pub least_at_tooth: u32,
    /// Largest.
    pub most: f64,
    /// Tooth for which it is largest.
    pub most_at_tooth: u32,
}

impl From<OverTurn> for RangeKeys {
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

impl From<PalletTurn> for PalletTurnKeys {
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

/// The action over a turn; `None` where all teeth are alike.
#[must_use]
pub fn turn_action_keys(built: &Built) -> Option<TurnActionKeys> {
    Some(action_over_turn(&built.mechanism.escapement)?.map(PalletTurnKeys::from))
}

/// The same as a table, with the place of each tooth.
#[must_use]
pub fn turn_action_table(built: &Built, keys: &TurnActionKeys) -> String {
    let teeth = built.outlines.as_ref().map_or(0, |outlines| outlines.teeth);
    let mut out = String::from(
        "Action over a turn of the wheel, which is out of true (degrees of the pallets; drop and way of the wheel)\n",
    );
    let _ = writeln!(out, "  {:<8} {:<12} {:>8}  {:<34} {:>8}  at", "pallet", "", "least", "at", "most");
    for (pallet, of) in keys.iter() {
        let rows = [
            ("lock", of.lock_deg),
            ("lift", of.lift_deg),
            ("drop", of.drop_deg),
            ("free behind", of.clearance_wheel_deg),
        ];
        for (name, range) in rows {
            let at = |tooth| built.out_of_true.place(tooth, teeth);
            let _ = writeln!(
                out,
                "  {pallet:<8} {name:<12} {:>8}  {:<34} {:>8}  {}",
                number(range.least, 3),
                at(range.least_at_tooth),
                number(range.most, 3),
                at(range.most_at_tooth)
            );
        }
    }
    out
}
