//! Scenarios side by side under their keys.

use serde::Serialize;

use crate::report::prediction::json::Results;
use crate::study::comparison::Difference;

/// What `compare` answers.
#[derive(Debug, Clone, Serialize)]
pub struct ComparisonRecord<'r> {
    files: Vec<&'r str>,
    differences: &'r [Difference],
    scenarios: &'r [Results],
    as_drawn: &'r [Option<Results>],
}

/// Scenarios for JSON: their files, what differs, and their results as printed and as drawn.
#[must_use]
pub const fn record<'r>(
    files: Vec<&'r str>,
    differences: &'r [Difference],
    (scenarios, as_drawn): (&'r [Results], &'r [Option<Results>]),
) -> ComparisonRecord<'r> {
    ComparisonRecord { files, differences, scenarios, as_drawn }
}
