//! The action over a turn of a wheel that is out of true, as a table.

use std::fmt::Write as _;

use crate::clock::build::Built;
use crate::report::words::numbers::number;

use super::json::OverTurnRecord;

/// The same as a table, with the place of each tooth.
#[must_use]
pub fn table(built: &Built, record: &OverTurnRecord) -> String {
    let teeth = built.outlines.as_ref().map_or(0, |outlines| outlines.teeth);
    let mut out = String::from(
        "Action over a turn of the wheel, which is out of true (deg of the pallets; drop and clearance: deg of the \
            wheel)\n",
    );
    let _ = writeln!(out, "  {:<8} {:<17} {:>8}  {:<34} {:>8}  at", "pallet", "", "least", "at", "most");
    for (pallet, of) in record.iter() {
        let rows = [
            ("lock", of.lock_deg),
            ("lift", of.lift_deg),
            ("drop", of.drop_deg),
            ("clearance behind", of.clearance_wheel_deg),
        ];
        for (name, range) in rows {
            let at = |tooth| built.out_of_true.place(tooth, teeth);
            let _ = writeln!(
                out,
                "  {pallet:<8} {name:<17} {:>8}  {:<34} {:>8}  {}",
                number(range.least, 3),
                at(range.least_at_tooth),
                number(range.most, 3),
                at(range.most_at_tooth)
            );
        }
    }
    out
}
