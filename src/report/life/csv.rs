//! The swing over the years as a table.

use crate::report::csv_table::{CsvTable, exact, optional, written};
use crate::study::portrait::Portrait;

/// Swing, margin and rate over the age; `None` where the clock stops as it is, or does not age.
#[must_use]
pub fn table(portrait: &Portrait) -> Option<CsvTable> {
    let columns = ["age_years", "semi_arc_deg", "arc_margin_deg", "rate_s_per_day"];
    let rows = portrait.ages.iter().map(|aged| {
        vec![
            exact(aged.years),
            exact(aged.semi_arc_rad.to_degrees()),
            exact(aged.arc_margin_rad.to_degrees()),
            optional(aged.rate_s_per_day),
        ]
    });
    written("swing-over-the-years", &columns, rows)
}
