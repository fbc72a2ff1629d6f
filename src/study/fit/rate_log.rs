//! A log of the clock's error, or of its rate, with the air of its room: what temperature, humidity and pressure do to it.

use nalgebra::{DMatrix, DVector};

use crate::clock::SECONDS_PER_DAY;
use crate::numerics::least_squares::{LeastSquares, LinearModel, NoLeastSquares, fit};
use crate::scenario::measured::{ColumnMeasure, MeasuredTable, WantedColumn, WantedTable, WantedTime};
use crate::scenario::room_log::{HUMIDITY, PRESSURE, TEMPERATURE};
use crate::units::Kind;

use super::{Estimate, NoFit};

/// What is looked for in a rate log.
pub const RATE_LOG: WantedTable = WantedTable {
    what: "rate log",
    example: "date,error_s,temperature_degC,humidity_%,pressure_hPa",
    time: WantedTime { bare_unit: None, dates: true, even_steps: true },
    columns: &[
        WantedColumn { names: &["error", "clock error"], measure: ColumnMeasure::Quantity(Kind::Time) },
        WantedColumn { names: &["rate"], measure: ColumnMeasure::Rate },
        TEMPERATURE,
        HUMIDITY,
        PRESSURE,
    ],
    needed: &[&["time"], &["error", "rate"]],
    least_rows: 1,
};

/// Rates to spare beyond the values that are fitted.
const SPARE: usize = 3;

/// Correlation of two slopes from which they run together.
const RUN_TOGETHER: f64 = 0.97;

/// Seconds of a week.
const WEEK_S: f64 = 7.0 * SECONDS_PER_DAY;

/// What may move the rate.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RateMover {
    /// Temperature, K.
    Temperature,
    /// Relative humidity, from 0 to 1.
    Humidity,
    /// Pressure, Pa.
    Pressure,
    /// Time, days.
    Drift,
}

impl RateMover {
    /// Those of the air, in the order of the table's columns.
    const AIR: [Self; 3] = [Self::Temperature, Self::Humidity, Self::Pressure];

    /// Its name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Temperature => "temperature",
            Self::Humidity => "humidity",
            Self::Pressure => "pressure",
            Self::Drift => "drift in time",
        }
    }
}

/// The slope of the rate on one mover.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RateSlope {
    /// What moves.
    pub mover: RateMover,
    /// Change of the rate, s/day, by one of its unit.
    pub slope: Estimate,
    /// Its mean over the log.
    pub mean: f64,
    /// Its range over the log.
    pub range: f64,
}

/// A rate over one interval, or at one row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RateReading {
    /// Time of its middle, or of its row, since the first row, s.
    pub time_s: f64,
    /// Length of its interval, s; `None` for a rate that was written down.
    pub over_s: Option<f64>,
    /// Rate, s/day, positive gains.
    pub rate_s_per_day: f64,
    /// Line in the file of its end.
    pub line: usize,
}

/// Days in which the error changed most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WorstWeek {
    /// Its beginning since the first row, s.
    pub from_s: f64,
    /// Change of the error, s, positive gained.
    pub change_s: f64,
}

/// What a rate log says.
#[derive(Debug, Clone, PartialEq)]
pub struct RateLogFit {
    /// The rates.
    pub rates: Vec<RateReading>,
    /// Rate at the mean of all movers, s/day.
    pub mean_s_per_day: Estimate,
    /// Slopes of what moves, fitted together.
    pub slopes: Vec<RateSlope>,
    /// Slope on the temperature without a drift in time beside it: what would be found if the clock were taken not to drift.
    pub per_kelvin_without_drift: Option<Estimate>,
    /// What has a column and does not change, so that nothing is said of it.
    pub unmoved: Vec<RateMover>,
    /// Movers that the log cannot tell from each other.
    pub together: Vec<(RateMover, RateMover)>,
    /// Rates by the fit, s/day.
    pub model_s_per_day: Vec<f64>,
    /// Root mean square of what is left, s/day.
    pub rms_s_per_day: f64,
    /// Correlation of what is left with the next: near 1, something slow moves that is not in the log.
    pub left_follow: f64,
    /// The worst week; `None` for a log shorter than one.
    pub worst_week: Option<WorstWeek>,
    /// Rows of the table that had not all readings.
    pub rows_left_out: usize,
}

/// A row with all its readings.
struct LoggedRow {
    time_s: f64,
    /// Error, s, or rate, s/day.
    value: f64,
    air: [Option<f64>; 3],
    line: usize,
}

/// What the log in `table` says.
///
/// # Errors
/// [`NoFit`]: too few rows, nothing that moves, movers that do the same.
pub fn fit_rate_log(table: &MeasuredTable) -> Result<RateLogFit, NoFit> {
    let by_error = table.has(0);
    let rows = rows_of(table, by_error);
    let (rates, air) = if by_error { over_intervals(&rows) } else { as_written(&rows) };
    let needed = 2 + SPARE;
    if rates.len() < needed {
        return Err(NoFit::TooFewRows {
            rows: rows.len(),
            needed: needed + usize::from(by_error),
            what: "a rate and its drift",
        });
    }
    let days: Vec<f64> = rates.iter().map(|rate| rate.time_s / SECONDS_PER_DAY).collect();
    let mut movers: Vec<(RateMover, Vec<f64>)> = Vec::new();
    let mut unmoved = Vec::new();
    for (number, mover) in RateMover::AIR.into_iter().enumerate() {
        let values: Option<Vec<f64>> = air.iter().map(|air| air[number]).collect();
        let Some(values) = values else { continue };
        if range_of(&values) > 1e-9 { movers.push((mover, values)) } else { unmoved.push(mover) }
    }
    movers.push((RateMover::Drift, days));
    if rates.len() < 1 + movers.len() + SPARE {
        let needed = 1 + movers.len() + SPARE + usize::from(by_error);
        return Err(NoFit::TooFewRows { rows: rows.len(), needed, what: "a rate, its slopes and its drift" });
    }
    let found = slopes(&rates, &movers)?;
    let without_drift = movers.iter().position(|(mover, _)| *mover == RateMover::Temperature).and_then(|place| {
        let found = slopes(&rates, &movers[..movers.len() - 1]).ok()?;
        Some(Estimate::of(&found, 1 + place))
    });
    let mut together = Vec::new();
    for one in 0..movers.len() {
        for other in one + 1..movers.len() {
            if found.correlation(1 + one, 1 + other).abs() > RUN_TOGETHER {
                together.push((movers[one].0, movers[other].0));
            }
        }
    }
    let model = |row: usize| {
        let of = |(place, (_, values)): (usize, &(RateMover, Vec<f64>))| {
            found.values[1 + place] * (values[row] - mean_of(values))
        };
        found.values[0] + movers.iter().enumerate().map(of).sum::<f64>()
    };
    let model_s_per_day: Vec<f64> = (0..rates.len()).map(model).collect();
    let left: Vec<f64> = rates.iter().zip(&model_s_per_day).map(|(rate, model)| rate.rate_s_per_day - model).collect();
    let slopes = movers.iter().enumerate().map(|(place, (mover, values))| RateSlope {
        mover: *mover,
        slope: Estimate::of(&found, 1 + place),
        mean: mean_of(values),
        range: range_of(values),
    });
    Ok(RateLogFit {
        mean_s_per_day: Estimate::of(&found, 0),
        slopes: slopes.collect(),
        per_kelvin_without_drift: without_drift,
        unmoved,
        together,
        rms_s_per_day: (left.iter().map(|left| left * left).sum::<f64>() / left.len() as f64).sqrt(),
        left_follow: found.residuals_follow(),
        worst_week: worst_week(&rows, by_error),
        rows_left_out: table.lines.len() - rows.len(),
        model_s_per_day,
        rates,
    })
}

fn rows_of(table: &MeasuredTable, by_error: bool) -> Vec<LoggedRow> {
    let rows = table.times_s.iter().enumerate().filter_map(|(row, &time_s)| {
        let value = table.cell(usize::from(!by_error), row)?;
        let air = [2, 3, 4].map(|column| table.cell(column, row));
        let complete = (2..5).zip(&air).all(|(column, value)| !table.has(column) || value.is_some());
        complete.then(|| LoggedRow { time_s, value, air, line: table.lines[row] })
    });
    rows.collect()
}

/// Mean rates from row to row, in the mean of the air at both.
fn over_intervals(rows: &[LoggedRow]) -> (Vec<RateReading>, Vec<[Option<f64>; 3]>) {
    let pairs = rows.windows(2).map(|pair| {
        let over_s = pair[1].time_s - pair[0].time_s;
        let rate = RateReading {
            time_s: 0.5 * (pair[0].time_s + pair[1].time_s),
            over_s: Some(over_s),
            rate_s_per_day: (pair[1].value - pair[0].value) / over_s * SECONDS_PER_DAY,
            line: pair[1].line,
        };
        let air = std::array::from_fn(|number| Some(0.5 * (pair[0].air[number]? + pair[1].air[number]?)));
        (rate, air)
    });
    pairs.unzip()
}

fn as_written(rows: &[LoggedRow]) -> (Vec<RateReading>, Vec<[Option<f64>; 3]>) {
    let of = |row: &LoggedRow| {
        let rate = RateReading { time_s: row.time_s, over_s: None, rate_s_per_day: row.value, line: row.line };
        (rate, row.air)
    };
    rows.iter().map(of).unzip()
}

/// Mean rate and slopes, together. A rate over a longer interval counts for more, by its length: the error wanders.
fn slopes(rates: &[RateReading], movers: &[(RateMover, Vec<f64>)]) -> Result<LeastSquares, NoFit> {
    let mean_over = mean_of(&rates.iter().filter_map(|rate| rate.over_s).collect::<Vec<f64>>());
    let weight = |rate: &RateReading| rate.over_s.map_or(1.0, |over_s| (over_s / mean_over).sqrt());
    let means: Vec<f64> = movers.iter().map(|(_, values)| mean_of(values)).collect();
    let model = LinearModel {
        design: DMatrix::from_fn(rates.len(), 1 + movers.len(), |row, column| match column.checked_sub(1) {
            None => 1.0,
            Some(place) => movers[place].1[row] - means[place],
        }),
        data: DVector::from_iterator(rates.len(), rates.iter().map(|rate| rate.rate_s_per_day)),
        weights: DVector::from_iterator(rates.len(), rates.iter().map(weight)),
    };
    let parameters = 1 + movers.len();
    match fit(&model, &vec![0.0; parameters], &vec![false; parameters]) {
        Ok(found) => Ok(found.with_residuals_that_follow()),
        Err(NoLeastSquares::RunTogether { first, second }) => {
            let name = |place: usize| {
                place.checked_sub(1).and_then(|place| movers.get(place)).map_or("the mean rate", |mover| mover.0.name())
            };
            let remedy = "Log on until they move apart, or leave one column out.";
            Err(NoFit::RunTogether { first: name(first), second: name(second), remedy })
        }
        Err(other) => Err(NoFit::Search(other)),
    }
}

/// The seven days in which the error changed most, from any row on.
fn worst_week(rows: &[LoggedRow], by_error: bool) -> Option<WorstWeek> {
    let mut error_s = 0.0;
    let mut before: Option<&LoggedRow> = None;
    let errors: Vec<(f64, f64)> = rows
        .iter()
        .map(|row| {
            if by_error {
                return (row.time_s, row.value);
            }
            // A rate is that of the time since the row before.
            error_s += before.map_or(0.0, |before| row.value * (row.time_s - before.time_s) / SECONDS_PER_DAY);
            before = Some(row);
            (row.time_s, error_s)
        })
        .collect();
    let at = |time_s: f64| {
        let next = errors.partition_point(|error| error.0 < time_s);
        let (to, from) = (errors.get(next)?, errors.get(next.checked_sub(1)?)?);
        Some(from.1 + (to.1 - from.1) * (time_s - from.0) / (to.0 - from.0))
    };
    let weeks = errors
        .iter()
        .filter_map(|(from_s, error_s)| Some(WorstWeek { from_s: *from_s, change_s: at(from_s + WEEK_S)? - error_s }));
    weeks.max_by(|one, other| one.change_s.abs().total_cmp(&other.change_s.abs()))
}

fn mean_of(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len().max(1) as f64
}

fn range_of(values: &[f64]) -> f64 {
    let (low, high) = values
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(*value), high.max(*value)));
    high - low
}
