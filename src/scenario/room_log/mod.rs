//! The user's log of a room: times, temperature, humidity and pressure from a CSV file.
//!
//! Columns are known by their names, with the unit in the name: `time`, `temperature_degC` or `temperature [degF]`,
//! `humidity_%`, `pressure_hPa`. A cell that is missing, no number or out of order is a problem at its place; nothing is filled.

mod header;
mod rows;
mod time;

use std::path::{Path, PathBuf};

use crate::clock::design::Place;
use crate::clock::environment::weather::WeatherMoment;

use super::toml::fingerprint::fingerprint_of;
use super::toml::problem::Problems;
use super::toml::text_file::{Unread, bytes_of, text_in_utf8};

/// Most rows of a log: 22 years of hours.
pub const MOST_ROWS: usize = 200_000;

/// Largest log that is read.
pub const LARGEST_LOG_BYTES: u64 = 32 * 1024 * 1024;

/// A step longer than so many usual ones is a gap.
pub const GAP_IN_STEPS: f64 = 1.5;

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
    /// Columns that are not used, by their headers.
    pub unused: Vec<String>,
}

/// Why there is no log.
#[derive(Debug, thiserror::Error)]
pub enum LogError {
    /// The file cannot be opened or read.
    #[error("cannot read the log {}: {reason}", path.display())]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// What the system says.
        #[source]
        reason: std::io::Error,
    },
    /// A directory instead of a file.
    #[error("{} is a directory; give the log in it", path.display())]
    Directory {
        /// The path.
        path: PathBuf,
    },
    /// A pipe, a device.
    #[error("{} is no regular file; give the log as a CSV file", path.display())]
    NotRegular {
        /// The path.
        path: PathBuf,
    },
    /// Too large.
    #[error(
        "{} is larger than {} MB and is not read; a log has up to {MOST_ROWS} rows, twenty years of hours: use longer \
            steps, or cut it",
        path.display(), LARGEST_LOG_BYTES / 1024 / 1024
    )]
    TooLarge {
        /// The file.
        path: PathBuf,
    },
    /// Not text.
    #[error("{}:{line}: not a text file in UTF-8 (byte {at} of it is not); save it as CSV in UTF-8", path.display())]
    NotText {
        /// The file.
        path: PathBuf,
        /// Line of the first byte that is no UTF-8, from 1.
        line: usize,
        /// That byte, from 1.
        at: usize,
    },
    /// Nothing in it.
    #[error(
        "{name}:1: the log is empty; its first line names the columns: time,temperature_degC,humidity_%,pressure_hPa"
    )]
    Empty {
        /// Name of the file.
        name: String,
    },
    /// Problems in its content.
    #[error(transparent)]
    Problems(#[from] Problems),
}

/// The log in the file `path`. Humidity and pressure are those of `place` where they have no column.
///
/// # Errors
/// [`LogError`]: unreadable, a directory, larger than [`LARGEST_LOG_BYTES`], not UTF-8, empty, or with problems, all of which
/// are told at once.
pub fn load_log(path: &Path, place: &Place) -> Result<RoomLog, LogError> {
    let bytes = bytes_of(path, LARGEST_LOG_BYTES).map_err(|why| match why {
        Unread::Unreadable(reason) => LogError::Unreadable { path: path.to_owned(), reason },
        Unread::Directory => LogError::Directory { path: path.to_owned() },
        Unread::NotRegular => LogError::NotRegular { path: path.to_owned() },
        Unread::TooLarge => LogError::TooLarge { path: path.to_owned() },
    })?;
    let text = text_in_utf8(bytes).map_err(|(line, at)| LogError::NotText { path: path.to_owned(), line, at })?;
    read_log(&path.display().to_string(), &text, place)
}

/// The log in `text`, called `name` in messages.
///
/// # Errors
/// [`LogError::Empty`] and [`LogError::Problems`].
pub fn read_log(name: &str, text: &str, place: &Place) -> Result<RoomLog, LogError> {
    // A byte order mark is no part of the text; kept, it would be part of the first column's name.
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.trim().is_empty() {
        return Err(LogError::Empty { name: name.to_owned() });
    }
    let read = rows::read_rows(name, text, place)?;
    Ok(RoomLog {
        name: name.to_owned(),
        hash: fingerprint_of(std::iter::once(text.as_bytes())),
        moments: read.moments,
        began: read.began,
        step_s: read.step_s,
        has_humidity: read.columns.humidity.is_some(),
        has_pressure: read.columns.pressure.is_some(),
        unused: read.columns.unused,
    })
}
