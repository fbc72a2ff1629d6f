//! The contact curves of the action, point by point.

use crate::report::csv_table::{CsvTable, exact, written};
use crate::study::portrait::ActionCurves;

/// The contact curves as the picture of the action draws them.
#[must_use]
pub fn table(curves: &ActionCurves) -> Option<CsvTable> {
    written(
        "action",
        &["curve", "pallet", "pendulum_angle_deg", "wheel_advance_deg"],
        curves.curves.iter().enumerate().flat_map(|(index, curve)| {
            curve.points.iter().map(move |point| {
                vec![
                    (index + 1).to_string(),
                    curve.pallet.name().to_owned(),
                    exact(point.0.to_degrees()),
                    exact(point.1.to_degrees()),
                ]
            })
        }),
    )
}
