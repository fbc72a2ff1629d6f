//! What a report on tooth counts needs.

use num_rational::Ratio;

use crate::study::counts::{Counts, CountsAsk, CountsRank};

/// What a report on tooth counts is made of.
#[derive(Debug, Clone, Copy)]
pub struct CountsView<'c> {
    /// What was asked.
    pub ask: &'c CountsAsk,
    /// What there is.
    pub counts: &'c Counts,
    /// What the friction between teeth was stated as, where it is the name of a pair.
    pub friction_name: Option<&'c str>,
    /// Row of the train that is written out for a scenario, from 0.
    pub row: usize,
    /// What was asked for, as on the command line.
    pub asked: &'c [String],
}

/// The ratio as a number.
pub(super) fn value(ratio: Ratio<u128>) -> f64 {
    *ratio.numer() as f64 / *ratio.denom() as f64
}

/// The ratio as whole numbers: "60", "160/3".
pub(super) fn exactly(ratio: Ratio<u128>) -> String {
    ratio.to_string()
}

impl CountsView<'_> {
    /// Word for what was ranked by.
    pub(super) const fn rank_word(&self) -> &'static str {
        match self.ask.rank {
            CountsRank::Size => "size",
            CountsRank::Common => "common",
            CountsRank::Equal => "equal",
            CountsRank::Loss => "loss",
        }
    }

    /// What stands first, in words.
    pub(super) const fn rank_in_words(&self) -> &'static str {
        match self.ask.rank {
            CountsRank::Size => "the smallest first",
            CountsRank::Common => "the fewest different gears first",
            CountsRank::Equal => "the most nearly equal ratios first",
            CountsRank::Loss => "the least loss in the teeth first",
        }
    }
}
