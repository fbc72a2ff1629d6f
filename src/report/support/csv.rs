//! Rate and loss over the run as a table.

use crate::answers::prediction::Prediction;
use crate::report::csv_table::{CsvTable, exact, optional, written};

/// Rate shift and added `1/Q` over the run; `None` without a support or a weight.
#[must_use]
pub fn table(prediction: &Prediction) -> Option<CsvTable> {
    let found = prediction.support.as_ref()?.on_support.as_ref()?;
    let columns = ["time_days", "weight_hangs_m", "rate_shift_s_per_day", "added_q"];
    let rows = found.run.iter().map(|place| {
        vec![optional(place.days), exact(place.hangs_m), exact(place.rate_shift_s_per_day), exact(place.added_q)]
    });
    written("wall-and-hanging-weight", &columns, rows)
}
