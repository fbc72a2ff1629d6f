//! Which input explains how much of the variance of an output: Sobol indices.

use super::points::drawn_below;

/// One base point: the output where all inputs have their first values, where all have their second ones, and where only
/// input `i` has its second value, for every `i`.
#[derive(Debug, Clone, PartialEq)]
pub struct Block {
    /// Output at the first values.
    pub first: f64,
    /// Output at the second values.
    pub second: f64,
    /// Output with one input swapped, in the order of the inputs.
    pub swapped: Vec<f64>,
}

/// A value with its 95 % interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct IntervalEstimate {
    /// Estimate.
    pub value: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// The indices of one input, shares of the variance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SobolIndex {
    /// What the input explains alone.
    pub first_order: IntervalEstimate,
    /// What it explains together with others too.
    pub total: IntervalEstimate,
}

impl SobolIndex {
    /// The shares as they can be: the total within 0 and 1, what the input explains alone within 0 and the total. Estimates of few base
    /// points leave these bounds, by less than their intervals mostly.
    #[must_use]
    pub fn within_bounds(&self) -> Self {
        let total = self.total.clipped(1.0);
        Self { first_order: self.first_order.clipped(total.value), total }
    }
}

impl IntervalEstimate {
    /// Value and interval within 0 and a largest value.
    fn clipped(self, largest: f64) -> Self {
        let [value, low, high] = [self.value, self.low, self.high].map(|share| share.clamp(0.0, largest));
        Self { value, low, high }
    }
}

/// Fewest base points from which indices are estimated.
pub const FEWEST_BLOCKS: usize = 16;

/// Resamplings behind an interval.
const RESAMPLINGS: u32 = 400;

/// First-order and total Sobol indices of every input; `None` with fewer than [`FEWEST_BLOCKS`] blocks or where the output does
/// not vary.
///
/// A. Saltelli et al., "Variance based sensitivity analysis of model output", Computer Physics Communications 181 (2010), table 2,
/// from memory: first order (b), the mean of `f(B) (f(A_B) - f(A))`, and total (f), Jansen's half mean of `(f(A) - f(A_B))^2`, each
/// over the variance; the output is centred first. Intervals by the bootstrap over base points (percentiles of 400
/// resamplings drawn from `seed`); an estimate below 0 is one of nothing.
#[must_use]
pub fn sobol_indices(blocks: &[Block], seed: u32) -> Option<Vec<SobolIndex>> {
    let inputs = blocks.first()?.swapped.len();
    if blocks.len() < FEWEST_BLOCKS || blocks.iter().any(|block| block.swapped.len() != inputs) {
        return None;
    }
    let found = estimates(blocks.iter(), inputs)?;
    let resampled: Vec<Vec<(f64, f64)>> = (0..RESAMPLINGS)
        .filter_map(|number| {
            let stream = seed.wrapping_add(number.wrapping_mul(0x9e37_79b9));
            let drawn = (0..blocks.len()).map(|draw| &blocks[drawn_below(blocks.len(), draw as u32, stream)]);
            estimates(drawn, inputs)
        })
        .collect();
    let estimate = |value: f64, mut all: Vec<f64>| {
        all.sort_by(f64::total_cmp);
        let at = |share: f64| all.get(((share * all.len() as f64) as usize).min(all.len().saturating_sub(1))).copied();
        IntervalEstimate {
            value,
            low: at(0.025).unwrap_or(value).min(value),
            high: at(0.975).unwrap_or(value).max(value),
        }
    };
    Some(
        found
            .into_iter()
            .enumerate()
            .map(|(input, (first, total))| SobolIndex {
                first_order: estimate(first, resampled.iter().map(|all| all[input].0).collect()),
                total: estimate(total, resampled.iter().map(|all| all[input].1).collect()),
            })
            .collect(),
    )
}

/// First-order and total index of every input; `None` without variance beyond rounding.
fn estimates<'b>(blocks: impl Iterator<Item = &'b Block> + Clone, inputs: usize) -> Option<Vec<(f64, f64)>> {
    let count = blocks.clone().count() as f64;
    let mean = blocks.clone().map(|block| block.first + block.second).sum::<f64>() / (2.0 * count);
    let square = |value: f64| (value - mean) * (value - mean);
    let variance =
        blocks.clone().map(|block| square(block.first) + square(block.second)).sum::<f64>() / (2.0 * count - 1.0);
    if !(variance > 1e-24 * mean * mean && variance.is_finite()) {
        return None;
    }
    Some(
        (0..inputs)
            .map(|input| {
                let (mut first, mut total) = (0.0, 0.0);
                for block in blocks.clone() {
                    let change = block.swapped[input] - block.first;
                    first += (block.second - mean) * change;
                    total += change * change;
                }
                (first / (count * variance), total / (2.0 * count * variance))
            })
            .collect(),
    )
}
