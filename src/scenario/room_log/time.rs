//! Times of a log: dates by ISO 8601, with or without a zone, or plain numbers.

use jiff::Timestamp;
use jiff::civil::DateTime;
use jiff::tz::Offset;

use crate::units::{Kind, quantity_in_si};

/// How a column of times is read.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum TimeColumn {
    /// Dates, or hours where they are numbers.
    Dates,
    /// Numbers in a unit.
    Numbers(String),
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
    pub fn of_unit(unit: &str) -> Option<Self> {
        if unit.is_empty() {
            return Some(Self::Dates);
        }
        quantity_in_si(&format!("1 {unit}"), Kind::Time).ok().map(|_| Self::Numbers(unit.to_owned()))
    }

    /// The time in a cell; `None` if it holds none.
    pub fn read(&self, cell: &str) -> Option<Time> {
        let number = cell.parse::<f64>().is_ok_and(f64::is_finite);
        match self {
            Self::Numbers(unit) => quantity_in_si(&format!("{cell} {unit}"), Kind::Time).ok().map(Time::Number),
            Self::Dates if number => quantity_in_si(&format!("{cell} h"), Kind::Time).ok().map(Time::Number),
            Self::Dates => {
                if let Ok(zoned) = cell.parse::<Timestamp>() {
                    return Some(Time::Zoned(zoned.as_nanosecond()));
                }
                let local = Offset::UTC.to_timestamp(cell.parse::<DateTime>().ok()?).ok()?;
                Some(Time::Local(local.as_nanosecond()))
            }
        }
    }
}

impl Time {
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
