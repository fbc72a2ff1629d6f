//! Which column holds what, in which unit.

use crate::clock::SECONDS_PER_DAY;
use crate::scenario::toml::nearest::nearest;
use crate::scenario::toml::problem_code::ProblemCode;
use crate::units::{Kind, quantity_in_si};

use super::cells::Cell;
use super::rows::TableProblems;
use super::time::TimeColumn;
use super::{ColumnMeasure, WantedTable};

/// Names of the column of times, the longest first of those that begin alike; messages use the last.
const TIME_NAMES: [&str; 5] = ["date time", "datetime", "timestamp", "date", "time"];

/// A column of numbers.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct NumberColumn {
    pub index: usize,
    pub name: &'static str,
    pub measure: ColumnMeasure,
    /// As the program writes it; empty for a plain number.
    unit: String,
}

impl NumberColumn {
    /// The value of a number in the column, SI, degrees Celsius, seconds a day.
    pub fn si(&self, number: f64) -> Option<f64> {
        let value = match self.measure {
            ColumnMeasure::Quantity(kind) => quantity_in_si(&format!("{number} {}", self.unit), kind).ok()?,
            ColumnMeasure::Rate => number * s_per_day_in(&self.unit)?,
            ColumnMeasure::Plain => number,
        };
        // To a nanokelvin, so that a log in degrees Fahrenheit means the same bits as one in degrees Celsius.
        let is_temperature = self.measure == ColumnMeasure::Quantity(Kind::Temperature);
        let value = if is_temperature { (1e9 * value).round() / 1e9 } else { value };
        value.is_finite().then_some(value)
    }
}

/// Seconds a day in a unit of rate.
fn s_per_day_in(unit: &str) -> Option<f64> {
    match unit {
        "" | "s/d" | "s/day" => Some(1.0),
        "s/week" => Some(1.0 / 7.0),
        "min/week" => Some(60.0 / 7.0),
        "ppm" => Some(1e-6 * SECONDS_PER_DAY),
        _ => None,
    }
}

/// The columns of a table.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Columns {
    pub count: usize,
    pub time: Option<(usize, TimeColumn)>,
    pub numbers: Vec<Option<NumberColumn>>,
    pub unused: Vec<String>,
}

/// All names that a table knows; the first of each list stands for the column in messages.
struct Names {
    lists: Vec<Vec<&'static str>>,
}

impl Names {
    fn of(wanted: &WantedTable) -> Self {
        let time = std::iter::once(TIME_NAMES.iter().rev().copied().collect());
        Self { lists: time.chain(wanted.columns.iter().map(|column| column.names.to_vec())).collect() }
    }

    fn all(&self) -> impl Iterator<Item = &'static str> + '_ {
        self.lists.iter().flatten().copied()
    }

    fn position(&self, name: &str) -> Option<usize> {
        self.lists.iter().position(|list| list.contains(&name))
    }

    /// Name and unit of a header: `temperature_degC`, `temperature [degC]`, `Temperature(C)`.
    fn parts(&self, header: &str) -> (String, String) {
        let header = header.trim();
        let (name, unit) = match header.find(['[', '(']) {
            Some(at) => (&header[..at], header[at + 1..].trim_end_matches([']', ')'])),
            None => {
                let begins = |name: &&str| {
                    header.get(..name.len()).is_some_and(|start| start.replace('_', " ").eq_ignore_ascii_case(name))
                        && (header.len() == name.len() || header[name.len()..].starts_with(['_', ' ']))
                };
                match self.all().filter(begins).max_by_key(|name| name.len()) {
                    Some(name) => (&header[..name.len()], header[name.len()..].get(1..).unwrap_or("")),
                    None => header.rsplit_once('_').unwrap_or((header, "")),
                }
            }
        };
        let mut name = name.trim().trim_end_matches('_').to_lowercase();
        if let Some(spaced) = self.all().find(|known| known.contains(' ') && *known == name.replace('_', " ")) {
            spaced.clone_into(&mut name);
        }
        (name, unit.trim().to_owned())
    }
}

/// Whether a first line is the header of such a table, be it with mistakes: it names a column. Of what is none nothing is quoted.
pub(super) fn names_a_column(wanted: &WantedTable, line: &str) -> bool {
    let line = line.to_lowercase();
    Names::of(wanted).all().any(|name| line.contains(name))
}

/// A unit as loggers write it, as the program writes it.
fn usual_unit(unit: &str, measure: ColumnMeasure) -> String {
    let plain = unit.trim_start_matches(['°', '\u{ba}']);
    match (measure, plain.to_lowercase().as_str()) {
        (ColumnMeasure::Quantity(Kind::Temperature), "c" | "degc" | "celsius") => "degC".to_owned(),
        (ColumnMeasure::Quantity(Kind::Temperature), "f" | "degf" | "fahrenheit") => "degF".to_owned(),
        (ColumnMeasure::Quantity(Kind::Fraction), "%rh" | "% rh" | "rh%" | "rh %" | "% r.h." | "percent_rh") => {
            "%".to_owned()
        }
        _ => unit.replace("_per_", "/"),
    }
}

/// A unit as the program writes it, if it is one for the column.
fn checked_unit(unit: &str, measure: ColumnMeasure) -> Result<String, String> {
    let unit = usual_unit(unit, measure);
    match measure {
        ColumnMeasure::Quantity(kind) => {
            quantity_in_si(&format!("1 {unit}"), kind).map_err(|error| error.to_string())?;
        }
        ColumnMeasure::Rate if s_per_day_in(&unit).is_none() => return Err("it is not a rate".to_owned()),
        ColumnMeasure::Plain if !unit.is_empty() => return Err("it is a plain number".to_owned()),
        ColumnMeasure::Rate | ColumnMeasure::Plain => {}
    }
    Ok(unit)
}

const fn example_unit_of(measure: ColumnMeasure) -> Option<Kind> {
    match measure {
        ColumnMeasure::Quantity(kind) => Some(kind),
        ColumnMeasure::Rate | ColumnMeasure::Plain => None,
    }
}

/// The columns that a header line names; `None` after problems.
pub(super) fn columns(wanted: &WantedTable, cells: &[Cell<'_>], found: &mut TableProblems<'_>) -> Option<Columns> {
    let names = Names::of(wanted);
    let mut places: Vec<Option<(usize, String)>> = vec![None; names.lists.len()];
    let mut unused = Vec::new();
    let mut good = true;
    for (index, cell) in cells.iter().enumerate() {
        let (name, unit) = names.parts(cell.text);
        match names.position(&name) {
            Some(which) if places[which].is_some() => {
                let message = format!("there are two columns `{}`", names.lists[which][0]);
                found.report(cell, ProblemCode::LogColumn, message, "keep one of them".to_owned());
                good = false;
            }
            Some(which) => places[which] = Some((index, unit)),
            None => {
                let known: Vec<&str> = names.all().collect();
                match nearest(&name, &known) {
                    Some(near) if !cells.iter().any(|other| names.parts(other.text).0 == near) => {
                        let message = format!("there is no column `{}`", cell.text);
                        let help = format!("did you mean `{near}`? A header reads like {}", wanted.example);
                        found.report(cell, ProblemCode::LogColumn, message, help);
                        good = false;
                    }
                    _ if cell.text.is_empty() => {}
                    _ => unused.push(cell.text.to_owned()),
                }
            }
        }
    }
    let mut numbers = Vec::new();
    let mut units_good = true;
    for (column, place) in wanted.columns.iter().zip(&places[1..]) {
        let Some((index, unit)) = place else {
            numbers.push(None);
            continue;
        };
        let (name, measure) = (column.names[0], column.measure);
        match checked_unit(unit, measure) {
            Ok(unit) => numbers.push(Some(NumberColumn { index: *index, name, measure, unit })),
            Err(error) => {
                let message = if unit.is_empty() {
                    format!("the column `{name}` does not give its unit")
                } else {
                    format!("the column `{name}` cannot be in \"{unit}\": {error}")
                };
                let help = match example_unit_of(measure).map(Kind::example_unit) {
                    Some(example) => {
                        format!("write `{name}_{example}` or `{name} [{example}]`, or another unit of its kind")
                    }
                    None if measure == ColumnMeasure::Rate => format!("write `{name}_s_per_day`"),
                    None => format!("write `{name}`"),
                };
                found.report(&cells[*index], ProblemCode::LogUnit, message, help);
                numbers.push(None);
                units_good = false;
            }
        }
    }
    let time = places[0].as_ref().map(|(index, unit)| (*index, TimeColumn::of_unit(unit, &wanted.time)));
    if let Some((index, None)) = &time {
        let unit = places[0].as_ref().map_or("", |(_, unit)| unit);
        found.report(&cells[*index], ProblemCode::LogUnit, wrong_time_unit(unit), time_help(wanted));
        units_good = false;
    }
    for group in wanted.needed {
        let there = |name: &&str| names.position(name).is_some_and(|which| places[which].is_some());
        if good && !group.iter().any(there) {
            let message = format!("there is no column `{}`", group.join("` or `"));
            let help = format!("the first line reads like {}", wanted.example);
            found.report(&Cell::around(cells), ProblemCode::LogColumn, message, help);
            units_good = false;
        }
    }
    let time = time.and_then(|(index, column)| Some((index, column?)));
    (good && units_good).then_some(Columns { count: cells.len(), time, numbers, unused })
}

fn wrong_time_unit(unit: &str) -> String {
    if unit.is_empty() {
        "the column `time` does not give its unit".to_owned()
    } else {
        format!("the column `time` cannot be in \"{unit}\"")
    }
}

fn time_help(wanted: &WantedTable) -> String {
    match (wanted.time.dates, wanted.time.bare_unit) {
        (true, Some(_)) => {
            "write `time` for dates like 2026-01-31T14:00 or for hours, `time_min` or `time_d` for others".to_owned()
        }
        (true, None) => {
            "write `time` for dates like 2026-01-31T14:00, `time_d`, `time_h` or `time_s` for numbers".to_owned()
        }
        (false, _) => "write `time_s`, `time_min` or `time_h`".to_owned(),
    }
}
