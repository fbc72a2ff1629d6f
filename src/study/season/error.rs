//! The error that a rate gathers over time.

use crate::clock::SECONDS_PER_DAY;
use crate::clock::motor::rate::DAYS_PER_MONTH;

/// Seconds of a week.
pub const WEEK_S: f64 = 7.0 * SECONDS_PER_DAY;

/// Seconds of a month: a twelfth of 365.25 days.
pub const MONTH_S: f64 = DAYS_PER_MONTH * SECONDS_PER_DAY;

/// Error gathered since the first time, s, at every time; `rates` in s/day, linear in between.
#[must_use]
pub fn error_s(times_s: &[f64], rates: &[f64]) -> Vec<f64> {
    let mut sum = 0.0;
    let steps = times_s.windows(2).zip(rates.windows(2)).map(|(times, rates)| {
        sum += 0.5 * (rates[0] + rates[1]) * (times[1] - times[0]) / SECONDS_PER_DAY;
        sum
    });
    let first = (!rates.is_empty()).then_some(0.0);
    first.into_iter().chain(steps).collect()
}

/// Mean over time of values that are linear in between; a single value is its own mean, none has none.
#[must_use]
pub fn mean(times_s: &[f64], values: &[f64]) -> Option<f64> {
    let (first, last) = (times_s.first()?, times_s.get(values.len().checked_sub(1)?)?);
    if values.len() == 1 {
        return values.first().copied();
    }
    // About the first value, so that the mean of what is constant is that constant, bit for bit.
    let base = values[0];
    let area: f64 = times_s
        .windows(2)
        .zip(values.windows(2))
        .map(|(times, values)| (0.5 * (values[0] - base) + 0.5 * (values[1] - base)) * (times[1] - times[0]))
        .sum();
    Some(base + area / (last - first))
}

/// A week or month and what the error changes in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ErrorWindow {
    /// Its beginning, s.
    pub begins_s: f64,
    /// Its length, s.
    pub length_s: f64,
    /// Change of the error, s, positive gained.
    pub change_s: f64,
}

impl ErrorWindow {
    /// The stretch of a length from a sample on in which the error changes most; `None` where there is no whole one.
    #[must_use]
    pub fn worst(times_s: &[f64], rates: &[f64], length_s: f64) -> Option<Self> {
        let errors = error_s(times_s, rates);
        let last_s = *times_s.get(errors.len().checked_sub(1)?)?;
        times_s
            .iter()
            .take_while(|&&begins_s| begins_s + length_s <= last_s)
            .map(|&begins_s| Self { begins_s, length_s, change_s: change_s(times_s, &errors, begins_s, length_s) })
            .reduce(|worst, other| if other.change_s.abs() > worst.change_s.abs() { other } else { worst })
    }

    /// The same with the mean rate taken off.
    #[must_use]
    pub fn worst_regulated(times_s: &[f64], rates: &[f64], length_s: f64) -> Option<Self> {
        Self::worst(times_s, &regulated(times_s, rates), length_s)
    }

    /// What another rate with its mean taken off changes in this stretch, s.
    #[must_use]
    pub fn of_regulated_s(&self, times_s: &[f64], rates: &[f64]) -> f64 {
        change_s(times_s, &error_s(times_s, &regulated(times_s, rates)), self.begins_s, self.length_s)
    }

    /// Minutes, without sign.
    #[must_use]
    pub fn minutes(&self) -> f64 {
        self.change_s.abs() / 60.0
    }
}

/// Rates less their mean over time.
fn regulated(times_s: &[f64], rates: &[f64]) -> Vec<f64> {
    let mean = mean(times_s, rates).unwrap_or_default();
    rates.iter().map(|rate| rate - mean).collect()
}

/// Change of the error in the stretch that begins at a sample.
fn change_s(times_s: &[f64], errors: &[f64], begins_s: f64, length_s: f64) -> f64 {
    at(times_s, errors, begins_s + length_s) - at(times_s, errors, begins_s)
}

/// The value at a time, linear between samples.
fn at(times_s: &[f64], values: &[f64], time_s: f64) -> f64 {
    let after = times_s[..values.len()].partition_point(|&other| other < time_s).clamp(1, values.len() - 1);
    let share = (time_s - times_s[after - 1]) / (times_s[after] - times_s[after - 1]);
    values[after - 1] + share * (values[after] - values[after - 1])
}

/// A share of the rate over the season.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Share {
    /// Its mean, s/day: constant, and so regulated away. For a cause: beyond the rate in the mean room.
    pub mean_s_per_day: f64,
    /// Its largest value less its least, s/day.
    pub range_s_per_day: f64,
    /// The week (month, of a clock with a motor) in which the error by it changes most, its mean taken off; `None` without a whole one.
    pub worst: Option<ErrorWindow>,
    /// Change of the error by it in the worst stretch of the whole, its mean taken off, s.
    pub in_worst_s: Option<f64>,
}

impl Share {
    /// The share that `rates` are, beside the worst stretch of the whole; `None` of no rates.
    #[must_use]
    pub fn of(times_s: &[f64], rates: &[f64], whole: Option<ErrorWindow>) -> Option<Self> {
        let (low, high) =
            rates.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), &rate| (low.min(rate), high.max(rate)));
        Some(Self {
            mean_s_per_day: mean(times_s, rates)?,
            range_s_per_day: high - low,
            worst: whole.and_then(|whole| ErrorWindow::worst_regulated(times_s, rates, whole.length_s)),
            in_worst_s: whole.map(|whole| whole.of_regulated_s(times_s, rates)),
        })
    }
}
