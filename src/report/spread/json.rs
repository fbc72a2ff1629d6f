//! The results of a spread under their keys, at full precision.

use serde::Serialize;
use serde_json::{Map, Value};

use crate::clock::SECONDS_PER_DAY;
use crate::clock::drive_level::DriveLevel;
use crate::numerics::indices::{FEWEST_BLOCKS, IntervalEstimate};
use crate::numerics::intervals::samples_for_upper_end;
use crate::report::prediction::json::Results;
use crate::report::provenance::Provenance;
use crate::report::words::spread_inputs::{InputUnit, answer_key, answer_name, input_key, input_name, input_paths};
use crate::study::spread::copy::PrintedCopy;
use crate::study::spread::inputs::{CUT_AT, Input, STATED_AS};
use crate::study::spread::statistics::{Explained, Percentiles, Statistics};

use super::{SpreadView, failing_reason};

/// Most failing copies listed in the JSON; the table of copies has all.
const MOST_LISTED: usize = 100;

/// What a spread answers.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SpreadRecord {
    /// Where it comes from.
    #[serde(flatten)]
    pub provenance: Provenance,
    /// The clock's name.
    pub name: String,
    /// What "+/-" means and how values are drawn.
    pub distribution: String,
    /// What varies.
    pub inputs: Vec<InputRecord>,
    /// Copies made.
    pub copies: usize,
    /// Those that count in shares and percentiles.
    pub copies_counted: usize,
    /// Share that keeps going, 95 % interval after Wilson.
    pub keeps_going: IntervalRecord,
    /// Share that keeps going with the margin asked for.
    pub share_that_meets_margin: IntervalRecord,
    /// Least weight of all counted copies; `None` ends where so many have none.
    pub least_weight_kg: Option<PercentilesRecord>,
    /// Least torque at the escape wheel, where there is no weight.
    pub least_escape_torque_n_m: Option<PercentilesRecord>,
    /// Rate of those that keep going.
    pub rate_s_per_day: Option<PercentilesRecord>,
    /// Semi-arc of those that keep going.
    pub semi_arc_deg: Option<PercentilesRecord>,
    /// Run time of those that keep going.
    pub run_time_days: Option<PercentilesRecord>,
    /// Factor on all frictions together at which the mean clock stops; `None` where it stops already, or never does.
    pub friction_reserve: Option<f64>,
    /// The same of some copies that go.
    pub friction_reserve_of_copies: Option<PercentilesRecord>,
    /// How many copies those are.
    pub friction_reserve_copies: usize,
    /// The scenario's weight.
    pub weight_kg: Option<f64>,
    /// The scenario's torque at the escape wheel, where there is no weight.
    pub escape_torque_n_m: Option<f64>,
    /// Weight (torque, where there is no weight) that makes the asked share of copies go.
    pub drive_for_share: DriveForShareRecord,
    /// Which inputs explain the variance of which answer.
    pub explained: Vec<ExplainedRecord>,
    /// Copies that stop, or cannot be built.
    pub failing_copies: usize,
    /// The first of them.
    pub failing: Vec<FailingRecord>,
    /// Remarks.
    pub notes: Vec<String>,
}

/// An input.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct InputRecord {
    /// Name of its column, unit included.
    pub key: String,
    /// In words.
    pub name: String,
    /// Paths in the scenario of what it sets.
    pub sets: Vec<String>,
    /// Mean, in the unit of the key.
    pub mean: f64,
    /// The scenario's +/-, in the unit of the key.
    pub plus_minus: f64,
}

/// A value with its 95 % interval.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct IntervalRecord {
    /// Value.
    pub value: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl From<IntervalRecord> for IntervalEstimate {
    fn from(IntervalRecord { value, low, high }: IntervalRecord) -> Self {
        Self { value, low, high }
    }
}

impl From<IntervalEstimate> for IntervalRecord {
    fn from(IntervalEstimate { value, low, high }: IntervalEstimate) -> Self {
        Self { value, low, high }
    }
}

/// An answer at the 5th, 50th, 95th and 99th percentile; `None` where so many copies have none.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PercentilesRecord {
    /// 5 % lie at or below.
    pub p5: Option<f64>,
    /// Median.
    pub p50: Option<f64>,
    /// 95 % lie at or below.
    pub p95: Option<f64>,
    /// 99 % lie at or below.
    pub p99: Option<f64>,
}

impl PercentilesRecord {
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
pub struct DriveForShareRecord {
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
pub struct ExplainedRecord {
    /// The answer's key.
    pub answer: &'static str,
    /// The answer in words.
    pub name: &'static str,
    /// Base points behind the estimates.
    pub base_points: usize,
    /// Base points left out, because one of their copies has no such answer.
    pub base_points_left_out: usize,
    /// Sobol indices; `None` with too few base points or without variance.
    pub inputs: Option<Vec<IndexRecord>>,
}

/// Sobol indices of an input, shares of the variance.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct IndexRecord {
    /// The input's key.
    pub input: String,
    /// What it explains alone.
    pub first_order: IntervalRecord,
    /// What it explains together with others too.
    pub total: IntervalRecord,
}

/// A copy that fails.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FailingRecord {
    /// Its number.
    pub copy: u32,
    /// Why.
    pub reason: String,
}

/// The results of a spread.
#[must_use]
pub fn record(view: &SpreadView<'_>, provenance: Provenance) -> SpreadRecord {
    let SpreadView { name, by_weight: weighed, inputs, copies, found } = *view;
    let least = PercentilesRecord::of(found.least_drive, |least| least);
    let failing = copies.iter().filter_map(|copy| Some((copy.number, failing_reason(copy)?)));
    let bounds = found.drive_for_share;
    let reserves = &found.friction_reserves;
    let finite = |value: f64| Some(value).filter(|value| value.is_finite());
    SpreadRecord {
        provenance,
        name: name.to_owned(),
        distribution: format!(
            "normal; +/- is {STATED_AS} standard deviations; cut off at {CUT_AT} of them, and at 0 for what cannot be \
                negative"
        ),
        inputs: inputs.iter().map(input_keys).collect(),
        copies: found.copies,
        copies_counted: found.counted,
        keeps_going: found.going.into(),
        share_that_meets_margin: found.meeting_margin.into(),
        least_weight_kg: Some(least).filter(|_| weighed),
        least_escape_torque_n_m: Some(least).filter(|_| !weighed),
        rate_s_per_day: found.rate_s_per_day.map(|all| PercentilesRecord::of(all, |rate| rate)),
        semi_arc_deg: found.semi_arc_rad.map(|all| PercentilesRecord::of(all, f64::to_degrees)),
        run_time_days: found.run_time_s.map(|all| PercentilesRecord::of(all, |time| time / SECONDS_PER_DAY)),
        friction_reserve: reserves.mean.as_ref().ok().and_then(|reserve| reserve.factor()),
        friction_reserve_of_copies: reserves.percentiles.map(|all| PercentilesRecord::of(all, |factor| factor)),
        friction_reserve_copies: reserves.copies,
        weight_kg: found.own_drive.and_then(DriveLevel::kg),
        escape_torque_n_m: found.own_drive.and_then(DriveLevel::torque_n_m),
        drive_for_share: DriveForShareRecord {
            share: found.share,
            value: finite(bounds.value),
            low: bounds.low.and_then(finite),
            high: bounds.high.and_then(finite),
        },
        explained: found.explained.iter().map(|explained| explained_keys(view, explained)).collect(),
        failing_copies: failing.clone().count(),
        failing: failing.take(MOST_LISTED).map(|(copy, reason)| FailingRecord { copy, reason }).collect(),
        notes: notes(found),
    }
}

fn input_keys(input: &Input) -> InputRecord {
    let unit = InputUnit::of(input);
    InputRecord {
        key: input_key(input),
        name: input_name(input),
        sets: input_paths(input),
        mean: unit.shown(input.mean),
        plus_minus: unit.shown(STATED_AS * input.deviation),
    }
}

fn explained_keys(view: &SpreadView<'_>, explained: &Explained) -> ExplainedRecord {
    ExplainedRecord {
        answer: answer_key(explained.answer, view.by_weight),
        name: answer_name(explained.answer, view.by_weight),
        base_points: explained.blocks,
        base_points_left_out: explained.left_out,
        inputs: explained.indices.as_ref().map(|indices| {
            view.inputs
                .iter()
                .zip(indices)
                .map(|(input, index)| IndexRecord {
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
            "{} independent copies are too few for an upper limit of the drive that keeps {} % going; {} would be \
                enough",
            found.counted,
            (1e6 * found.share).round() / 1e4,
            samples_for_upper_end(found.share)
        ));
    }
    if found.explained.iter().all(|explained| explained.indices.is_none()) {
        notes.push(format!(
            "what explains the scatter is not given: it takes {FEWEST_BLOCKS} rounds of copies that all have an \
                answer, and an answer that varies"
        ));
    } else if found.explained.iter().any(|explained| explained.left_out > 0) {
        notes.push(
            "what explains the scatter is found from copies that have an answer; rounds with other copies are left out"
                .to_owned(),
        );
    }
    notes
}

/// One copy: what it has drawn, and its results.
#[derive(Debug, Clone, Serialize)]
pub struct CopyRecord<'r> {
    #[serde(flatten)]
    provenance: Provenance,
    copy: u32,
    drawn: Map<String, Value>,
    no_clock: Option<String>,
    results: Option<&'r Results>,
}

/// One copy for JSON; `results`: those of its prediction, `None` where its print leaves no clock.
#[must_use]
pub fn copy_record<'r>(
    provenance: Provenance,
    inputs: &[Input],
    copy: &PrintedCopy,
    results: Option<&'r Results>,
) -> CopyRecord<'r> {
    let drawn = inputs
        .iter()
        .zip(&copy.drawn)
        .map(|(input, &value)| (input_key(input), InputUnit::of(input).shown(value).into()))
        .collect();
    let no_clock = failing_reason(copy).filter(|_| results.is_none());
    CopyRecord { provenance, copy: copy.number, drawn, no_clock, results }
}
