//! The work that one question may take: stretches of motion, each one power series.
//!
//! Every loop that asks the motion ends by itself, but not always soon: a period may have thousands of stretches, a turn of a wheel
//! whose teeth differ as many periods as it has teeth, and a verdict thousands of turns. The count belongs to the thread that answers,
//! for a question is answered on one thread whatever runs beside it, and the same question takes the same count every time.

use std::cell::Cell;

/// Stretches after which a question is given up, for each period of what comes again. A prediction with hands asks the longest ones, of
/// up to two hundred thousand on the demo clocks and six hundred thousand on odd ones; a swing that wanders is followed for four thousand periods of about fifty each.
pub const MOST_STRETCHES_A_QUESTION: u64 = 2_000_000;

/// Stretches after which a single period is given up, which mostly has fifty and seldom four hundred.
pub const MOST_STRETCHES_A_PERIOD: u64 = 3_000;

/// Whole periods' work that a period given up takes from its question: twenty of them end it.
const GIVEN_UP_COUNTS_AS: u64 = MOST_STRETCHES_A_QUESTION / MOST_STRETCHES_A_PERIOD / 20;

thread_local! {
    /// Stretches left to the question that this thread answers; `None` where nobody counts.
    static LEFT: Cell<Option<u64>> = const { Cell::new(None) };
}

/// Answers a question within `stretches` of motion; whether they were used up, after which every motion of it stops at once with
/// [`StopReason::OutOfWork`](super::StopReason::OutOfWork). A question within another draws on the other's, too, and gets no more than
/// that has left.
pub fn within<T>(stretches: u64, answer: impl FnOnce() -> T) -> (T, bool) {
    let before = LEFT.get();
    let allowed = before.map_or(stretches, |left| left.min(stretches));
    LEFT.set(Some(allowed));
    let counted = Counted { before, allowed };
    let found = answer();
    let used_up = LEFT.get() == Some(0);
    drop(counted);
    (found, used_up)
}

/// Runs one period. One that is given up counts [`GIVEN_UP_COUNTS_AS`] times: where the next twenty are as long nothing is learnt from
/// them, however long the question goes on.
pub(crate) fn within_a_period<T>(run: impl FnOnce() -> T) -> T {
    let (found, used_up) = within(MOST_STRETCHES_A_PERIOD, run);
    if used_up {
        LEFT.set(LEFT.get().map(|left| left.saturating_sub((GIVEN_UP_COUNTS_AS - 1) * MOST_STRETCHES_A_PERIOD)));
    }
    found
}

/// Ends the count with the question, however that ends.
struct Counted {
    before: Option<u64>,
    allowed: u64,
}

impl Drop for Counted {
    fn drop(&mut self) {
        let used = self.allowed - LEFT.get().unwrap_or(0);
        LEFT.set(self.before.map(|left| left - used));
    }
}

/// Takes one stretch; whether there was one left.
pub(super) fn take_one() -> bool {
    match LEFT.get() {
        None => true,
        Some(0) => false,
        Some(left) => {
            LEFT.set(Some(left - 1));
            true
        }
    }
}
