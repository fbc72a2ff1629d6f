//! What a fit found, under its keys.

use serde::Serialize;

use crate::report::provenance::Provenance;
use crate::scenario::measured::MeasuredTable;
use crate::study::fit::{Estimate, FittedValue};

use super::fitted_toml::value_text;

/// A value with its standard deviation.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct EstimateRecord {
    value: f64,
    sigma: f64,
}

impl EstimateRecord {
    /// Of an estimate, times a factor of units.
    #[must_use]
    pub fn of(estimate: Estimate, factor: f64) -> Self {
        let Estimate { value, sigma } = estimate.times(factor);
        Self { value, sigma }
    }
}

#[derive(Debug, Clone, Serialize)]
struct RefusedRecord {
    line: usize,
    column: usize,
    why: String,
}

/// A table of measured values.
#[derive(Debug, Clone, Serialize)]
pub struct TableRecord {
    file: String,
    hash: String,
    /// Rows that were used.
    rows: usize,
    /// How many rows were refused.
    rows_refused: usize,
    /// The first of them.
    refused: Vec<RefusedRecord>,
    cells_without_reading: usize,
    gaps: usize,
}

impl TableRecord {
    /// Of a table.
    #[must_use]
    pub fn of(table: &MeasuredTable) -> Self {
        let refused = |row: &crate::scenario::measured::RefusedRow| RefusedRecord {
            line: row.line,
            column: row.column,
            why: row.why.clone(),
        };
        Self {
            file: table.name.clone(),
            hash: table.hash.clone(),
            rows: table.lines.len(),
            rows_refused: table.refused_count,
            refused: table.refused.iter().map(refused).collect(),
            cells_without_reading: table.missing_count,
            gaps: table.gaps.len(),
        }
    }
}

#[derive(Debug, Clone, Serialize)]
struct FittedRecord {
    path: String,
    value: f64,
    sigma: f64,
    written: String,
}

/// What is in fit.json: head, then what was found.
#[derive(Debug, Clone, Serialize)]
pub struct FitRecord<R> {
    #[serde(flatten)]
    provenance: Option<Provenance>,
    /// Kind of measurement.
    source: &'static str,
    #[serde(flatten)]
    table: TableRecord,
    #[serde(flatten)]
    found: R,
    /// Values of the scenario that were settled, SI.
    fitted: Vec<FittedRecord>,
    notes: Vec<String>,
}

impl<R: Serialize> FitRecord<R> {
    /// Of one fit.
    #[must_use]
    pub fn of(
        provenance: Option<Provenance>,
        source: &'static str,
        table: &MeasuredTable,
        found: R,
        (fitted, notes): (&[FittedValue], Vec<String>),
    ) -> Self {
        let fitted = fitted.iter().map(|value| FittedRecord {
            path: value.path.clone(),
            value: value.estimate.value,
            sigma: value.estimate.sigma,
            written: value_text(value),
        });
        Self { provenance, source, table: TableRecord::of(table), found, fitted: fitted.collect(), notes }
    }
}
