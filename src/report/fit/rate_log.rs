//! A rate log: its keys, its words, its table and its picture.

use std::fmt::Write as _;

use jiff::SignedDuration;
use serde::Serialize;

use crate::clock::SECONDS_PER_DAY;
use crate::numerics::intervals::NORMAL_95;
use crate::report::canvas::look::significant;
use crate::report::csv_table::{CsvTable, exact, written};
use crate::report::figures::{FitPicture, FitSeries};
use crate::report::words::numbers::{counted, number};
use crate::scenario::measured::{GAP_IN_STEPS, MeasuredTable};
use crate::study::fit::rate_log::{RateLogFit, RateMover, RateSlope};

use super::free_swing::shown;
use super::json::EstimateRecord;

/// Correlation of what is left from which it is said to wander.
const WANDERS: f64 = 0.5;

/// Slopes by the scenario, in the units of the log's.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PredictedSlopes {
    per_kelvin: Option<f64>,
    per_percent_humidity: Option<f64>,
    per_hpa: Option<f64>,
}

impl PredictedSlopes {
    /// Of rates by one K, the whole of humidity and one Pa, s/day.
    #[must_use]
    pub fn of([per_kelvin, by_humidity, per_pascal]: [Option<f64>; 3]) -> Self {
        Self {
            per_kelvin,
            per_percent_humidity: by_humidity.map(|slope| 0.01 * slope),
            per_hpa: per_pascal.map(|slope| 100.0 * slope),
        }
    }

    const fn on(&self, mover: RateMover) -> Option<f64> {
        match mover {
            RateMover::Temperature => self.per_kelvin,
            RateMover::Humidity => self.per_percent_humidity,
            RateMover::Pressure => self.per_hpa,
            RateMover::Drift => None,
        }
    }
}

/// Size of the unit of a slope in the mover's own, and the unit in words.
const fn unit_of(mover: RateMover) -> (f64, &'static str) {
    match mover {
        RateMover::Temperature => (1.0, "K"),
        RateMover::Humidity => (0.01, "% of humidity"),
        RateMover::Pressure => (100.0, "hPa"),
        RateMover::Drift => (1.0, "day"),
    }
}

#[derive(Debug, Clone, Serialize)]
struct WorstWeekRecord {
    from_day: f64,
    from: Option<String>,
    change_s: f64,
}

#[derive(Debug, Clone, Serialize)]
struct RateLogRecord {
    rates: usize,
    mean_s_per_day: EstimateRecord,
    per_kelvin: Option<EstimateRecord>,
    per_percent_humidity: Option<EstimateRecord>,
    per_hpa: Option<EstimateRecord>,
    drift_per_day: Option<EstimateRecord>,
    per_kelvin_without_drift: Option<EstimateRecord>,
    /// Pairs that the log cannot tell from each other.
    together: Vec<[&'static str; 2]>,
    rms_s_per_day: f64,
    left_follow: f64,
    worst_week: Option<WorstWeekRecord>,
    predicted: Option<PredictedSlopes>,
}

/// What a rate log found.
#[derive(Debug, Clone, Serialize)]
pub struct RateLogFitRecord {
    rate_log: RateLogRecord,
}

impl RateLogFitRecord {
    /// Of a rate log.
    #[must_use]
    pub fn of(found: &RateLogFit, table: &MeasuredTable, predicted: Option<PredictedSlopes>) -> Self {
        let slope = |mover: RateMover| {
            let one = found.slopes.iter().find(|slope| slope.mover == mover)?;
            Some(EstimateRecord::of(one.slope, unit_of(mover).0))
        };
        let worst_week = found.worst_week.map(|week| WorstWeekRecord {
            from_day: week.from_s / SECONDS_PER_DAY,
            from: date(table, week.from_s),
            change_s: week.change_s,
        });
        Self {
            rate_log: RateLogRecord {
                rates: found.rates.len(),
                mean_s_per_day: EstimateRecord::of(found.mean_s_per_day, 1.0),
                per_kelvin: slope(RateMover::Temperature),
                per_percent_humidity: slope(RateMover::Humidity),
                per_hpa: slope(RateMover::Pressure),
                drift_per_day: slope(RateMover::Drift),
                per_kelvin_without_drift: found.per_kelvin_without_drift.map(|one| EstimateRecord::of(one, 1.0)),
                together: found.together.iter().map(|(one, other)| [one.name(), other.name()]).collect(),
                rms_s_per_day: found.rms_s_per_day,
                left_follow: found.left_follow,
                worst_week,
                predicted,
            },
        }
    }
}

/// The date of a time since the first row; `None` where the log has plain numbers for times.
fn date(table: &MeasuredTable, time_s: f64) -> Option<String> {
    let at = table.began?.checked_add(SignedDuration::from_secs(time_s.round() as i64)).ok()?;
    Some(at.date().to_string())
}

/// The rate log as a table and in words.
#[must_use]
pub fn text(name: &str, table: &MeasuredTable, found: &RateLogFit, predicted: Option<PredictedSlopes>) -> String {
    let mut out = format!("{name}: rate log {}, {}\n", table.name, counted(found.rates.len(), "rate", "rates"));
    let _ = writeln!(out, "  {:<34} {} s/day (positive: gains)", "mean rate", shown(found.mean_s_per_day, 1.0));
    let beside = if predicted.is_some() { "          the scenario predicts" } else { "" };
    let _ = writeln!(out, "\n  What moves the rate, s/day (+/-: one standard deviation){beside}");
    for slope in &found.slopes {
        let (size, unit) = unit_of(slope.mover);
        let label = format!("{}, by 1 {unit}", slope.mover.name());
        let own =
            predicted.and_then(|predicted| predicted.on(slope.mover)).map_or_else(String::new, |own| number(own, 4));
        let _ = writeln!(out, "  {label:<34} {:<30} {own}", format!("{}{}", shown(slope.slope, size), verdict(slope)));
    }
    if let Some(without) = found.per_kelvin_without_drift {
        let _ = writeln!(out, "  {:<34} {}", "temperature, if it did not drift", shown(without, 1.0));
    }
    for mover in &found.unmoved {
        let _ = writeln!(out, "  The {} does not change over the log: nothing is said of it.", mover.name());
    }
    for (one, other) in &found.together {
        let _ = writeln!(
            out,
            "  {} and {} run together in this log: their sum is known, neither alone. Log on until they move apart.",
            one.name(),
            other.name()
        );
    }
    let _ = writeln!(out, "\n  left unexplained (rms)             {} s/day", significant(found.rms_s_per_day, 2));
    let words = if found.left_follow > WANDERS {
        "What is left wanders slowly: something moves the rate that is not in the log (oil, the cord's pull, the wall, pressure)."
    } else {
        "What is left scatters from row to row: reading errors, or the escapement's own unsteadiness."
    };
    let _ = writeln!(out, "  {words}");
    if let Some(week) = found.worst_week {
        let from =
            date(table, week.from_s).unwrap_or_else(|| format!("day {}", number(week.from_s / SECONDS_PER_DAY, 1)));
        let way = if week.change_s < 0.0 { "lost" } else { "gained" };
        let _ = writeln!(
            out,
            "  worst week                         from {from}: {way} {} s",
            number(week.change_s.abs(), 1)
        );
    }
    if found.rows_left_out > 0 {
        let rows = counted(found.rows_left_out, "row", "rows");
        let _ = writeln!(out, "  {rows} without all readings left out.");
    }
    out
}

/// What the log says of a slope.
fn verdict(slope: &RateSlope) -> &'static str {
    if slope.slope.value.abs() > NORMAL_95 * slope.slope.sigma { "" } else { " (not shown)" }
}

/// Rates beside the fit.
#[must_use]
pub fn csv(table: &MeasuredTable, found: &RateLogFit) -> Option<CsvTable> {
    let columns = ["line", "day", "date", "rate_s_per_day", "fitted_s_per_day", "left_s_per_day"];
    let rows = found.rates.iter().zip(&found.model_s_per_day).map(|(rate, model)| {
        vec![
            rate.line.to_string(),
            exact(rate.time_s / SECONDS_PER_DAY),
            date(table, rate.time_s).unwrap_or_default(),
            exact(rate.rate_s_per_day),
            exact(*model),
            exact(rate.rate_s_per_day - model),
        ]
    });
    written("fit", &columns, rows)
}

/// The picture of a rate log.
#[must_use]
pub fn picture(name: &str, table: &MeasuredTable, found: &RateLogFit) -> FitPicture {
    let day = |number: usize| found.rates[number].time_s / SECONDS_PER_DAY;
    let all = || 0..found.rates.len();
    let measured = all().map(|row| (day(row), found.rates[row].rate_s_per_day)).collect();
    let mut curve: Vec<Vec<(f64, f64)>> = Vec::new();
    for row in all() {
        // What the clock did in a gap is not known.
        let apart_s = row.checked_sub(1).map(|before| found.rates[row].time_s - found.rates[before].time_s);
        let at = (day(row), found.model_s_per_day[row]);
        match curve.last_mut().filter(|_| apart_s.is_some_and(|apart_s| apart_s <= GAP_IN_STEPS * table.step_s)) {
            Some(piece) => piece.push(at),
            None => curve.push(vec![at]),
        }
    }
    let left = all().map(|row| (day(row), found.rates[row].rate_s_per_day - found.model_s_per_day[row])).collect();
    let slope = |mover: RateMover| found.slopes.iter().find(|slope| slope.mover == mover);
    let mut subtitle = format!("Mean rate {} s/day.", shown(found.mean_s_per_day, 1.0));
    if let Some(by) = slope(RateMover::Temperature) {
        let _ = write!(subtitle, " {} s/day by 1 K.", shown(by.slope, 1.0));
    }
    let from = date(table, 0.0).map_or_else(|| "time (days)".to_owned(), |date| format!("days since {date}"));
    FitPicture {
        title: format!("{name}: rate log"),
        subtitle,
        x: from,
        y: "rate, gaining is positive (s/day)".to_owned(),
        left: "measured less fitted (s/day)".to_owned(),
        series: vec![FitSeries { name: String::new(), measured, curve, left, standing_out: Vec::new() }],
    }
}
