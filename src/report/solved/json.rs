//! A value that was solved for, under its keys.

use serde::Serialize;

use crate::study::map::axis::Axis;
use crate::study::solve_for::SolvedValue;

/// A quantity's value at which a number of the results is as asked. Values of the quantity are in `unit`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SolvedRecord {
    /// Dotted path of the quantity.
    pub path: String,
    /// Its unit; `null` for a plain number.
    pub unit: Option<String>,
    /// The value, to nine digits: the nearest to the scenario's own.
    pub value: f64,
    /// Other values at which the number is as asked, rising.
    pub other_values: Vec<f64>,
    /// The scenario's own value; `null` where it states none.
    pub own_value: Option<f64>,
    /// Ends of the range that was searched.
    pub searched: [f64; 2],
    /// Key of the number.
    pub key: String,
    /// What it was to be.
    pub asked: f64,
    /// What it is at the value.
    pub reached: f64,
    /// What it is at the scenario's own value.
    pub own_number: Option<f64>,
    /// The override that gives the scenario the value, for `--set`.
    pub set: String,
}

impl SolvedRecord {
    /// The solution for `key` to be as `asked` along an axis.
    #[must_use]
    pub fn of(axis: &Axis, key: &str, asked: f64, solved: &SolvedValue) -> Self {
        let values = axis.values();
        Self {
            path: axis.path.clone(),
            unit: axis.unit.clone(),
            value: solved.value,
            other_values: solved.others.clone(),
            own_value: solved.today.0,
            searched: [values.first().copied().unwrap_or(0.0), values.last().copied().unwrap_or(0.0)],
            key: key.to_owned(),
            asked,
            reached: solved.reached,
            own_number: solved.today.1,
            set: axis.set(solved.value),
        }
    }
}
