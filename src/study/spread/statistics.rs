//! What many copies come to.

use crate::clock::drive_level::DriveLevel;
use crate::numerics::indices::{Block, IntervalEstimate, SobolIndex, sobol_indices};
use crate::numerics::intervals::{QuantileBounds, quantile, quantile_bounds, wilson};

use super::Run;
use super::copy::PrintedCopy;
use super::inputs::Input;
use super::plan::{Draw, place};
use super::reserves::SpreadReserves;

/// Shares of the copies at which the answers are told.
pub const PERCENTILES: [f64; 4] = [0.05, 0.5, 0.95, 0.99];

/// An answer at each of [`PERCENTILES`]; infinite where so many copies have none however heavy the weight.
pub type Percentiles = [f64; 4];

/// What the copies come to. Shares and percentiles are those of the copies drawn by themselves.
#[derive(Debug, Clone, PartialEq)]
pub struct Statistics {
    /// Copies that have results.
    pub copies: usize,
    /// Those of them that count in shares and percentiles.
    pub counted: usize,
    /// Share that keeps going under the scenario's own drive.
    pub going: IntervalEstimate,
    /// Share that keeps going with the margin asked for.
    pub meeting_margin: IntervalEstimate,
    /// Least weight, kg, or torque, N m; of all counted copies.
    pub least_drive: Percentiles,
    /// Rate, s/day; of those that keep going.
    pub rate_s_per_day: Option<Percentiles>,
    /// Semi-arc, rad; of those that keep going.
    pub semi_arc_rad: Option<Percentiles>,
    /// Run time, s; of those that keep going.
    pub run_time_s: Option<Percentiles>,
    /// Share of copies asked for.
    pub share: f64,
    /// Least drive that makes this share go.
    pub drive_for_share: QuantileBounds,
    /// The scenario's own drive.
    pub own_drive: Option<DriveLevel>,
    /// By how much all frictions may grow.
    pub friction_reserves: SpreadReserves,
    /// What explains the least drive, the rate and the semi-arc.
    pub explained: Vec<Explained>,
}

/// An answer of which the variance is explained.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SpreadAnswer {
    /// Least weight or torque.
    LeastDrive,
    /// Rate.
    Rate,
    /// Semi-arc.
    SemiArc,
}

/// Which inputs explain the variance of an answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Explained {
    /// The answer.
    pub answer: SpreadAnswer,
    /// Blocks all copies of which have it.
    pub blocks: usize,
    /// Blocks left out, because a copy of theirs has no such answer.
    pub left_out: usize,
    /// Indices in the order of the inputs; `None` with too few blocks or without variance.
    pub indices: Option<Vec<SobolIndex>>,
}

/// The statistics of some copies; `None` of no copy that counts. `share` between 0 and 1.
#[must_use]
pub fn statistics(run: &Run<'_>, copies: &[PrintedCopy], share: f64) -> Option<Statistics> {
    let count = run.inputs.len();
    let counted: Vec<&PrintedCopy> = copies.iter().filter(|copy| place(copy.number, count).1.counts()).collect();
    let going = wilson(counted.iter().filter(|copy| copy.keeps_going()).count(), counted.len())?;
    let meeting_margin = wilson(counted.iter().filter(|copy| copy.meets_margin()).count(), counted.len())?;
    let least = sorted(counted.iter().map(|copy| copy.least_drive()));
    let of_swing = |pick: fn(&PrintedCopy) -> Option<f64>| percentiles(&sorted(counted.iter().filter_map(|c| pick(c))));
    let explained = [SpreadAnswer::LeastDrive, SpreadAnswer::Rate, SpreadAnswer::SemiArc]
        .into_iter()
        .map(|answer| explained(answer, &run.inputs, copies, run.seed))
        .collect();
    Some(Statistics {
        copies: copies.len(),
        counted: counted.len(),
        going,
        meeting_margin,
        least_drive: percentiles(&least)?,
        rate_s_per_day: of_swing(|copy| copy.swing()?.rate_s_per_day),
        semi_arc_rad: of_swing(|copy| Some(copy.swing()?.semi_arc_rad)),
        run_time_s: of_swing(|copy| copy.outcome.as_ref().ok()?.run_time_s),
        share,
        drive_for_share: quantile_bounds(&least, share)?,
        own_drive: run.mean().own_drive(),
        friction_reserves: SpreadReserves::of(run, copies),
        explained,
    })
}

pub(super) fn sorted(values: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut values: Vec<f64> = values.collect();
    values.sort_by(f64::total_cmp);
    values
}

pub(super) fn percentiles(sorted: &[f64]) -> Option<Percentiles> {
    let mut found = [0.0; 4];
    for (place, share) in found.iter_mut().zip(PERCENTILES) {
        *place = quantile(sorted, share)?;
    }
    Some(found)
}

fn value(answer: SpreadAnswer, copy: &PrintedCopy) -> Option<f64> {
    match answer {
        SpreadAnswer::LeastDrive => Some(copy.least_drive()).filter(|least| least.is_finite()),
        SpreadAnswer::Rate => copy.swing()?.rate_s_per_day,
        SpreadAnswer::SemiArc => Some(copy.swing()?.semi_arc_rad),
    }
}

fn explained(answer: SpreadAnswer, inputs: &[Input], copies: &[PrintedCopy], seed: u32) -> Explained {
    let count = inputs.len();
    let mut blocks = Vec::new();
    let mut left_out = 0;
    let mut members: Vec<&PrintedCopy> = Vec::new();
    for copy in copies {
        match place(copy.number, count).1 {
            Draw::Single => continue,
            Draw::First => members.clear(),
            Draw::Second | Draw::Swapped(_) => {}
        }
        members.push(copy);
        let complete = members.len() == count + 2
            && place(members[0].number, count).1 == Draw::First
            && copy.number == members[0].number + count as u32 + 1;
        if complete {
            match members.iter().map(|copy| value(answer, copy)).collect::<Option<Vec<f64>>>() {
                Some(values) => {
                    blocks.push(Block { first: values[0], second: values[1], swapped: values[2..].to_vec() });
                }
                None => left_out += 1,
            }
        }
    }
    Explained { answer, blocks: blocks.len(), left_out, indices: sobol_indices(&blocks, seed) }
}
