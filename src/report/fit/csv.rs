//! Measured and fitted values, a reading a row.

use crate::report::csv_table::{CsvTable, exact, written};
use crate::study::fit::free_swing::FreeSwing;
use crate::study::fit::readings::AmplitudeReadings;

/// Readings of an amplitude beside a model, both in rad. `standing_out`: numbers of the readings that stand out, rising.
#[must_use]
pub fn amplitudes(readings: &AmplitudeReadings, model_rad: &[f64], standing_out: &[usize]) -> Option<CsvTable> {
    let at = if readings.in_periods { "period" } else { "time_s" };
    let (measured, fitted) = if readings.either_side {
        ("angle_deg", "fitted_angle_deg")
    } else {
        ("amplitude_deg", "fitted_amplitude_deg")
    };
    let columns = ["line", at, measured, fitted, "left_deg", "stands_out"];
    let rows = readings.at.iter().enumerate().map(|(row, at)| {
        let (measured, fitted) = (readings.angles_rad[row].to_degrees(), model_rad[row].to_degrees());
        let out = if standing_out.binary_search(&row).is_ok() { "yes" } else { "no" };
        vec![
            readings.lines[row].to_string(),
            exact(*at),
            exact(measured),
            exact(fitted),
            exact(measured - fitted),
            out.to_owned(),
        ]
    });
    written("fit", &columns, rows)
}

/// A ring-down.
#[must_use]
pub fn free_swing(found: &FreeSwing) -> Option<CsvTable> {
    amplitudes(&found.readings, &found.losses.model_rad, &found.losses.standing_out)
}
