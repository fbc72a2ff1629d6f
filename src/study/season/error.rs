//! The error that a rate gathers over time.

use crate::clock::SECONDS_PER_DAY;

/// Seconds of a week.
pub const WEEK_S: f64 = 7.0 * SECONDS_PER_DAY;

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

/// A week and what the error changes in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Week {
    /// Its beginning, s.
    pub begins_s: f64,
    /// Change of the error, s, positive gained.
    pub change_s: f64,
}

impl Week {
    /// The week from a sample on in which the error changes most; `None` where there is no whole week.
    #[must_use]
    pub fn worst(times_s: &[f64], rates: &[f64]) -> Option<Self> {
        let errors = error_s(times_s, rates);
        let last_s = *times_s.get(errors.len().checked_sub(1)?)?;
        times_s
            .iter()
            .take_while(|&&begins_s| begins_s + WEEK_S <= last_s)
            .map(|&begins_s| Self { begins_s, change_s: change_s(times_s, &errors, begins_s) })
            .reduce(|worst, week| if week.change_s.abs() > worst.change_s.abs() { week } else { worst })
    }

    /// The same with the mean rate taken off.
    #[must_use]
    pub fn worst_regulated(times_s: &[f64], rates: &[f64]) -> Option<Self> {
        Self::worst(times_s, &regulated(times_s, rates))
    }

    /// What another rate with its mean taken off changes in this week, s.
    #[must_use]
    pub fn of_regulated_s(&self, times_s: &[f64], rates: &[f64]) -> f64 {
        change_s(times_s, &error_s(times_s, &regulated(times_s, rates)), self.begins_s)
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

/// Change of the error in the week that begins at a sample.
fn change_s(times_s: &[f64], errors: &[f64], begins_s: f64) -> f64 {
    at(times_s, errors, begins_s + WEEK_S) - at(times_s, errors, begins_s)
}

/// The value at a time, linear between samples.
fn at(times_s: &[f64], values: &[f64], time_s: f64) -> f64 {
    let after = times_s[..values.len()].partition_point(|&other| other < time_s).clamp(1, values.len() - 1);
    let share = (time_s - times_s[after - 1]) / (times_s[after] - times_s[after - 1]);
    values[after - 1] + share * (values[after] - values[after - 1])
}
