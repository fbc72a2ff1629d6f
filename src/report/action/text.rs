//! The action of the pallets as a table.

use std::fmt::Write as _;

use crate::report::words::numbers::number;

use super::json::{ActionRecord, PalletRecord};

/// Lock, lift, drop, recoil, clearance of both pallets.
#[must_use]
pub fn table(action: &ActionRecord) -> String {
    let mut out = String::from(
        "Action, from the contact curves (deg of the pallets; drop and the last two columns: deg of the wheel)\n",
    );
    let _ = writeln!(
        out,
        "  {:<8} {:>8} {:>8} {:>8} {:>8} {:>18} {:>17}",
        "pallet", "lock", "lift", "drop", "recoil", "wheel driven back", "clearance behind"
    );
    for (name, pallet) in [("entry", &action.entry), ("exit", &action.exit)] {
        let PalletRecord { lock_deg, lift_deg, drop_deg, recoil_deg, recoil_wheel_deg, clearance_wheel_deg } = *pallet;
        let _ = writeln!(
            out,
            "  {:<8} {:>8} {:>8} {:>8} {:>8} {:>18} {:>17}",
            name,
            number(lock_deg, 3),
            number(lift_deg, 3),
            number(drop_deg, 3),
            number(recoil_deg, 3),
            number(recoil_wheel_deg, 3),
            number(clearance_wheel_deg, 3)
        );
    }
    out
}
