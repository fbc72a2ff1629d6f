//! A map as table, as JSON and in a few lines of text.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use serde::Serialize;
use serde_json::Value;

use crate::answers::start_basins::AnswerRange;
use crate::answers::verdict::Reason;
use crate::study::map::axis::{Axis, Spacing};
use crate::study::map::{Line, Map, Outcome};

use super::canvas::look::significant;
use super::prediction::csv::{number, optional};
use super::provenance::Provenance;

/// What a map was made over and asked for.
#[derive(Debug, Clone, Copy)]
pub struct Frame<'a> {
    /// The clock's name.
    pub name: &'a str,
    /// First quantity.
    pub x: &'a Axis,
    /// Second quantity.
    pub y: Option<&'a Axis>,
    /// Keys of the answers.
    pub keys: &'a [String],
    /// The scenario's own values of both quantities, in their units.
    pub today: (Option<f64>, Option<f64>),
}

impl<'a> Frame<'a> {
    /// The axis along which the map's lines run.
    #[must_use]
    pub fn along(&self, map: &Map) -> &'a Axis {
        self.y.filter(|_| map.along_y).unwrap_or(self.x)
    }

    /// The other axis.
    #[must_use]
    pub fn across(&self, map: &Map) -> Option<&'a Axis> {
        if map.along_y { Some(self.x) } else { self.y }
    }
}

/// Verdict of a row: `keeps_going`, `stops` or `no_clock`.
#[must_use]
pub const fn verdict_key(outcome: &Outcome) -> &'static str {
    match outcome {
        Outcome::KeepsGoing => "keeps_going",
        Outcome::Stops(_) => "stops",
        Outcome::NoClock(_) => "no_clock",
    }
}

/// Reason of a row: the key of a stop, the words of what cannot be; empty for a clock that keeps going.
#[must_use]
pub fn reason_text(outcome: &Outcome) -> String {
    match outcome {
        Outcome::KeepsGoing => String::new(),
        Outcome::Stops(reason) => reason_key(*reason).to_owned(),
        Outcome::NoClock(reason) => reason.clone(),
    }
}

const fn reason_key(reason: Reason) -> &'static str {
    match reason {
        Reason::NeverUnlocks => "never_unlocks",
        Reason::LosesAmplitude => "loses_amplitude",
        Reason::Jams => "jams",
        Reason::RunsAway => "runs_away",
        Reason::LosesSteps => "loses_steps",
    }
}

/// The outcome in a few words.
#[must_use]
pub const fn outcome_words(outcome: &Outcome) -> &'static str {
    match outcome {
        Outcome::KeepsGoing => "keeps going",
        Outcome::Stops(Reason::NeverUnlocks) => "never unlocks",
        Outcome::Stops(Reason::LosesAmplitude) => "swing dies away",
        Outcome::Stops(Reason::Jams) => "jams",
        Outcome::Stops(Reason::RunsAway) => "runs away",
        Outcome::Stops(Reason::LosesSteps) => "loses steps",
        Outcome::NoClock(_) => "no such clock",
    }
}

/// The rows as CSV; units in the names of the columns.
#[must_use]
pub fn map_csv(frame: &Frame<'_>, map: &Map) -> Option<String> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(columns(frame)).ok()?;
    for row in &map.rows {
        let mut record = vec![number(row.x)];
        record.extend(row.y.map(number));
        record.push(verdict_key(&row.outcome).to_owned());
        record.push(reason_text(&row.outcome));
        record.extend((0..frame.keys.len()).map(|key| optional(row.answers.get(key).copied().flatten())));
        writer.write_record(&record).ok()?;
    }
    String::from_utf8(writer.into_inner().ok()?).ok()
}

fn columns(frame: &Frame<'_>) -> Vec<String> {
    let mut columns = vec![frame.x.column()];
    columns.extend(frame.y.map(Axis::column));
    columns.extend(["verdict".to_owned(), "reason".to_owned()]);
    columns.extend(frame.keys.iter().cloned());
    columns
}

#[derive(Serialize)]
struct AxisKeys<'a> {
    path: &'a str,
    unit: Option<&'a str>,
    spacing: Spacing,
    values: Vec<f64>,
    today: Option<f64>,
}

#[derive(Serialize)]
struct MapKeys<'a> {
    provenance: &'a Provenance,
    axes: Vec<AxisKeys<'a>>,
    answers: &'a [String],
    points: u64,
    boundary: BoundaryKeys<'a>,
    columns: Vec<String>,
    rows: Vec<Vec<Value>>,
}

/// Where exactly the clock stops.
#[derive(Serialize)]
struct BoundaryKeys<'a> {
    /// Path along which it was solved.
    along: &'a str,
    /// Path of the values at which it was.
    at: Option<&'a str>,
    /// Accuracy, in the unit of `along`.
    located_to: f64,
    /// Bare least drive by value of the third quantity.
    least_drive: &'a [(f64, f64)],
    lines: Vec<LineKeys>,
}

#[derive(Serialize)]
struct LineKeys {
    at: f64,
    stretches: Vec<(f64, f64, &'static str, Option<&'static str>)>,
}

/// The map as JSON: where it comes from, axes, boundary, rows.
///
/// # Errors
/// Those of the writer.
pub fn map_json(frame: &Frame<'_>, map: &Map, provenance: &Provenance) -> Result<String, serde_json::Error> {
    let mut axes = Vec::new();
    for (one, today) in std::iter::once((frame.x, frame.today.0)).chain(frame.y.map(|y| (y, frame.today.1))) {
        let (path, unit, values) = (one.path.as_str(), one.unit.as_deref(), one.values());
        axes.push(AxisKeys { path, unit, spacing: one.spacing, values, today });
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
            LineKeys { at: line.at, stretches: line.stretches.iter().map(stretch).collect() }
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
            values.extend((0..frame.keys.len()).map(|key| Value::from(row.answers.get(key).copied().flatten())));
            values
        })
        .collect();
    let boundary = BoundaryKeys {
        along: &frame.along(map).path,
        at: frame.across(map).map(|axis| axis.path.as_str()),
        located_to: map.tolerance,
        least_drive: &map.least,
        lines,
    };
    let points = frame.x.count() * frame.y.map_or(1, Axis::count);
    let keys = MapKeys { provenance, axes, answers: frame.keys, points, boundary, columns: columns(frame), rows };
    serde_json::to_string(&keys)
}

/// Lines of the boundary that the text shows at most.
const MOST_LINES: usize = 9;

/// What share of the points does what, and where the clock keeps going.
#[must_use]
pub fn map_table(frame: &Frame<'_>, map: &Map) -> String {
    let mut out = String::new();
    let over = frame.y.map_or(String::new(), |y| format!(" by {}", named(y)));
    let _ = writeln!(out, "{}: {}{over}, {} points\n", frame.name, named(frame.x), map.rows.len());
    let mut shares: BTreeMap<&str, usize> = BTreeMap::new();
    for row in &map.rows {
        *shares.entry(outcome_words(&row.outcome)).or_default() += 1;
    }
    let mut shares: Vec<(&str, usize)> = shares.into_iter().collect();
    shares.sort_by_key(|&(words, count)| (words != "keeps going", std::cmp::Reverse(count)));
    for (words, count) in shares {
        let share = format!("{:.1} %", 1e2 * count as f64 / map.rows.len() as f64);
        let _ = writeln!(out, "  {words:<34} {share:>8}");
    }
    let along = frame.along(map);
    let shown = |value: f64| significant(value, 4);
    if let [(_, least)] = map.least.as_slice() {
        let drive = std::iter::once(frame.x).chain(frame.y).find(|axis| axis.path != crate::study::map::START);
        let unit = drive.and_then(|axis| axis.unit.as_deref()).unwrap_or_default();
        let _ = writeln!(out, "  {:<34} {:>8} {unit}", "least drive", shown(*least));
    }
    let _ = writeln!(out, "\nKeeps going along {}", named(along));
    if let Some(across) = frame.across(map) {
        let _ = writeln!(out, "  {:<24} from .. to", named(across));
    }
    let on_grid: Vec<&Line> = match frame.across(map) {
        None => map.lines.iter().collect(),
        Some(across) => {
            let values = across.values();
            let every = values.len().div_ceil(MOST_LINES).max(1);
            let chosen: Vec<f64> = values.into_iter().step_by(every).collect();
            map.lines.iter().filter(|line| chosen.contains(&line.at)).collect()
        }
    };
    for line in on_grid {
        let going: Vec<String> = line
            .stretches
            .iter()
            .filter(|stretch| stretch.answer == Outcome::KeepsGoing)
            .map(|stretch| format!("{} .. {}", shown(stretch.from), shown(stretch.to)))
            .collect();
        let going = if going.is_empty() { "nowhere".to_owned() } else { going.join(", ") };
        let at = if frame.across(map).is_some() { shown(line.at) } else { String::new() };
        let _ = writeln!(out, "  {at:<24} {going}");
    }
    out.replace('\u{2212}', "-")
}

/// An axis's path with its unit.
#[must_use]
pub fn named(axis: &Axis) -> String {
    axis.unit.as_ref().map_or_else(|| axis.path.clone(), |unit| format!("{} ({unit})", axis.path))
}
