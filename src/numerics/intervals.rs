//! Shares and quantiles of a population from independent samples, with intervals.

use statrs::function::beta::beta_reg;

use super::indices::IntervalEstimate;

/// Quantile of the standard normal distribution that leaves 2.5 % on each side.
pub const NORMAL_95: f64 = 1.959_963_984_540_054;

/// Probability outside of an interval, both sides together.
const OUTSIDE: f64 = 0.05;

/// The share `hits / count` with its 95 % interval; `None` of nothing.
///
/// E. B. Wilson, "Probable inference, the law of succession, and statistical inference", Journal of the American Statistical
/// Association 22 (1927) 209-212; formula from memory.
#[must_use]
pub fn wilson(hits: usize, count: usize) -> Option<IntervalEstimate> {
    if count == 0 || hits > count {
        return None;
    }
    let (n, share) = (count as f64, hits as f64 / count as f64);
    let square = NORMAL_95 * NORMAL_95;
    let middle = (share + 0.5 * square / n) / (1.0 + square / n);
    let half = NORMAL_95 / (1.0 + square / n) * (share * (1.0 - share) / n + 0.25 * square / (n * n)).sqrt();
    // The ends lie at 0 and 1 exactly where all samples agree; rounding may miss them.
    let low = if hits == 0 { 0.0 } else { (middle - half).max(0.0) };
    let high = if hits == count { 1.0 } else { (middle + half).min(1.0) };
    Some(IntervalEstimate { value: share, low, high })
}

/// The value below or at which a `share` of the samples lies: the inverse of the empirical distribution. `sorted` is rising;
/// infinite samples stand for "no value is enough". `None` of nothing.
#[must_use]
pub fn quantile(sorted: &[f64], share: f64) -> Option<f64> {
    let rank = (share * sorted.len() as f64 - 1e-9).ceil().max(1.0) as usize;
    sorted.get(rank.min(sorted.len()).checked_sub(1)?).copied()
}

/// A quantile with its interval, whose ends may be missing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct QuantileBounds {
    /// Estimate.
    pub value: f64,
    /// Lower end; `None` where the samples are too few for one.
    pub low: Option<f64>,
    /// Upper end; `None` where the samples are too few for one.
    pub high: Option<f64>,
}

/// The quantile for a `share` (between 0 and 1) with its distribution-free interval of at least 95 %, from rising samples.
///
/// Its ends are order statistics: the number of samples below the true quantile is binomial. W. J. Conover, "Practical
/// Nonparametric Statistics"; G. J. Hahn and W. Q. Meeker, "Statistical Intervals" (1991), section 5.2; both from memory.
#[must_use]
pub fn quantile_bounds(sorted: &[f64], share: f64) -> Option<QuantileBounds> {
    let value = quantile(sorted, share)?;
    let count = sorted.len();
    // At most `rank` samples below the quantile.
    let chance = |rank: usize| if rank >= count { 1.0 } else { binomial_at_most(rank, count, share) };
    let (mut lower, mut upper) = (0, count);
    // Both limits rise with the rank: bisect for the last rank within the lower and the first within the upper one.
    let mut beyond = count + 1;
    while beyond - lower > 1 {
        let middle = usize::midpoint(lower, beyond);
        if chance(middle - 1) <= 0.5 * OUTSIDE { lower = middle } else { beyond = middle }
    }
    let mut short = 0;
    let enough = chance(count - 1) >= 1.0 - 0.5 * OUTSIDE;
    while enough && upper - short > 1 {
        let middle = usize::midpoint(short, upper);
        if chance(middle - 1) >= 1.0 - 0.5 * OUTSIDE { upper = middle } else { short = middle }
    }
    Some(QuantileBounds {
        value,
        low: lower.checked_sub(1).map(|index| sorted[index]),
        high: enough.then(|| sorted[upper - 1]),
    })
}

/// Samples from which on [`quantile_bounds`] has an upper end for a `share` (between 0 and 1).
#[must_use]
pub fn samples_for_upper_end(share: f64) -> f64 {
    ((0.5 * OUTSIDE).ln() / share.ln()).ceil()
}

/// Probability of at most `hits` hits in `count` (above `hits`) trials that each hit with probability `chance`.
fn binomial_at_most(hits: usize, count: usize, chance: f64) -> f64 {
    beta_reg((count - hits) as f64, hits as f64 + 1.0, 1.0 - chance)
}
