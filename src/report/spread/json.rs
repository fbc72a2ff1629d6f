//! The results of a spread under their keys, at full precision.

use serde::Serialize;

use crate::answers::prediction::PredictError;
use crate::clock::SECONDS_PER_DAY;
use crate::clock::drive_level::DriveLevel;
use crate::clock::environment::InRoom;
use crate::numerics::indices::{Estimate, FEWEST_BLOCKS};
use crate::numerics::intervals::samples_for_upper_end;
use crate::report::prediction::text::reason_in_words;
use crate::report::provenance::Provenance;
use crate::report::words::no_answer::unbuilt_in_short;
use crate::report::words::spread_inputs::{InputUnit, answer_key, answer_name, input_key, input_name};
use crate::study::spread::copy::PrintedCopy;
use crate::study::spread::inputs::{CUT_AT, Input, STATED_AS};
use crate::study::spread::statistics::{Explained, Percentiles, Statistics};

/// Most failing copies listed in the JSON; the table of copies has all.
const MOST_LISTED: usize = 100;

/// Printed copies with what their report needs.
#[derive(Debug, Clone, Copy)]
pub struct ToldSpread<'s> {
    /// The clock's name.
    pub name: &'s str,
    /// Whether its drive is a weight; else a torque.
    pub by_weight: bool,
    /// What varies.
    pub inputs: &'s [Input],
    /// The copies.
    pub copies: &'s [PrintedCopy],
    /// What they come to.
    pub found: &'s Statistics,
}

impl<'s> ToldSpread<'s> {
    /// Copies of a design.
    #[must_use]
    pub fn of(design: &'s InRoom, inputs: &'s [Input], copies: &'s [PrintedCopy], found: &'s Statistics) -> Self {
        Self { name: &design.name, by_weight: design.has_weight(), inputs, copies, found }
    }
}

/// What a spread answers.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SpreadKeys {
    /// Where it comes from.
    #[serde(flatten)]
    pub provenance: Provenance,
    /// The clock's name.
    pub name: String,
    /// What "+/-" means and how values are drawn.
    pub distribution: String,
    /// What varies.
    pub inputs: Vec<InputKeys>,
    /// Copies made.
    pub copies: usize,
    /// Those that count in shares and percentiles.
    pub copies_counted: usize,
    /// Share that keeps going, 95 % interval after Wilson.
    pub keeps_going: IntervalKeys,
    /// Least weight of all counted copies; `None` ends where so many have none.
    pub least_weight_kg: Option<PercentileKeys>,
    /// Least torque at the escape wheel, where there is no weight.
    pub least_escape_torque_n_m: Option<PercentileKeys>,
    /// Rate of those that keep going.
    pub rate_s_per_day: Option<PercentileKeys>,
    /// Semi-arc of those that keep going.
    pub semi_arc_deg: Option<PercentileKeys>,
    /// Run time of those that keep going.
    pub run_time_days: Option<PercentileKeys>,
    /// The scenario's weight.
    pub weight_kg: Option<f64>,
    /// The scenario's torque at the escape wheel, where there is no weight.
    pub escape_torque_n_m: Option<f64>,
    /// Weight (torque, where there is no weight) that makes the asked share of copies go.
    pub drive_for_share: ShareKeys,
    /// Which inputs explain the variance of which answer.
    pub explained: Vec<ExplainedKeys>,
    /// Copies that stop, or cannot be built.
    pub failing_copies: usize,
    /// The first of them.
    pub failing: Vec<FailingKeys>,
    /// Remarks.
    pub notes: Vec<String>,
}

/// An input.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct InputKeys {
    /// Name of its column, unit included.
    pub key: String,
    /// In words.
    pub name: String,
    /// Mean, in the unit of the key.
    pub mean: f64,
    /// The scenario's +/-, in the unit of the key.
    pub plus_minus: f64,
}

/// A value with its 95 % interval.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct IntervalKeys {
    /// Value.
    pub value: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl From<Estimate> for IntervalKeys {
    fn from(Estimate { value, low, high }: Estimate) -> Self {
        Self { value, low, high }
    }
}

/// An answer at the 5th, 50th, 95th and 99th percentile; `None` where so many copies have none.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PercentileKeys {
    /// 5 % lie at or below.
    pub p5: Option<f64>,
    /// Median.
    pub p50: Option<f64>,
    /// 95 % lie at or below.
    pub p95: Option<f64>,
    /// 99 % lie at or below.
    pub p99: Option<f64>,
}

impl PercentileKeys {
    fn of(percentiles: Percentiles, scaled: impl Fn(f64) -> f64) -> Self {
        let [p5, p50, p95, p99] = percentiles.map(|value| value.is_finite().then(|| scaled(value)));
        Self { p5, p50, p95, p99 }
    }

    /// All four in their order.
    #[must_use]
    pub const fn all(&self) -> [Option<f64>; 4] {
        [self.p5, self.p50, self.p95, self.p99]
    }
}

/// The drive that makes a share of copies go, with its 95 % interval from order statistics.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ShareKeys {
    /// Share of copies.
    pub share: f64,
    /// Drive; `None` where no drive makes so many go.
    pub value: Option<f64>,
    /// Lower end; `None` where the copies are too few.
    pub low: Option<f64>,
    /// Upper end; `None` where the copies are too few, or no drive is enough.
    pub high: Option<f64>,
}

/// What explains the variance of an answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ExplainedKeys {
    /// The answer's key.
    pub answer: &'static str,
    /// The answer in words.
    pub name: &'static str,
    /// Base points behind the estimates.
    pub base_points: usize,
    /// Base points left out, because one of their copies has no such answer.
    pub base_points_left_out: usize,
    /// Sobol indices; `None` with too few base points or without variance.
    pub inputs: Option<Vec<IndexKeys>>,
}

/// Sobol indices of an input, shares of the variance.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct IndexKeys {
    /// The input's key.
    pub input: String,
    /// What it explains alone.
    pub first_order: IntervalKeys,
    /// What it explains together with others too.
    pub total: IntervalKeys,
}

/// A copy that fails.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FailingKeys {
    /// Its number.
    pub copy: u32,
    /// Why.
    pub reason: String,
}

/// Why a copy does not keep going, in a few words; `None` where it does.
#[must_use]
pub fn failing_reason(copy: &PrintedCopy) -> Option<String> {
    match &copy.outcome {
        Ok(result) => result.stops.map(|reason| reason_in_words(reason).to_owned()),
        Err(PredictError::Build(error)) => Some(unbuilt_in_short(error)),
        Err(error @ PredictError::Measure { .. }) => Some(error.to_string()),
    }
}

/// The results of a spread.
#[must_use]
pub fn spread_keys(told: &ToldSpread<'_>, provenance: Provenance) -> SpreadKeys {
    let ToldSpread { name, by_weight: weighed, inputs, copies, found } = *told;
    let least = PercentileKeys::of(found.least_drive, |least| least);
    let failing = copies.iter().filter_map(|copy| Some((copy.number, failing_reason(copy)?)));
    let bounds = found.drive_for_share;
    let finite = |value: f64| Some(value).filter(|value| value.is_finite());
    SpreadKeys {
        provenance,
        name: name.to_owned(),
        distribution: format!(
            "normal; +/- is {STATED_AS} standard deviations; cut off at {CUT_AT} of them, and at 0 where nothing can be negative"
        ),
        inputs: inputs.iter().map(input_keys).collect(),
        copies: found.copies,
        copies_counted: found.counted,
        keeps_going: found.going.into(),
        least_weight_kg: Some(least).filter(|_| weighed),
        least_escape_torque_n_m: Some(least).filter(|_| !weighed),
        rate_s_per_day: found.rate_s_per_day.map(|all| PercentileKeys::of(all, |rate| rate)),
        semi_arc_deg: found.semi_arc_rad.map(|all| PercentileKeys::of(all, f64::to_degrees)),
        run_time_days: found.run_time_s.map(|all| PercentileKeys::of(all, |time| time / SECONDS_PER_DAY)),
        weight_kg: found.own_drive.and_then(DriveLevel::kg),
        escape_torque_n_m: found.own_drive.and_then(DriveLevel::torque_n_m),
        drive_for_share: ShareKeys {
            share: found.share,
            value: finite(bounds.value),
            low: bounds.low.and_then(finite),
            high: bounds.high.and_then(finite),
        },
        explained: found.explained.iter().map(|explained| explained_keys(told, explained)).collect(),
        failing_copies: failing.clone().count(),
        failing: failing.take(MOST_LISTED).map(|(copy, reason)| FailingKeys { copy, reason }).collect(),
        notes: notes(found),
    }
}

fn input_keys(input: &Input) -> InputKeys {
    let unit = InputUnit::of(input);
    InputKeys {
        key: input_key(input),
        name: input_name(input),
        mean: unit.shown(input.mean),
        plus_minus: unit.shown(STATED_AS * input.deviation),
    }
}

fn explained_keys(told: &ToldSpread<'_>, explained: &Explained) -> ExplainedKeys {
    ExplainedKeys {
        answer: answer_key(explained.answer, told.by_weight),
        name: answer_name(explained.answer, told.by_weight),
        base_points: explained.blocks,
        base_points_left_out: explained.left_out,
        inputs: explained.indices.as_ref().map(|indices| {
            told.inputs
                .iter()
                .zip(indices)
                .map(|(input, index)| IndexKeys {
                    input: input_key(input),
                    first_order: index.first_order.into(),
                    total: index.total.into(),
                })
                .collect()
        }),
    }
}

fn notes(found: &Statistics) -> Vec<String> {
    let mut notes = Vec::new();
    if found.drive_for_share.high.is_none() {
        notes.push(format!(
            "{} copies drawn by themselves are too few for an upper limit of the drive that makes {} % go; {} would do",
            found.counted,
            (1e6 * found.share).round() / 1e4,
            samples_for_upper_end(found.share)
        ));
    }
    if found.explained.iter().all(|explained| explained.indices.is_none()) {
        notes.push(format!(
            "what explains the scatter is not told: it takes {FEWEST_BLOCKS} rounds of copies that all have an answer, and an answer that varies"
        ));
    } else if found.explained.iter().any(|explained| explained.left_out > 0) {
        notes.push(
            "what explains the scatter speaks of copies that have an answer; rounds with others are left out"
                .to_owned(),
        );
    }
    notes
}
