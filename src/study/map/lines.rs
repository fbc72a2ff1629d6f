//! Where exactly a map's clock stops: lines along one axis whose changes are solved, more of them where the lines differ.

use crate::answers::start_basins::{AnswerRange, answer_ranges};
use crate::study::jobs::{Watch, each};

use super::grid::{Grid, Role};
use super::starts::Starts;
use super::{Line, MapRow, Outcome};

/// Accuracy of a change along a drive's axis, as a share of the axis's upper end: that of the least drive itself.
const DRIVE_SHARE: f64 = 1e-5;

/// Accuracy of a change along any other axis, as a share of its range.
const RANGE_SHARE: f64 = 1e-3;

/// Neighbouring lines of which one keeps going where the other stops lie no further apart than this share of the range, where a line is one gain scan and where
/// it is as many as the axis has values.
const APART: (f64, f64) = (1e-3, 5e-3);

/// Lines added in one round at most.
const MOST_ADDED: usize = 64;

/// How far beside the least drive a line or sample is put to have its change in between, relative.
const BESIDE: f64 = 2e-5;

/// Where lines run and through what.
pub(in crate::study) struct Course<'a> {
    pub grid: &'a Grid<'a>,
    /// The axis along which the lines run.
    pub along: usize,
    pub starts: Option<&'a Starts<'a>>,
    /// Bare least drives by the value of the third axis.
    pub least: &'a [(f64, f64)],
}

impl Course<'_> {
    fn values(&self, axis: usize) -> &[f64] {
        &self.grid.axes[axis].values
    }

    fn across(&self) -> Option<usize> {
        (0..self.grid.axes.len()).find(|&axis| axis != self.along)
    }

    /// Accuracy of the ends of stretches, in the axis's unit.
    pub fn tolerance(&self) -> f64 {
        let values = self.values(self.along);
        let (low, high) = (values.first().copied().unwrap_or(0.0), values.last().copied().unwrap_or(0.0));
        if self.starts.is_some() {
            crate::answers::start_basins::START_TOLERANCE_RAD / self.grid.axes[self.along].si_per_unit.unwrap_or(1.0)
        } else if self.grid.axes[self.along].role == Role::Drive {
            DRIVE_SHARE * high.abs()
        } else {
            RANGE_SHARE * (high - low)
        }
    }

    /// The line at a value of the other axis. `known`: outcomes at the values along it, looked for where there are none.
    fn line(&self, at: Option<f64>, known: Option<Vec<(f64, Outcome)>>) -> Line {
        let fixed: Vec<(usize, f64)> = self.across().zip(at).into_iter().collect();
        if let Some(starts) = self.starts {
            return Line { at: at.unwrap_or(0.0), stretches: starts.outcomes(self.grid, &fixed) };
        }
        let ask = |value: f64| {
            let set: Vec<(usize, f64)> = fixed.iter().copied().chain([(self.along, value)]).collect();
            self.grid.outcome_at(&set)
        };
        let mut samples =
            known.unwrap_or_else(|| self.values(self.along).iter().map(|&value| (value, ask(value))).collect());
        if self.grid.axes[self.along].role == Role::Drive
            && let Some(&(_, least)) = self.least.iter().find(|least| least.0 == at.unwrap_or(0.0))
        {
            for value in [least * (1.0 - BESIDE), least * (1.0 + BESIDE)] {
                let place = samples.partition_point(|sample| sample.0 < value);
                if place > 0 && place < samples.len() {
                    samples.insert(place, (value, ask(value)));
                }
            }
        }
        let tolerance = self.tolerance();
        let stretches = answer_ranges(samples, |_, _| tolerance, ask, Outcome::alike);
        Line { at: at.unwrap_or(0.0), stretches }
    }

    /// All lines, by rising value of the other axis. `given`: those already known by value of the other axis.
    pub fn lines(
        &self,
        given: Vec<Option<Vec<AnswerRange<Outcome>>>>,
        rows: &[MapRow],
        watch: &dyn Watch,
    ) -> Vec<Line> {
        let Some(across) = self.across() else {
            return match (given.into_iter().next().flatten(), self.starts) {
                (Some(stretches), Some(_)) => vec![Line { at: 0.0, stretches }],
                (None, Some(_)) => Vec::new(),
                _ => vec![self.line(None, Some(self.samples(rows, None)))],
            };
        };
        let mut lines: Vec<Line> = if self.starts.is_some() {
            let values = self.values(across).iter();
            values.zip(given).filter_map(|(&at, stretches)| Some(Line { at, stretches: stretches? })).collect()
        } else {
            let line = |at: &f64| {
                let samples = self.samples(rows, Some((across, *at)));
                (samples.len() > 1 || self.values(self.along).len() == 1).then(|| self.line(Some(*at), Some(samples)))
            };
            each(self.values(across), "lines", watch, line).into_iter().flatten().flatten().collect()
        };
        if self.grid.axes[across].role == Role::Drive {
            let beside = self.least.iter().flat_map(|least| [least.1 * (1.0 - BESIDE), least.1 * (1.0 + BESIDE)]);
            let (low, high) = (lines.first().map_or(0.0, |line| line.at), lines.last().map_or(0.0, |line| line.at));
            let beside: Vec<f64> = beside.filter(|at| (low..=high).contains(at)).collect();
            self.add(&mut lines, &beside, watch);
        }
        let range = self.values(across).last().copied().unwrap_or(0.0) - self.values(across)[0];
        let apart = range * if self.starts.is_some() { APART.0 } else { APART.1 };
        while !watch.stopped() {
            let between: Vec<f64> = lines
                .windows(2)
                .filter(|pair| pair[1].at - pair[0].at > apart && going(&pair[0]) != going(&pair[1]))
                .map(|pair| 0.5 * (pair[0].at + pair[1].at))
                .take(MOST_ADDED)
                .collect();
            if between.is_empty() {
                break;
            }
            self.add(&mut lines, &between, watch);
        }
        lines
    }

    fn add(&self, lines: &mut Vec<Line>, at: &[f64], watch: &dyn Watch) {
        lines.extend(each(at, "lines", watch, |&at| self.line(Some(at), None)).into_iter().flatten());
        lines.sort_by(|a, b| a.at.total_cmp(&b.at));
    }

    /// Outcomes along the axis that are known from the grid.
    fn samples(&self, rows: &[MapRow], at: Option<(usize, f64)>) -> Vec<(f64, Outcome)> {
        let value = |row: &MapRow, axis: usize| if axis == 0 { row.x } else { row.y.unwrap_or(0.0) };
        rows.iter()
            .filter(|row| at.is_none_or(|(axis, at)| value(row, axis) == at))
            .map(|row| (value(row, self.along), row.outcome.clone()))
            .collect()
    }
}

/// Whether the clock keeps going in each stretch of a line, neighbours alike taken together: where the reason of a stop changes
/// matters less than where it stops.
fn going(line: &Line) -> Vec<bool> {
    let mut going: Vec<bool> = line.stretches.iter().map(|stretch| stretch.answer == Outcome::KeepsGoing).collect();
    going.dedup();
    going
}

/// Whether the same outcomes follow one another along both lines.
#[must_use]
pub fn same_course(one: &Line, other: &Line) -> bool {
    one.stretches.len() == other.stretches.len()
        && one.stretches.iter().zip(&other.stretches).all(|(a, b)| a.answer.alike(&b.answer))
}
