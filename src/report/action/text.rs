//! The action of the pallets as a table.

use std::fmt::Write as _;

use crate::report::words::numbers::number;

use super::json::{ActionRecord, PalletRecord};

/// Lock, lift, drop, recoil, clearance of both pallets.
#[must_use]
pub fn table(action: &ActionRecord) -> String {
    let mut out =
        String::from("Action, read off the contact curves (degrees of the pallets; drop and way of the wheel)\n");
    let _ = writeln!(
        out,
        "  {:<8} {:>8} {:>8} {:>8} {:>8} {:>15} {:>12}",
        "pallet", "lock", "lift", "drop", "recoil", "wheel pushed", "free behind"
    );
    for (name, pallet) in [("entry", &action.entry), ("exit", &action.exit)] {
        let PalletRecord { lock_deg, lift_deg, drop_deg, recoil_deg, recoil_wheel_deg, clearance_wheel_deg } = *pallet;
        let _ = writeln!(
            out,
            "  {:<8} {:>8} {:>8} {:>8} {:>8} {:>15} {:>12}",
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
