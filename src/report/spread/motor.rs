//! The spread of a clock driven by a motor: keys, table, rows.

use std::fmt::Write as _;

use serde::Serialize;

use crate::clock::design::MotorClock;
use crate::clock::motor::rate::DAYS_PER_MONTH;
use crate::numerics::indices::Estimate;
use crate::report::motor::USUAL_S_PER_MONTH;
use crate::report::prediction::csv::{CsvTable, number as cell, written};
use crate::report::prediction::text::{line, number};
use crate::report::provenance::Provenance;
use crate::study::spread::motor::{Cause, MotorCopy, MotorStatistics, PERCENTILES};
use crate::study::spread::plan::place;

/// Relative numbers are told in millionths.
const PER_PPM: f64 = 1e6;

/// The results of a spread under their keys; shares with the ends of their 95 % intervals.
#[derive(Debug, Clone, Serialize)]
pub struct MotorSpreadKeys {
    /// Where they come from.
    #[serde(flatten)]
    pub provenance: Provenance,
    /// The clock's name.
    pub name: String,
    /// Copies that have results.
    pub copies: usize,
    /// Those that count in shares and percentiles.
    pub counted: usize,
    /// Share that keeps going: estimate, lower and upper end.
    pub keeps_going: [f64; 3],
    /// Shares at which the lists below are told.
    pub percentiles: [f64; 3],
    /// Rate of those that keep going, s/day, positive gains; null where none does.
    pub rate_s_per_day: Option<[f64; 3]>,
    /// Rate, s a month of 30.4375 days.
    pub rate_s_per_month: Option<[f64; 3]>,
    /// What such clocks commonly are off by, s a month (common practice, no source).
    pub usual_s_per_month: f64,
    /// Reserve of torque; `null` where nothing is asked.
    pub torque_reserve: [Option<f64>; 3],
    /// What explains the rate.
    pub rate_explained: Vec<ExplainedKeys>,
}

/// What one cause explains of the rate's variance; `null` with too few copies.
#[derive(Debug, Clone, Serialize)]
pub struct ExplainedKeys {
    /// Path in the scenario.
    pub input: &'static str,
    /// Alone: estimate, lower and upper end.
    pub first_order: Option<[f64; 3]>,
    /// Together with others.
    pub total: Option<[f64; 3]>,
}

fn ends(estimate: Estimate) -> [f64; 3] {
    [estimate.value, estimate.low, estimate.high]
}

/// The keys of a spread.
#[must_use]
pub fn motor_spread_keys(
    provenance: Provenance,
    clock: &MotorClock,
    causes: &[Cause],
    copies: usize,
    found: &MotorStatistics,
) -> MotorSpreadKeys {
    let index = |number: usize| found.explained.as_ref().and_then(|indices| indices.get(number));
    MotorSpreadKeys {
        provenance,
        name: clock.name.clone(),
        copies,
        counted: found.counted,
        keeps_going: ends(found.going),
        percentiles: PERCENTILES,
        rate_s_per_day: found.rate_s_per_day,
        rate_s_per_month: found.rate_s_per_day.map(|rates| rates.map(|rate| rate * DAYS_PER_MONTH)),
        usual_s_per_month: USUAL_S_PER_MONTH,
        torque_reserve: found.reserve.map(|reserve| reserve.is_finite().then_some(reserve)),
        rate_explained: causes
            .iter()
            .enumerate()
            .map(|(number, cause)| ExplainedKeys {
                input: cause.path(),
                first_order: index(number).map(|index| ends(index.first_order)),
                total: index(number).map(|index| ends(index.total)),
            })
            .collect(),
    }
}

/// The spread as a table.
#[must_use]
pub fn motor_spread_table(keys: &MotorSpreadKeys) -> String {
    let mut out = format!("{}: {} copies, {} of them drawn by themselves\n\n", keys.name, keys.copies, keys.counted);
    let [share, low, high] = keys.keeps_going.map(|share| number(1e2 * share, 1));
    line(&mut out, "keep going", &format!("{share} % ({low} to {high} %)"));
    let _ = writeln!(out, "  {:<34} {:>9} {:>9} {:>9}", "of the copies below", "5 %", "50 %", "95 %");
    let each = |values: Option<[f64; 3]>| values.map_or([None; 3], |values| values.map(Some));
    let mut row = |label: &str, values: [Option<f64>; 3], decimals| {
        let [a, b, c] = values.map(|value| value.map_or_else(|| "-".to_owned(), |value| number(value, decimals)));
        let _ = writeln!(out, "  {label:<34} {a:>9} {b:>9} {c:>9}");
    };
    row("rate, s/day", each(keys.rate_s_per_day), 3);
    row("rate, s/month", each(keys.rate_s_per_month), 1);
    row("reserve of torque, times", keys.torque_reserve, 2);
    let usual = format!("+/- {} s/month (common practice, no source)", number(keys.usual_s_per_month, 0));
    line(&mut out, "usual of such clocks", &usual);
    out.push_str("\nWhat explains the rate (share of its variance, alone)\n");
    for explained in &keys.rate_explained {
        let share = explained.first_order.map_or_else(
            || "too few copies, or no variance".to_owned(),
            |[share, low, high]| {
                format!("{} % ({} to {} %)", number(1e2 * share, 0), number(1e2 * low, 0), number(1e2 * high, 0))
            },
        );
        line(&mut out, explained.input, &share);
    }
    out
}

/// Name of a cause's column, and what its values are multiplied by.
const fn column(cause: Cause) -> (&'static str, f64) {
    match cause {
        Cause::Tolerance => ("tolerance_ppm", PER_PPM),
        Cause::Ageing => ("ageing_ppm_per_year", PER_PPM),
        Cause::Turnover => ("turnover_degc", 1.0),
        Cause::Curvature => ("curvature_ppm_per_k2", PER_PPM),
        Cause::Band => ("temperature_ppm", PER_PPM),
        Cause::Room => ("room_degc", 1.0),
        Cause::Friction => ("hand_friction_mn_m", 1e3),
    }
}

/// One row a copy. `None` of no copy.
#[must_use]
pub fn motor_spread_csv(causes: &[Cause], copies: &[MotorCopy]) -> Option<CsvTable> {
    let columns: Vec<&str> = ["copy", "counts"]
        .into_iter()
        .chain(causes.iter().map(|&cause| column(cause).0))
        .chain(["verdict", "rate_s_per_day", "torque_reserve"])
        .collect();
    let rows = copies.iter().map(|copy| {
        let counts = if place(copy.number, causes.len()).1.counts() { "yes" } else { "no" };
        let mut row = vec![copy.number.to_string(), counts.to_owned()];
        row.extend(causes.iter().zip(&copy.drawn).map(|(&cause, value)| cell(value * column(cause).1)));
        row.push(if copy.keeps_going { "keeps_going" } else { "stops" }.to_owned());
        row.push(if copy.keeps_going { cell(copy.rate_s_per_day) } else { String::new() });
        row.push(if copy.reserve.is_finite() { cell(copy.reserve) } else { String::new() });
        row
    });
    written("spread", &columns, rows)
}
