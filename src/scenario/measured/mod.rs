//! Tables of measured values, as a maker's spreadsheet or logger writes them: one reader for all.
//!
//! Columns are known by their names, with the unit in the header: `temperature_degC`, `temperature [degF]`, `Temperature(F)`, capitals or
//! not. Cells are separated by commas, semicolons (then with decimal commas, if the file has them) or tabs; lines that begin with `#` are
//! remarks. A cell without a reading is a gap: nothing is filled in. A cell that cannot be read is a problem at its place, or its row is
//! refused and listed where the caller goes on without bad rows.

mod cells;
mod header;
mod read;
mod rows;
mod time;

use std::path::PathBuf;

use crate::units::Kind;

use super::toml::problem::Problems;

pub use read::{load_table, read_table};

/// Most rows of a table: 22 years of hours, or a swing of 2 s for four days and a half.
pub const MOST_ROWS: usize = 200_000;

/// Largest table that is read.
pub const LARGEST_TABLE_BYTES: u64 = 32 * 1024 * 1024;

/// A step longer than so many usual ones is a gap.
pub const GAP_IN_STEPS: f64 = 1.5;

/// What the numbers of a column are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ColumnMeasure {
    /// A quantity, with its unit in the header.
    Quantity(Kind),
    /// A rate, seconds a day, positive gains; the unit may be left out.
    Rate,
    /// A plain number.
    Plain,
}

/// A column that is looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WantedColumn {
    /// Its names in small letters; messages use the first.
    pub names: &'static [&'static str],
    /// What its numbers are.
    pub measure: ColumnMeasure,
}

/// The column of times that is looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WantedTime {
    /// Unit of numbers without one; `None` where they need one.
    pub bare_unit: Option<&'static str>,
    /// Whether dates are times too.
    pub dates: bool,
    /// Whether steps much longer than usual are gaps.
    pub even_steps: bool,
}

/// What is looked for in a table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WantedTable {
    /// What the table is, in messages: "log".
    pub what: &'static str,
    /// Example of a whole header, for help lines.
    pub example: &'static str,
    /// The times.
    pub time: WantedTime,
    /// The other columns.
    pub columns: &'static [WantedColumn],
    /// Names of which one at least has to be there, `time` among them.
    pub needed: &'static [&'static [&'static str]],
    /// Least number of rows.
    pub least_rows: usize,
}

/// A table that was read.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MeasuredTable {
    /// Name of the file as given.
    pub name: String,
    /// Fingerprint of its text, sixteen hexadecimal digits.
    pub hash: String,
    /// Time since the first row, s; empty where there is no column of times.
    pub times_s: Vec<f64>,
    /// Date and time of the first row, in UTC where the times have a zone; `None` where the times are plain numbers.
    pub began: Option<jiff::civil::DateTime>,
    /// The columns in the order in which they were asked for, `None` where there is none; a value for each row, in SI units, degrees
    /// Celsius and seconds a day, `None` where there is no reading.
    pub columns: Vec<Option<Vec<Option<f64>>>>,
    /// Line of each row in the file, from 1.
    pub lines: Vec<usize>,
    /// The usual step from row to row (the median), s; 0 where there is none.
    pub step_s: f64,
    /// Rows refused, at most [`super::MOST_PROBLEMS`] of them.
    pub refused: Vec<RefusedRow>,
    /// How many rows were refused in all.
    pub refused_count: usize,
    /// Times that were left out, where even steps were asked for.
    pub gaps: Vec<TimeGap>,
    /// Cells without a reading, at most [`super::MOST_PROBLEMS`] of them.
    pub missing: Vec<MissingCell>,
    /// How many cells have no reading in all.
    pub missing_count: usize,
    /// Columns that are not used, by their headers.
    pub unused: Vec<String>,
    /// Remarks before the header, each with its line, from 1.
    pub remarks: Vec<(usize, String)>,
}

impl MeasuredTable {
    /// Whether there is a column no. `column` of those that were asked for.
    #[must_use]
    pub fn has(&self, column: usize) -> bool {
        self.columns.get(column).is_some_and(Option::is_some)
    }

    /// The reading in a column and a row; `None` where there is none.
    #[must_use]
    pub fn cell(&self, column: usize, row: usize) -> Option<f64> {
        self.columns.get(column)?.as_ref()?.get(row).copied()?
    }
}

/// A row that could not be read, and that the reading went on without.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RefusedRow {
    /// Line in the file, from 1.
    pub line: usize,
    /// Column of the bad cell in the line, in characters from 1.
    pub column: usize,
    /// What is wrong with it.
    pub why: String,
}

/// A time that a table leaves out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TimeGap {
    /// Line of the first row after it, from 1.
    pub line: usize,
    /// Time of the last row before it since the first row, s.
    pub from_s: f64,
    /// Time of the first row after it, s.
    pub to_s: f64,
}

/// A cell without a reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MissingCell {
    /// Line in the file, from 1.
    pub line: usize,
    /// Name of its column.
    pub column: &'static str,
}

/// How a row is checked beyond its cells: the number of the column that is wrong, and what is wrong and right.
pub type RowCheck<'c> = dyn Fn(&[Option<f64>]) -> Result<(), (usize, String, String)> + 'c;

/// Why there is no table.
#[derive(Debug, thiserror::Error)]
pub enum TableError {
    /// The file cannot be opened or read.
    #[error("cannot read the {what} {}: {reason}", path.display())]
    Unreadable {
        /// What the table is.
        what: &'static str,
        /// The file.
        path: PathBuf,
        /// What the system says.
        #[source]
        reason: std::io::Error,
    },
    /// A directory instead of a file.
    #[error("{} is a directory; give the {what} in it", path.display())]
    Directory {
        /// What the table is.
        what: &'static str,
        /// The path.
        path: PathBuf,
    },
    /// A pipe, a device.
    #[error("{} is no regular file; give the {what} as a CSV file", path.display())]
    NotRegular {
        /// What the table is.
        what: &'static str,
        /// The path.
        path: PathBuf,
    },
    /// Too large.
    #[error(
        "{} is larger than {} MB and is not read; a {what} has up to {MOST_ROWS} rows: use longer steps, or cut it",
        path.display(), LARGEST_TABLE_BYTES / 1024 / 1024
    )]
    TooLarge {
        /// What the table is.
        what: &'static str,
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
    #[error("{name}:1: the {what} is empty; its first line names the columns: {example}")]
    Empty {
        /// What the table is.
        what: &'static str,
        /// A header as it might read.
        example: &'static str,
        /// Name of the file.
        name: String,
    },
    /// Too few rows have all that is needed.
    #[error(
        "{name}: the {what} needs at least two rows with all readings; its first line names the columns, and one reading a \
         row follows: {rows} found"
    )]
    TooFewReadings {
        /// What the table is.
        what: &'static str,
        /// Name of the file.
        name: String,
        /// Rows with all readings.
        rows: usize,
    },
    /// Problems in its content.
    #[error(transparent)]
    Problems(#[from] Problems),
}
