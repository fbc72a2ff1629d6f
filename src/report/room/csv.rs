//! What a clock's room does to it, a room a row.

use crate::report::csv_table::{CsvTable, exact, optional, written, yes_or_no};
use crate::report::words::reasons::reason_with_meshes;
use crate::study::room::RoomPoint;

use super::RoomView;
use super::json::RoomPointRecord;
use super::view::shown_in;

/// The points as a table.
#[must_use]
pub fn table(view: &RoomView<'_>) -> Option<CsvTable> {
    let columns = [
        "quantity",
        "value",
        "unit",
        "verdict",
        "meets_margin",
        "rate_s_per_day",
        "semi_arc_deg",
        "least_weight_kg",
        "least_torque_n_m",
        "lock_deg",
        "why_not",
    ];
    let row = |point: &RoomPoint| {
        let record = RoomPointRecord::of(point);
        let (name, ..) = shown_in(point.quantity);
        vec![
            name.to_owned(),
            exact(record.value),
            record.unit.to_owned(),
            record.verdict.unwrap_or_default().to_owned(),
            yes_or_no(record.meets_margin),
            optional(record.rate_s_per_day),
            optional(record.semi_arc_deg),
            optional(record.least_weight_kg),
            optional(record.least_torque_n_m),
            optional(record.lock_deg),
            record
                .no_clock
                .or_else(|| {
                    let answer = point.found.as_ref().ok()?;
                    Some(reason_with_meshes(answer.reason?, &answer.jammed))
                })
                .unwrap_or_default(),
        ]
    };
    written("room", &columns, view.rooms.points.iter().map(row))
}
