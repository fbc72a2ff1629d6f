//! Candidates that were asked, and those known from an earlier search.

use std::collections::HashMap;

use crate::numerics::search::GridPoint;

use super::figures::ClockFigures;

/// A candidate and what was found of it.
#[derive(Debug, Clone, PartialEq)]
pub struct TriedDesign {
    /// Number of the value of each quantity.
    pub point: GridPoint,
    /// Its numbers, or why there is no such clock.
    pub found: Result<ClockFigures, String>,
}

/// Candidates found before, by their points.
#[derive(Debug, Clone, Default)]
pub struct KnownCandidates {
    by_point: HashMap<GridPoint, Result<ClockFigures, String>>,
}

impl KnownCandidates {
    /// Those of an earlier search.
    #[must_use]
    pub fn of(candidates: Vec<TriedDesign>) -> Self {
        Self { by_point: candidates.into_iter().map(|candidate| (candidate.point, candidate.found)).collect() }
    }

    /// What was found at a point.
    #[must_use]
    pub fn get(&self, point: &[u32]) -> Option<&Result<ClockFigures, String>> {
        self.by_point.get(point)
    }

    /// How many there are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.by_point.len()
    }
}
