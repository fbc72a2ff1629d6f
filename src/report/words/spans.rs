//! Spans of time as one says them.

use crate::clock::environment::weather::DAYS_PER_YEAR;
use crate::clock::{SECONDS_PER_DAY, SECONDS_PER_HOUR};
use crate::report::canvas::look::short;

/// Days of a week.
const DAYS_PER_WEEK: f64 = 7.0;

/// A span counts as a whole number of a unit but for an hour ...
const WHOLE_TO_DAYS: f64 = 0.05;

/// ... and this share of itself: a year may be one of 365 days.
const WHOLE_TO_SHARE: f64 = 7e-4;

/// Most weeks that are told as such.
const MOST_WEEKS: f64 = 12.0;

/// A span as one says it: "a year", "3 weeks", "12.5 days", "5 hours".
#[must_use]
pub fn span_in_words(days: f64) -> String {
    let whole = |unit_days: f64| {
        let count = (days / unit_days).round();
        let off = (days - count * unit_days).abs();
        (count >= 1.0 && off <= WHOLE_TO_DAYS + WHOLE_TO_SHARE * days).then_some(count)
    };
    let counted = |count: f64, one: &str, many: &str| match count {
        1.0 => one.to_owned(),
        _ => format!("{count} {many}"),
    };
    if let Some(years) = whole(DAYS_PER_YEAR) {
        return counted(years, "a year", "years");
    }
    if let Some(weeks) = whole(DAYS_PER_WEEK).filter(|weeks| *weeks <= MOST_WEEKS) {
        return counted(weeks, "a week", "weeks");
    }
    if days < 2.0 {
        let hours = days * SECONDS_PER_DAY / SECONDS_PER_HOUR;
        return if (days - 1.0).abs() <= WHOLE_TO_DAYS {
            "a day".to_owned()
        } else {
            format!("{} hours", short(hours, 2))
        };
    }
    format!("{} days", short(days, if days < 1000.0 { 3 } else { 4 }))
}
