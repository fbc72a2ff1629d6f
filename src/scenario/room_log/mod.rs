//! The user's log of a room: times, temperature, humidity and pressure from a table of measured values.
//!
//! Rows without a reading are left out, and times that are left out are gaps; both are reported, and nothing is filled in.

use std::cell::Cell;
use std::path::Path;

use crate::clock::design::Place;
use crate::clock::environment::site::{PlaceError, pressure_pa};
use crate::clock::environment::weather::{WeatherMoment, check_air};
use crate::units::Kind;

use super::measured::{
    ColumnMeasure, MeasuredTable, TableError, TimeGap, WantedColumn, WantedTable, WantedTime, load_table, read_table,
};

/// What is looked for in the log of a room.
const ROOM_LOG: WantedTable = WantedTable {
    what: "log",
    example: "time,temperature_degC,humidity_%,pressure_hPa",
    time: WantedTime { bare_unit: Some("h"), dates: true, even_steps: true },
    columns: &[TEMPERATURE, HUMIDITY, PRESSURE],
    needed: &[&["time"], &["temperature"]],
    least_rows: 2,
};

/// The column of the temperature.
pub const TEMPERATURE: WantedColumn =
    WantedColumn { names: &["temperature", "temp"], measure: ColumnMeasure::Quantity(Kind::Temperature) };

/// The column of the relative humidity.
pub const HUMIDITY: WantedColumn =
    WantedColumn { names: &["humidity", "relative humidity", "rh"], measure: ColumnMeasure::Quantity(Kind::Fraction) };

/// The column of the air pressure.
pub const PRESSURE: WantedColumn =
    WantedColumn { names: &["pressure", "barometer"], measure: ColumnMeasure::Quantity(Kind::Pressure) };

/// A log that reads without a problem.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomLog {
    /// Name of the file as given.
    pub name: String,
    /// Fingerprint of its text, sixteen hexadecimal digits.
    pub hash: String,
    /// Its rows in SI units, the time from the first row; quantities without a column hold the value of the place.
    pub moments: Vec<WeatherMoment>,
    /// Date and time of the first row, in UTC where the times have a zone; `None` where the times are plain numbers.
    pub began: Option<jiff::civil::DateTime>,
    /// The usual step from row to row (the median), s.
    pub step_s: f64,
    /// Whether humidity has a column.
    pub has_humidity: bool,
    /// Whether pressure has a column.
    pub has_pressure: bool,
    /// Times that are left out. The room is taken to move evenly from the row before to the row after.
    pub gaps: Vec<TimeGap>,
    /// Rows left out for want of a reading.
    pub rows_without_reading: usize,
    /// Columns that are not used, by their headers.
    pub unused: Vec<String>,
}

/// The log in the file `path`. Humidity and pressure are those of `place` where they have no column.
///
/// # Errors
/// [`TableError`]: unreadable, a directory, too large, not UTF-8, empty, or with problems, all of which are shown at once.
pub fn load_log(path: &Path, place: &Place) -> Result<RoomLog, TableError> {
    let air = LogAir::of(place);
    let table = load_table(path, &ROOM_LOG, false, &|row| air.check(row))?;
    log_of(table, &air)
}

/// The log in `text`, called `name` in messages.
///
/// # Errors
/// [`TableError`] of the content.
pub fn read_log(name: &str, text: &str, place: &Place) -> Result<RoomLog, TableError> {
    let air = LogAir::of(place);
    let table = read_table(name, text, &ROOM_LOG, false, &|row| air.check(row))?;
    log_of(table, &air)
}

/// What the place gives where the log has no column.
struct LogAir<'p> {
    place: &'p Place,
    pressure_pa: Result<f64, PlaceError>,
    /// Whether it was said that the place has no pressure: once is enough.
    said: Cell<bool>,
}

impl<'p> LogAir<'p> {
    fn of(place: &'p Place) -> Self {
        Self { place, pressure_pa: pressure_pa(place), said: Cell::new(false) }
    }

    /// The air of a row that has all its readings; those of the place where there is no column.
    fn moment(&self, time_s: f64, row: [Option<f64>; 3], held_pa: f64) -> Option<WeatherMoment> {
        Some(WeatherMoment {
            time_s,
            temperature_c: row[0]?,
            relative_humidity: row[1].unwrap_or(self.place.relative_humidity),
            pressure_pa: row[2].unwrap_or(held_pa),
        })
    }

    /// Whether the formulas of the air carry a row.
    fn check(&self, row: &[Option<f64>]) -> Result<(), (usize, String, String)> {
        let held_pa = match &self.pressure_pa {
            Ok(held_pa) => held_pa,
            Err(_) if self.said.replace(true) => return Ok(()),
            Err(error) => {
                let help = "give the place of the scenario a pressure, or a height".to_owned();
                return Err((usize::MAX, error.to_string(), help));
            }
        };
        let cell = |index: usize| row.get(index).copied().flatten();
        let Some(moment) = self.moment(0.0, [cell(0), cell(1), cell(2)], *held_pa) else { return Ok(()) };
        check_air(self.place, &moment).map_err(|error| {
            let column = match error {
                PlaceError::Humidity { .. } => 1,
                PlaceError::Pressure { .. } => 2,
                _ => 0,
            };
            // A value of the place that is wrong stands in no column of the log.
            let column = if cell(column).is_some() { column } else { 0 };
            (column, error.to_string(), "check the number and the unit in the header".to_owned())
        })
    }
}

fn log_of(table: MeasuredTable, air: &LogAir<'_>) -> Result<RoomLog, TableError> {
    let (has_humidity, has_pressure) = (table.has(1), table.has(2));
    let held_pa = air.pressure_pa.as_ref().copied().unwrap_or(f64::NAN);
    let moments: Vec<WeatherMoment> = (table.times_s.iter().enumerate())
        .filter_map(|(row, &time_s)| {
            let (humidity, pressure) = (table.cell(1, row), table.cell(2, row));
            let complete = (!has_humidity || humidity.is_some()) && (!has_pressure || pressure.is_some());
            air.moment(time_s, [table.cell(0, row), humidity, pressure], held_pa).filter(|_| complete)
        })
        .collect();
    let rows_without_reading = table.times_s.len() - moments.len();
    if moments.len() < 2 {
        return Err(TableError::TooFewReadings { what: ROOM_LOG.what, name: table.name, rows: moments.len() });
    }
    Ok(RoomLog {
        name: table.name,
        hash: table.hash,
        moments,
        began: table.began,
        step_s: table.step_s,
        has_humidity,
        has_pressure,
        gaps: table.gaps,
        rows_without_reading,
        unused: table.unused,
    })
}
