//! Times of a table: dates by ISO 8601, with or without a zone, or plain numbers.

use jiff::Timestamp;
use jiff::civil::DateTime;
use jiff::tz::Offset;

use crate::units::{Kind, quantity_in_si};

use super::WantedTime;
use super::cells::number_in;

/// How a column of times is read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct TimeColumn {
    /// Whether dates are times.
    dates: bool,
    /// Seconds in the unit of numbers; `None` where all are dates.
    unit_s: Option<f64>,
}

/// One time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Time {
    /// A date in a zone, as nanoseconds of UTC.
    Zoned(i128),
    /// A date without zone, its nanoseconds counted as if in UTC.
    Local(i128),
    /// Seconds.
    Number(f64),
}

impl TimeColumn {
    /// The way to read a column with `unit` in its header; `None` for no unit of time.
    pub fn of_unit(unit: &str, wanted: &WantedTime) -> Option<Self> {
        let unit = if unit.is_empty() { wanted.bare_unit } else { Some(unit) };
        match unit {
            None => wanted.dates.then_some(Self { dates: true, unit_s: None }),
            Some(unit) => {
                let unit_s = quantity_in_si(&format!("1 {unit}"), Kind::Time).ok()?;
                Some(Self { dates: wanted.dates, unit_s: Some(unit_s) })
            }
        }
    }

    /// The time in a cell; `None` if it holds none.
    pub fn read(self, cell: &str, separator: char) -> Option<Time> {
        if let Some(number) = number_in(cell, separator) {
            return self.unit_s.map(|unit_s| Time::Number(number * unit_s)).filter(Time::is_finite);
        }
        if !self.dates {
            return None;
        }
        if let Ok(zoned) = cell.parse::<Timestamp>() {
            return Some(Time::Zoned(zoned.as_nanosecond()));
        }
        let date = cell.parse::<DateTime>().ok().or_else(|| dotted_date(cell))?;
        let local = Offset::UTC.to_timestamp(date).ok()?;
        Some(Time::Local(local.as_nanosecond()))
    }
}

/// A date with its day first, points between: 31.01.2026, with a time after a blank or without.
fn dotted_date(cell: &str) -> Option<DateTime> {
    let (date, time) = cell.split_once(' ').unwrap_or((cell, "00:00"));
    let mut parts = date.split('.').map(|part| part.parse::<u16>().ok());
    let (day, month, year) = (parts.next()??, parts.next()??, parts.next()??);
    if parts.next().is_some() || year < 1000 {
        return None;
    }
    format!("{year:04}-{month:02}-{day:02}T{}", time.trim()).parse().ok()
}

impl Time {
    const fn is_finite(&self) -> bool {
        match self {
            Self::Number(seconds) => seconds.is_finite(),
            Self::Zoned(_) | Self::Local(_) => true,
        }
    }

    /// Seconds since `first`; `None` where the two are not of one form.
    pub fn since_s(self, first: Self) -> Option<f64> {
        match (self, first) {
            (Self::Zoned(here), Self::Zoned(first)) | (Self::Local(here), Self::Local(first)) => {
                Some((here - first) as f64 / 1e9)
            }
            (Self::Number(here), Self::Number(first)) => Some(here - first),
            _ => None,
        }
    }

    /// Date and time, in UTC where there is a zone; `None` for a number.
    pub fn date(self) -> Option<DateTime> {
        match self {
            Self::Zoned(nanoseconds) | Self::Local(nanoseconds) => {
                Timestamp::from_nanosecond(nanoseconds).ok().map(|at| Offset::UTC.to_datetime(at))
            }
            Self::Number(_) => None,
        }
    }

    /// The form in words.
    pub const fn form(self) -> &'static str {
        match self {
            Self::Zoned(_) => "a date with a zone",
            Self::Local(_) => "a date without a zone",
            Self::Number(_) => "a plain number",
        }
    }
}
