//! The spread of a clock driven by a motor under its keys.

use serde::Serialize;

use crate::clock::design::MotorClock;
use crate::clock::motor::rate::DAYS_PER_MONTH;
use crate::numerics::indices::IntervalEstimate;
use crate::report::motor::json::USUAL_S_PER_MONTH;
use crate::report::provenance::Provenance;
use crate::study::spread::motor::{MotorStatistics, MotorVariation, PERCENTILES};

/// The results of a spread under their keys; shares with the ends of their 95 % intervals.
#[derive(Debug, Clone, Serialize)]
pub struct MotorSpreadRecord {
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
    /// Percentiles of the lists below, as shares.
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
    pub rate_explained: Vec<RateExplainedRecord>,
}

/// What one cause explains of the rate's variance; `null` with too few copies.
#[derive(Debug, Clone, Serialize)]
pub struct RateExplainedRecord {
    /// Path in the scenario, or the name by which several frictions go.
    pub input: String,
    /// Alone: estimate, lower and upper end.
    pub first_order: Option<[f64; 3]>,
    /// Together with others.
    pub total: Option<[f64; 3]>,
}

fn ends(estimate: IntervalEstimate) -> [f64; 3] {
    [estimate.value, estimate.low, estimate.high]
}

/// The keys of a spread.
#[must_use]
pub fn record(
    provenance: Provenance,
    clock: &MotorClock,
    causes: &[MotorVariation],
    copies: usize,
    found: &MotorStatistics,
) -> MotorSpreadRecord {
    let index = |number: usize| found.explained.as_ref().and_then(|indices| indices.get(number));
    MotorSpreadRecord {
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
            .map(|(number, cause)| RateExplainedRecord {
                input: cause.path().to_owned(),
                first_order: index(number).map(|index| ends(index.first_order)),
                total: index(number).map(|index| ends(index.total)),
            })
            .collect(),
    }
}
