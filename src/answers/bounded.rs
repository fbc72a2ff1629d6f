//! Questions answered in bounded work.

use crate::dynamics::budget::{MOST_STRETCHES_A_QUESTION, within};

use super::no_answer::NoAnswer;
use super::verdict::{Reason, Verdict};

/// The answer, and whether the work that a question may take was used up before it.
pub(super) fn bounded<T>(answer: impl FnOnce() -> T) -> (T, bool) {
    within(MOST_STRETCHES_A_QUESTION, answer)
}

/// The answer, or that it does not come within the work that a question may take.
///
/// # Errors
/// Those of the answer; [`NoAnswer::Stops`] with [`Reason::NotSettled`].
pub(super) fn bounded_answer<T>(answer: impl FnOnce() -> Result<T, NoAnswer>) -> Result<T, NoAnswer> {
    let (found, used_up) = bounded(answer);
    if used_up { Err(NoAnswer::Stops(Reason::NotSettled)) } else { found }
}

/// A verdict that says nothing of a clock whose probes were cut short, unless it keeps going.
pub(super) const fn of_probes(verdict: Verdict, cut_short: bool) -> Verdict {
    match verdict {
        Verdict::Stops(_, failure) if cut_short => Verdict::Stops(Reason::NotSettled, failure),
        _ => verdict,
    }
}
