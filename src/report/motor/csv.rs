//! Torque asked of a motor over the twelve hours of the dial.

use crate::answers::motor::MotorPrediction;
use crate::report::csv_table::{CsvTable, exact, written};

/// Torque asked of a motor over the twelve hours of the dial.
#[must_use]
pub fn table(found: &MotorPrediction) -> Option<CsvTable> {
    let torques = &found.torques;
    let columns =
        ["time_s", "minute_hand_deg", "hour_hand_deg", "torque_needed_n_m", "torque_available_n_m", "push_at_rest_n_m"];
    let rows = torques.positions.iter().map(|position| {
        let [minute, hour] = position.hands_rad();
        [
            position.time_s,
            minute.to_degrees(),
            hour.to_degrees(),
            position.needed_n_m,
            torques.available_n_m,
            position.push_at_rest_n_m,
        ]
        .map(exact)
        .to_vec()
    });
    written("torque-over-twelve-hours", &columns, rows)
}
