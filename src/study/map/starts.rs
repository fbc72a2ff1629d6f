//! Start arcs as an axis of a map: one gain scan answers for all of them.

use super::Outcome;
use super::grid::{Grid, GridAxis};
use crate::answers::solve::{Scanned, Solver};
use crate::answers::start_basins::AnswerRange;
use crate::answers::verdict::Verdict;

/// Start arcs of an axis.
pub(in crate::study) struct Starts<'a> {
    axis: &'a GridAxis,
    /// Arcs that the clock gets, rad, or why it gets none.
    pub arcs: Vec<Result<f64, String>>,
}

impl<'a> Starts<'a> {
    pub fn of(grid: &'a Grid<'_>, number: usize) -> Self {
        let axis = &grid.axes[number];
        let arc = |&value: &f64| {
            (grid.clock_at)(&[(number, value)])?.start_arc_rad.ok_or_else(|| "there is no start arc".to_owned())
        };
        Self { axis, arcs: axis.values.iter().map(arc).collect() }
    }

    /// What the starts end in, rad; empty where none of them can be.
    pub fn basins(&self, scanned: &Scanned<'_>) -> Vec<AnswerRange<Verdict>> {
        let good = |arc: &&Result<f64, String>| arc.is_ok();
        match (self.arcs.iter().find(good), self.arcs.iter().rev().find(good)) {
            (Some(Ok(low)), Some(Ok(high))) => scanned.basins(*low, *high),
            _ => Vec::new(),
        }
    }

    /// The same in the axis's unit, over the whole axis, neighbours with one outcome joined.
    pub fn in_units(&self, basins: &[AnswerRange<Verdict>]) -> Vec<AnswerRange<Outcome>> {
        let Some(first) = self.arcs.iter().position(Result::is_ok) else {
            return self.without_clock("this start arc is not possible");
        };
        let last = self.arcs.iter().rposition(Result::is_ok).unwrap_or(first);
        let per_unit = self.axis.si_per_unit.unwrap_or(1.0);
        let none = |from: usize, to: usize, why: usize| {
            let reason = self.arcs[why].as_ref().err().cloned().unwrap_or_default();
            AnswerRange { from: self.axis.values[from], to: self.axis.values[to], answer: Outcome::NoClock(reason) }
        };
        let mut found: Vec<AnswerRange<Outcome>> = Vec::new();
        if first > 0 {
            found.push(none(0, first, 0));
        }
        for (number, stretch) in basins.iter().enumerate() {
            let from = if number == 0 { self.axis.values[first] } else { stretch.from / per_unit };
            let to = if number + 1 == basins.len() { self.axis.values[last] } else { stretch.to / per_unit };
            let answer = Outcome::of(&stretch.answer);
            match found.last_mut().filter(|before| before.answer.alike(&answer)) {
                Some(before) => before.to = to,
                None => found.push(AnswerRange { from, to, answer }),
            }
        }
        if last + 1 < self.axis.values.len() {
            found.push(none(last, self.axis.values.len() - 1, self.axis.values.len() - 1));
        }
        found
    }

    /// One stretch without a clock.
    pub fn without_clock(&self, reason: &str) -> Vec<AnswerRange<Outcome>> {
        let (Some(&from), Some(&to)) = (self.axis.values.first(), self.axis.values.last()) else { return Vec::new() };
        vec![AnswerRange { from, to, answer: Outcome::NoClock(reason.to_owned()) }]
    }

    /// What becomes of the clock at values of the other axes from every start of the axis.
    pub fn outcomes(&self, grid: &Grid<'_>, set: &[(usize, f64)]) -> Vec<AnswerRange<Outcome>> {
        let basins = grid.built_at(set).and_then(|(_, built)| {
            let scanned = Solver::new(&built).scan().map_err(|error| error.to_string())?;
            Ok(self.in_units(&self.basins(&scanned)))
        });
        basins.unwrap_or_else(|reason| self.without_clock(&reason))
    }
}
