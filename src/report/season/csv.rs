//! A season row by row.

use crate::clock::SECONDS_PER_HOUR;
use crate::report::csv_table::{CsvTable, exact, optional, written};

use super::{SeasonRow, SeasonView};

/// The season row by row.
#[must_use]
pub fn table(view: &SeasonView<'_>) -> Option<CsvTable> {
    let columns = [
        "time_h",
        "when",
        "temperature_degc",
        "humidity_percent",
        "pressure_hpa",
        "rod_temperature_degc",
        "wood_humidity_percent",
        "semi_arc_deg",
        "rate_s_per_day",
        "error_s",
    ];
    let row = |row: &SeasonRow| {
        let moment = &row.moment;
        vec![
            exact(moment.time_s / SECONDS_PER_HOUR),
            view.when(moment.time_s),
            exact(moment.temperature_c),
            exact(1e2 * moment.relative_humidity),
            exact(1e-2 * moment.pressure_pa),
            optional(row.rod_temperature_c),
            optional(row.wood_humidity.map(|share| 1e2 * share)),
            optional(row.semi_arc_rad.map(f64::to_degrees)),
            optional(row.rate_s_per_day),
            optional(row.error_s),
        ]
    };
    written("season", &columns, view.rows.iter().map(row))
}
