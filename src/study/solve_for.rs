//! The value of one quantity of a scenario at which a number of its clock is as asked.

use crate::answers::no_answer::NoAnswer;
use crate::numerics::digits::to_digits;
use crate::numerics::root::solve_bracketed;
use crate::scenario::Scenario;

use super::jobs::{Watch, each};
use super::keyed::{KeyedClock, KeyedNumbers};
use super::map::axis::Axis;
use super::prepare::{prepared, under};

/// Significant digits of a solved value as it is written: far beyond what a workshop measures, and no rounding shows in the number.
const DIGITS: usize = 9;

/// Share of the change over an interval of the scan within which a number counts as taken there, rather than jumped over.
const TAKEN_WITHIN: f64 = 1e-3;

/// The same as a share of the number asked for: a least drive moves by so much of itself from one clock to the next.
const NOISE: f64 = 1e-4;

/// Corrections of a solution with everything of the clock solved anew.
const MOST_CORRECTIONS: usize = 6;

/// What is asked.
#[derive(Clone, Copy)]
pub struct SolveAsk<'a> {
    /// The clock.
    pub scenario: &'a Scenario,
    /// The quantity, with the values at which the number is asked first.
    pub axis: &'a Axis,
    /// The number, the first of these.
    pub number: &'a dyn KeyedNumbers,
    /// What it is to be.
    pub target: f64,
}

/// A solution.
#[derive(Debug, Clone, PartialEq)]
pub struct SolvedValue {
    /// Value of the quantity, in the axis's unit, rounded to nine digits.
    pub value: f64,
    /// What the number is there.
    pub reached: f64,
    /// The other values found, rising, to the accuracy of the search.
    pub others: Vec<f64>,
    /// The scenario's own value and its number, where there are any.
    pub today: (Option<f64>, Option<f64>),
}

/// Why there is no solution.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Unsolved {
    /// The number is missing all over the range.
    #[error("no clock between them has this number: {0}")]
    Nowhere(NoAnswer),
    /// It does not come so far.
    #[error("it is not reached")]
    NotReached {
        /// Where it is least, and what it is there.
        least: (f64, f64),
        /// Where it is largest, likewise.
        most: (f64, f64),
        /// Why it is missing at other values, if it is.
        missing: Option<NoAnswer>,
    },
    /// It jumps over what was asked.
    #[error("it jumps over it")]
    Jumps {
        /// Where.
        at: f64,
        /// What it is on both sides.
        sides: (f64, f64),
    },
    /// The study was stopped.
    #[error("the search was stopped")]
    Interrupted,
}

impl SolveAsk<'_> {
    /// The number at a value of the quantity, or why there is none. `anew`: with all that loading a file solves solved for this very clock,
    /// as whoever predicts the solution will have it.
    fn number_at(&self, value: f64, anew: bool) -> Result<f64, NoAnswer> {
        let setting = [self.axis.set(to_digits(value, DIGITS))];
        let clock = if anew {
            self.scenario
                .with_overrides(&setting)
                .and_then(prepared)
                .map_err(|error| NoAnswer::Refused(error.to_string()))
        } else {
            under(self.scenario, &setting).map_err(NoAnswer::Refused)
        };
        Self::number_of(&clock?, self.number)
    }

    fn number_of(scenario: &Scenario, number: &dyn KeyedNumbers) -> Result<f64, NoAnswer> {
        let clock = KeyedClock::of(scenario, number)?;
        number.of(&clock).first().copied().flatten().ok_or_else(|| clock.why_none())
    }
}

/// The value nearest to the scenario's own (else the least) at which the number is as asked.
///
/// The number is taken at every value of the axis, and wherever two neighbours lie on both sides of what is asked a solution is closed in on
/// by Brent's method. A pair of solutions between two neighbours is not seen. A quantity that is only told from the map by a jump is no
/// solution. The last steps solve everything of each clock anew, so that the file with the value predicts it.
///
/// # Errors
/// [`Unsolved`].
pub fn solve_for(ask: &SolveAsk<'_>, watch: &dyn Watch) -> Result<SolvedValue, Unsolved> {
    let values = ask.axis.values();
    let found = each(&values, "values", watch, |&value| ask.number_at(value, false));
    if found.iter().any(Option::is_none) {
        return Err(Unsolved::Interrupted);
    }
    let found: Vec<Result<f64, NoAnswer>> = found.into_iter().flatten().collect();
    let own = ask.axis.own(ask.scenario);
    let (mut solutions, mut jumps) = (Vec::new(), Vec::new());
    for (ends, numbers) in values.windows(2).zip(found.windows(2)) {
        let (Ok(below), Ok(above)) = (&numbers[0], &numbers[1]) else { continue };
        match between(ask, (ends[0], *below), (ends[1], *above)) {
            Some(Ok(value)) if solutions.last().is_none_or(|&(last, _)| last != value) => {
                solutions.push((value, (above - below) / (ends[1] - ends[0])));
            }
            Some(Err(jump)) => jumps.push(jump),
            _ => {}
        }
    }
    let far = |value: f64| own.map_or(value, |own| (value - own).abs());
    let Some(&(nearest, slope)) = solutions.iter().min_by(|a, b| far(a.0).total_cmp(&far(b.0))) else {
        return Err(jumps.into_iter().next().unwrap_or_else(|| unreached(&values, &found)));
    };
    let ends = (values[0], values[values.len() - 1]);
    let (value, reached) = corrected(ask, nearest, slope, ends)
        .ok_or_else(|| ask.number_at(nearest, true).map_or_else(Unsolved::Nowhere, |_| Unsolved::Interrupted))?;
    let others = solutions
        .iter()
        .map(|&(value, _)| to_digits(value, DIGITS))
        .filter(|&other| other != to_digits(nearest, DIGITS));
    let today = (own, SolveAsk::number_of(ask.scenario, ask.number).ok());
    Ok(SolvedValue { value, reached, others: others.collect(), today })
}

/// The solution between two neighbours of the scan, or that it is jumped over; `None` where the number lies on one side at both, or is
/// missing in between.
fn between(ask: &SolveAsk<'_>, low: (f64, f64), high: (f64, f64)) -> Option<Result<f64, Unsolved>> {
    let (below, above) = (low.1 - ask.target, high.1 - ask.target);
    if !(below * above <= 0.0) {
        return None;
    }
    let mut missing = false;
    let excess = |value: f64| match ask.number_at(value, false) {
        Ok(number) => number - ask.target,
        // Ends the search.
        Err(_) => {
            missing = true;
            0.0
        }
    };
    let accuracy = 10_f64.powi(-(DIGITS as i32)) * low.0.abs().max(high.0.abs());
    let value = solve_bracketed(excess, (low.0, below), (high.0, above), accuracy).ok()?;
    if missing {
        return None;
    }
    let there = ask.number_at(value, false).ok()? - ask.target;
    if there.abs() <= TAKEN_WITHIN * (above - below).abs() + NOISE * ask.target.abs() {
        return Some(Ok(value));
    }
    let sides = [value - 10.0 * accuracy, value + 10.0 * accuracy].map(|value| ask.number_at(value, false));
    let number = |side: &Result<f64, NoAnswer>| side.as_ref().copied().unwrap_or(there + ask.target);
    Some(Err(Unsolved::Jumps { at: to_digits(value, DIGITS), sides: (number(&sides[0]), number(&sides[1])) }))
}

/// The solution with every clock solved anew, by secants from the slope of the scan, and the number there; `None` where a clock has none.
fn corrected(ask: &SolveAsk<'_>, near: f64, slope: f64, (low, high): (f64, f64)) -> Option<(f64, f64)> {
    let start = to_digits(near, DIGITS);
    let mut best = (start, ask.number_at(start, true).ok()?);
    let mut slope = slope;
    let mut here = best;
    for _ in 0..MOST_CORRECTIONS {
        let excess = here.1 - ask.target;
        let next = to_digits(here.0 - excess / slope, DIGITS);
        if excess == 0.0 || !next.is_finite() || next == here.0 || !(low..=high).contains(&next) {
            break;
        }
        let Ok(number) = ask.number_at(next, true) else { break };
        if (number - ask.target).abs() >= (best.1 - ask.target).abs() {
            break;
        }
        slope = (number - here.1) / (next - here.0);
        here = (next, number);
        best = here;
    }
    Some(best)
}

/// Where the number is least and largest, none of it as asked.
fn unreached(values: &[f64], found: &[Result<f64, NoAnswer>]) -> Unsolved {
    let numbers = || values.iter().zip(found).filter_map(|(&value, found)| Some((value, *found.as_ref().ok()?)));
    let missing = found.iter().find_map(|found| found.as_ref().err());
    let least = numbers().min_by(|a, b| a.1.total_cmp(&b.1));
    let most = numbers().max_by(|a, b| a.1.total_cmp(&b.1));
    match (least, most) {
        (Some(least), Some(most)) => Unsolved::NotReached { least, most, missing: missing.cloned() },
        _ => Unsolved::Nowhere(missing.cloned().unwrap_or(NoAnswer::NotAsked)),
    }
}
