//! The work that one question may take: stretches of motion, each one power series.
//!
//! Every loop that asks the motion ends by itself, but not always soon: a period may have thousands of stretches, a turn of a wheel
//! whose teeth differ as many periods as it has teeth, and a verdict thousands of turns. The count belongs to the thread that answers,
//! for a question is answered on one thread whatever runs beside it, and the same question takes the same count every time.

use std::cell::Cell;

/// Stretches after which a question is given up, for each period of what comes again: a swing that wanders is followed for four
/// thousand of them, each of about a hundred stretches, and this is ten times as many.
pub const MOST_STRETCHES_A_QUESTION: u64 = 4_000_000;

thread_local! {
    /// Stretches left to the question that this thread answers; `None` where nobody counts.
    static LEFT: Cell<Option<u64>> = const { Cell::new(None) };
}

/// Answers a question within `stretches` of motion; whether they were used up, after which every motion stops at once with
/// [`StopReason::OutOfWork`](super::StopReason::OutOfWork). A question within another draws on the other's.
pub fn within<T>(stretches: u64, answer: impl FnOnce() -> T) -> (T, bool) {
    let counted = Counted { outermost: LEFT.get().is_none() };
    if counted.outermost {
        LEFT.set(Some(stretches));
    }
    let found = answer();
    (found, LEFT.get() == Some(0))
}

/// Ends the count with the question, however that ends.
struct Counted {
    outermost: bool,
}

impl Drop for Counted {
    fn drop(&mut self) {
        if self.outermost {
            LEFT.set(None);
        }
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
