//! Run time against weight, a drum and falls a row.

use crate::report::csv_table::{CsvTable, exact, optional, written};
use crate::study::trade::TradePoint;

use super::TradeView;
use super::json::TradePointRecord;

/// The points as a table.
#[must_use]
pub fn table(view: &TradeView<'_>) -> Option<CsvTable> {
    let columns = [
        "falls",
        "drum_diameter_mm",
        "weight_kg",
        "least_weight_kg",
        "run_time_days",
        "turns_of_drum",
        "run_ended_by",
        "cord_tension_n",
        "cord_breaking_strength_n",
        "wall_pull_n",
        "semi_arc_deg",
        "rate_s_per_day",
        "reason",
    ];
    let row = |point: &TradePoint| {
        let record = TradePointRecord::of_point(point);
        vec![
            record.falls.to_string(),
            exact(record.drum_diameter_mm),
            optional(record.weight_kg),
            optional(record.least_weight_kg),
            optional(record.run_time_days),
            optional(record.turns_of_drum),
            record.run_ended_by.unwrap_or_default().to_owned(),
            optional(record.cord_tension_n),
            optional(record.cord_breaking_strength_n),
            optional(record.wall_pull_n),
            optional(record.semi_arc_deg),
            optional(record.rate_s_per_day),
            record.reason.unwrap_or_default(),
        ]
    };
    written("trade", &columns, view.trade.points.iter().map(row))
}
