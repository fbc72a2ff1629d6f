//! Which column holds what, in which unit.

use crate::scenario::toml::nearest::nearest;
use crate::scenario::toml::problem_code::ProblemCode;
use crate::units::{Kind, quantity_in_si};

use super::rows::{Cell, LogProblems};
use super::time::TimeColumn;

/// Example of a whole header, for help lines.
pub(super) const EXAMPLE: &str = "time,temperature_degC,humidity_%,pressure_hPa";

/// Names of the columns that are used.
const NAMES: [&str; 4] = ["time", "temperature", "humidity", "pressure"];

/// A column of numbers.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct LogColumn {
    pub index: usize,
    pub name: &'static str,
    pub kind: Kind,
    pub unit: String,
}

impl LogColumn {
    /// The value of a number in the column, SI, degrees Celsius.
    pub fn si(&self, number: &str) -> Option<f64> {
        let value = quantity_in_si(&format!("{number} {}", self.unit), self.kind).ok()?;
        // To a nanokelvin, so that a log in degrees Fahrenheit means the same bits as one in degrees Celsius.
        Some(if self.kind == Kind::Temperature { (1e9 * value).round() / 1e9 } else { value })
    }
}

/// The columns of a log.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Columns {
    pub count: usize,
    pub time: (usize, TimeColumn),
    pub temperature: LogColumn,
    pub humidity: Option<LogColumn>,
    pub pressure: Option<LogColumn>,
    pub unused: Vec<String>,
}

/// A header taken apart: `temperature_degC`, `temperature [degC]`, `temperature (degC)`.
fn parts(header: &str) -> (String, String) {
    let header = header.trim();
    let (name, unit) = match header.find(['[', '(']) {
        Some(at) => (&header[..at], header[at + 1..].trim_end_matches([']', ')'])),
        None => match NAMES.iter().find(|name| {
            header.get(..name.len()).is_some_and(|start| start.eq_ignore_ascii_case(name))
                && header[name.len()..].starts_with(['_', ' '])
        }) {
            Some(name) => (&header[..name.len()], &header[name.len() + 1..]),
            None => header.rsplit_once('_').unwrap_or((header, "")),
        },
    };
    (name.trim().trim_end_matches('_').to_lowercase(), unit.trim().to_owned())
}

/// Whether a first line is the header of a log, be it with mistakes: it names a column. Of what is none nothing is quoted.
pub(super) fn names_a_column(line: &str) -> bool {
    let line = line.to_lowercase();
    NAMES.iter().any(|name| line.contains(name))
}

/// The columns that a header line names; `None` after problems.
pub(super) fn columns(cells: &[Cell<'_>], found: &mut LogProblems<'_>) -> Option<Columns> {
    if let [only] = cells
        && only.text.contains([';', '\t'])
    {
        let message = "the columns are not separated by commas".to_owned();
        let help = format!("separate columns by commas and write decimal points: {EXAMPLE}");
        found.report(only, ProblemCode::LogColumn, message, help);
        return None;
    }
    let mut places: [Option<(usize, String)>; 4] = [const { None }; 4];
    let mut unused = Vec::new();
    let mut good = true;
    for (index, cell) in cells.iter().enumerate() {
        let (name, unit) = parts(cell.text);
        match NAMES.iter().position(|known| *known == name) {
            Some(which) if places[which].is_some() => {
                let message = format!("there are two columns `{name}`");
                found.report(cell, ProblemCode::LogColumn, message, "keep one of them".to_owned());
                good = false;
            }
            Some(which) => places[which] = Some((index, unit)),
            None => match nearest(&name, &NAMES) {
                Some(near) if !cells.iter().any(|other| parts(other.text).0 == near) => {
                    let message = format!("there is no column `{}`", cell.text.trim());
                    found.report(
                        cell,
                        ProblemCode::LogColumn,
                        message,
                        format!("did you mean `{near}`? A header reads like {EXAMPLE}"),
                    );
                    good = false;
                }
                _ => unused.push(cell.text.trim().to_owned()),
            },
        }
    }
    let whole = Cell::around(cells);
    let mut column = |which: usize, kind: Kind, found: &mut LogProblems<'_>| -> Option<Option<LogColumn>> {
        let Some((index, unit)) = places[which].take() else { return Some(None) };
        let name = NAMES[which];
        match quantity_in_si(&format!("1 {unit}"), kind) {
            Ok(_) => Some(Some(LogColumn { index, name, kind, unit })),
            Err(error) => {
                let example = kind.example_unit();
                let message = if unit.is_empty() {
                    format!("the column `{name}` does not give its unit")
                } else {
                    format!("the column `{name}` cannot be in \"{unit}\": {error}")
                };
                let help = format!("write `{name}_{example}` or `{name} [{example}]`, or another unit of its kind");
                found.report(&cells[index], ProblemCode::LogUnit, message, help);
                None
            }
        }
    };
    let temperature = column(1, Kind::Temperature, found);
    let humidity = column(2, Kind::Fraction, found);
    let pressure = column(3, Kind::Pressure, found);
    let time = match places[0].take() {
        None => {
            missing("time", &whole, good, found);
            None
        }
        Some((index, unit)) => match TimeColumn::of_unit(&unit) {
            Some(column) => Some((index, column)),
            None => {
                let message = format!("the column `time` cannot be in \"{unit}\"");
                let help =
                    "write `time` for dates like 2026-01-31T14:00 or for hours, `time_min` or `time_d` for others";
                found.report(&cells[index], ProblemCode::LogUnit, message, help.to_owned());
                None
            }
        },
    };
    if matches!(temperature, Some(None)) {
        missing("temperature", &whole, good, found);
    }
    let (temperature, humidity, pressure, time) = (temperature??, humidity?, pressure?, time?);
    good.then_some(Columns { count: cells.len(), time, temperature, humidity, pressure, unused })
}

/// Tells that a column is missing, unless another problem explains it.
fn missing(name: &str, header: &Cell<'_>, good: bool, found: &mut LogProblems<'_>) {
    if good {
        let message = format!("there is no column `{name}`");
        found.report(header, ProblemCode::LogColumn, message, format!("the first line reads like {EXAMPLE}"));
    }
}
