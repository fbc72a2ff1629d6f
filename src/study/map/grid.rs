//! What a map is computed from: axes, and the clock at their values.

use crate::answers::solve::Solver;
use crate::clock::build::{Built, build};
use crate::clock::environment::InRoom;

use super::Outcome;

/// What a quantity is to the clock, as far as a map goes another way for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// Its drive: one least drive answers for all values.
    Drive,
    /// Its start arc: one gain scan answers for all values.
    StartArc,
    /// Anything else.
    Other,
}

/// A quantity of a map.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::study) struct GridAxis {
    pub role: Role,
    /// Values, rising, in a unit of the axis's own.
    pub values: Vec<f64>,
    /// SI value of one of that unit; `None` where it has none.
    pub si_per_unit: Option<f64>,
}

/// The clock in its room with the axes of these numbers at these values, or why there is none.
pub(in crate::study) type ClockAt<'a> = dyn Fn(&[(usize, f64)]) -> Result<InRoom, String> + Sync + 'a;

/// Axes, one or two, and the clock at their values.
pub(in crate::study) struct Grid<'a> {
    pub axes: Vec<GridAxis>,
    pub clock_at: &'a ClockAt<'a>,
}

impl Grid<'_> {
    /// Number of the axis of a role.
    pub fn axis_of(&self, role: Role) -> Option<usize> {
        self.axes.iter().position(|axis| axis.role == role)
    }

    /// The clock come together, or why there is none.
    pub fn built_at(&self, set: &[(usize, f64)]) -> Result<(InRoom, Built), String> {
        let in_room = (self.clock_at)(set)?;
        let built = build(&in_room).map_err(|error| error.to_string())?;
        Ok((in_room, built))
    }

    /// What the clock does from its own start arc.
    pub fn outcome_at(&self, set: &[(usize, f64)]) -> Outcome {
        let verdict = self.built_at(set).and_then(|(_, built)| {
            Ok(Solver::new(&built).scan().map_err(|error| error.to_string())?.verdict_by_basins())
        });
        verdict.map_or_else(Outcome::NoClock, |verdict| Outcome::of(&verdict))
    }
}
