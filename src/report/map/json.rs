//! A map under its keys.

use serde::Serialize;
use serde_json::Value;

use crate::answers::start_basins::AnswerRange;
use crate::report::provenance::Provenance;
use crate::report::words::reasons::reason_key;
use crate::study::map::axis::{Axis, Spacing};
use crate::study::map::{Map, Outcome};

use super::view::columns;
use super::{MapView, reason_text, verdict_key};

#[derive(Debug, Clone, Serialize)]
struct AxisRecord<'a> {
    path: &'a str,
    unit: Option<&'a str>,
    spacing: Spacing,
    values: Vec<f64>,
    today: Option<f64>,
}

/// What is in map.json.
#[derive(Debug, Clone, Serialize)]
pub struct MapRecord<'a> {
    provenance: &'a Provenance,
    axes: Vec<AxisRecord<'a>>,
    answers: &'a [String],
    points: u64,
    boundary: BoundaryRecord<'a>,
    columns: Vec<String>,
    rows: Vec<Vec<Value>>,
}

/// Where exactly the clock stops.
#[derive(Debug, Clone, Serialize)]
struct BoundaryRecord<'a> {
    /// Path along which it was solved.
    along: &'a str,
    /// Path of the values at which it was.
    at: Option<&'a str>,
    /// Accuracy, in the unit of `along`.
    located_to: f64,
    /// Bare least drive by value of the third quantity.
    least_drive: &'a [(f64, f64)],
    lines: Vec<LineRecord>,
}

#[derive(Debug, Clone, Serialize)]
struct LineRecord {
    at: f64,
    stretches: Vec<(f64, f64, &'static str, Option<&'static str>)>,
}

/// The map for map.json: where it comes from, axes, boundary, rows.
#[must_use]
pub fn record<'a>(view: &MapView<'a>, map: &'a Map, provenance: &'a Provenance) -> MapRecord<'a> {
    let mut axes = Vec::new();
    for (one, today) in std::iter::once((view.x, view.today.0)).chain(view.y.map(|y| (y, view.today.1))) {
        let (path, unit, values) = (one.path.as_str(), one.unit.as_deref(), one.values());
        axes.push(AxisRecord { path, unit, spacing: one.spacing, values, today });
    }
    let lines = map
        .lines
        .iter()
        .map(|line| {
            let stretch = |stretch: &AnswerRange<Outcome>| {
                let reason = match &stretch.answer {
                    Outcome::Stops(reason) => Some(reason_key(*reason)),
                    _ => None,
                };
                (stretch.from, stretch.to, verdict_key(&stretch.answer), reason)
            };
            LineRecord { at: line.at, stretches: line.stretches.iter().map(stretch).collect() }
        })
        .collect();
    let rows = map
        .rows
        .iter()
        .map(|row| {
            let reason = reason_text(&row.outcome);
            let mut values = vec![Value::from(row.x)];
            values.extend(row.y.map(Value::from));
            values.push(verdict_key(&row.outcome).into());
            values.push(if reason.is_empty() { Value::Null } else { reason.into() });
            values.push(Value::from(row.meets_margin()));
            values.extend((0..view.keys.len()).map(|key| Value::from(row.answers.get(key).copied().flatten())));
            values
        })
        .collect();
    let boundary = BoundaryRecord {
        along: &view.along(map).path,
        at: view.across(map).map(|axis| axis.path.as_str()),
        located_to: map.tolerance,
        least_drive: &map.least,
        lines,
    };
    let points = view.x.count() * view.y.map_or(1, Axis::count);
    MapRecord { provenance, axes, answers: view.keys, points, boundary, columns: columns(view), rows }
}
