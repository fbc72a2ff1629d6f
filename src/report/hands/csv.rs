//! The course over the dial as a table.

use crate::answers::prediction::Prediction;
use crate::clock::SECONDS_PER_HOUR;
use crate::report::csv_table::{CsvTable, exact, written};

/// Swing and rate over the twelve hours; `None` where they were not followed or the clock stops.
#[must_use]
pub fn table(prediction: &Prediction) -> Option<CsvTable> {
    let Some(Ok(course)) = &prediction.dial else { return None };
    let columns = ["time_h", "hands_torque_n_m", "semi_arc_right_deg", "semi_arc_left_deg", "rate_s_per_day"];
    let rows = course.points.iter().map(|point| {
        vec![
            exact(point.time_s / SECONDS_PER_HOUR),
            exact(point.hands_n_m),
            exact(point.right_rad.to_degrees()),
            exact(point.left_rad.to_degrees()),
            exact(point.rate_s_per_day),
        ]
    });
    written("swing-and-rate-over-twelve-hours", &columns, rows)
}
