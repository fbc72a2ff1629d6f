//! Friction reserves of the mean clock and of some of its copies.

use crate::answers::friction_reserve::{FrictionReserve, KnownReserve, friction_reserve};
use crate::answers::no_answer::NoAnswer;
use crate::study::parallel::each_of;

use super::Run;
use super::copy::PrintedCopy;
use super::plan::place;
use super::statistics::{Percentiles, percentiles, sorted};

/// Copies whose reserve is looked for: a reserve costs as much as a good many copies.
pub const RESERVE_COPIES: usize = 40;

/// Friction reserves.
#[derive(Debug, Clone, PartialEq)]
pub struct SpreadReserves {
    /// That of the mean clock.
    pub mean: Result<FrictionReserve, NoAnswer>,
    /// Copies asked: the first that count and keep going.
    pub copies: usize,
    /// Their percentiles, infinite where no factor stops a copy; `None` of no copy.
    pub percentiles: Option<Percentiles>,
}

impl SpreadReserves {
    /// Those of a run with its copies.
    #[must_use]
    pub fn of(run: &Run<'_>, copies: &[PrintedCopy]) -> Self {
        let count = run.inputs.len();
        let asked: Vec<u32> = copies
            .iter()
            .filter(|copy| copy.keeps_going() && place(copy.number, count).1.counts())
            .map(|copy| copy.number)
            .take(RESERVE_COPIES)
            .collect();
        let mean = friction_reserve(run.design, run.mean());
        let known = mean.as_ref().ok().and_then(|&mean| KnownReserve::of(run.design, run.mean(), mean));
        let found = each_of(&asked, |&number| run.friction_reserve(number, known.as_ref()).ok());
        let factors = sorted(found.iter().flatten().map(|reserve| reserve.factor().unwrap_or(f64::INFINITY)));
        Self { mean, copies: factors.len(), percentiles: percentiles(&factors) }
    }
}
