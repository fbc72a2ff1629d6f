//! Candidates that were asked, and those known from an earlier search.

use std::collections::HashMap;

use crate::numerics::search::GridPoint;

use super::figures::ClockFigures;

/// A candidate and what was found of it.
#[derive(Debug, Clone, PartialEq)]
pub struct TriedDesign {
    /// Number of the value of each quantity.
    pub point: GridPoint,
    /// The candidate whose hands' twelve hours stand for its own; `None`: those of the clock as it is.
    pub dial_of: Option<GridPoint>,
    /// Its numbers, or why there is no such clock.
    pub found: Result<ClockFigures, String>,
}

/// Candidates found before, by their points.
#[derive(Debug, Clone, Default)]
pub struct KnownCandidates {
    by_point: HashMap<(Option<GridPoint>, GridPoint), Result<ClockFigures, String>>,
}

impl KnownCandidates {
    /// Those of an earlier search.
    #[must_use]
    pub fn of(candidates: Vec<TriedDesign>) -> Self {
        let known = candidates.into_iter().map(|tried| ((tried.dial_of, tried.point), tried.found));
        Self { by_point: known.collect() }
    }

    /// What was found at a point, with the twelve hours of a candidate.
    #[must_use]
    pub fn get(&self, dial_of: Option<&GridPoint>, point: &GridPoint) -> Option<&Result<ClockFigures, String>> {
        self.by_point.get(&(dial_of.cloned(), point.clone()))
    }

    /// How many there are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.by_point.len()
    }
}
