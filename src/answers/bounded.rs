//! Questions answered in bounded work.

use crate::dynamics::budget::{MOST_STRETCHES_A_QUESTION, within};

use super::no_answer::NoAnswer;
use super::return_map::Clock;
use super::solve::Solver;
use super::verdict::{Reason, Verdict};

/// The answer, and whether the work that a question may take was used up before it: so much for one period after which everything
/// comes again, and as many times more as a whole turn of a wheel has periods whose teeth differ.
pub(super) fn within_periods<T>(periods: usize, answer: impl FnOnce() -> T) -> (T, bool) {
    within(MOST_STRETCHES_A_QUESTION.saturating_mul(periods as u64), answer)
}

impl Solver<'_> {
    /// The answer, and whether the work that a question may take was used up before it.
    pub(super) fn bounded<T>(&self, answer: impl FnOnce() -> T) -> (T, bool) {
        within_periods(self.clock.as_ref().map_or(1, Clock::periods_per_return), answer)
    }

    /// The answer, or that it does not come within the work that a question may take.
    ///
    /// # Errors
    /// Those of the answer; [`NoAnswer::Stops`] with [`Reason::NotSettled`].
    pub(super) fn bounded_answer<T>(&self, answer: impl FnOnce() -> Result<T, NoAnswer>) -> Result<T, NoAnswer> {
        let (found, used_up) = self.bounded(answer);
        if used_up { Err(NoAnswer::Stops(Reason::NotSettled)) } else { found }
    }
}

/// A verdict that says nothing of a clock whose probes were cut short, unless it keeps going.
pub(super) const fn of_probes(verdict: Verdict, cut_short: bool) -> Verdict {
    match verdict {
        Verdict::Stops(_, failure) if cut_short => Verdict::Stops(Reason::NotSettled, failure),
        _ => verdict,
    }
}
