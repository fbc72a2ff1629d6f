//! Which quantity to change: what a step of each does to rate, amplitude, least drive, margin and run time.

pub mod answers;
pub mod slope;
pub mod steps;

use crate::answers::no_answer::NoAnswer;
use crate::clock::build::BuildError;
use crate::clock::design::Design;
use crate::clock::environment::InRoom;
use crate::scenario::Scenario;

use super::jobs::{Watch, each};
use super::levers::answers::{ClockAnswers, LeverAnswer, LeverAnswers, clock_answers};
use super::levers::slope::{ShareValues, Slope, slope};
use super::levers::steps::{NoLever, SteppedQuantity, quantities};
use super::prepare::under;
use super::setter::Setter;

/// One side of a lever.
#[derive(Debug, Clone, PartialEq)]
pub struct StepEffect {
    /// Change of every answer by one whole step; rate s/day, amplitude rad, drive kg or N m, run time s.
    pub change: LeverAnswers,
    /// Why answers are missing.
    pub missing: Option<NoAnswer>,
}

/// A quantity and what it moves.
#[derive(Debug, Clone, PartialEq)]
pub struct Lever {
    /// The quantity and its step.
    pub quantity: SteppedQuantity,
    /// One step up.
    pub up: StepEffect,
    /// One step down.
    pub down: StepEffect,
    /// Derivative of every answer by steps; `None` for whole numbers and where there is none.
    pub slopes: [Option<Slope>; LeverAnswer::ALL.len()],
}

/// All levers of a scenario.
#[derive(Debug, Clone, PartialEq)]
pub struct Levers {
    /// The scenario's own answers; without a train the rate is 0, relative to its own period.
    pub today: LeverAnswers,
    /// Its own point.
    pub point: ClockAnswers,
    /// Levers in the order of the scenario; those not reached when the study was stopped are missing.
    pub levers: Vec<Lever>,
    /// Numbers of the scenario without a step.
    pub left_out: Vec<NoLever>,
    /// Levers that there would be.
    pub count: usize,
}

impl Levers {
    /// Levers by falling effect on an answer: first those with a step that stops the clock where the answer needs it going, then by
    /// the larger change of one step up or down, last those without an effect. Ties keep the order of the scenario.
    #[must_use]
    pub fn ranked(&self, answer: LeverAnswer) -> Vec<&Lever> {
        let mut ranked: Vec<&Lever> = self.levers.iter().collect();
        let weight = |lever: &Lever| if lever.stops(answer) { f64::INFINITY } else { lever.effect(answer) };
        ranked.sort_by(|a, b| weight(b).total_cmp(&weight(a)));
        ranked
    }
}

impl Lever {
    /// The larger change of an answer by one step up or down, absolute; 0 where there is none.
    #[must_use]
    pub fn effect(&self, answer: LeverAnswer) -> f64 {
        let change = |side: &StepEffect| side.change[answer.index()].map_or(0.0, f64::abs);
        change(&self.up).max(change(&self.down))
    }

    /// Whether a step either way stops a clock that goes, so that it has no such answer.
    #[must_use]
    pub fn stops(&self, answer: LeverAnswer) -> bool {
        matches!(answer, LeverAnswer::Rate | LeverAnswer::Amplitude)
            && [&self.up, &self.down].iter().any(|side| matches!(side.missing, Some(NoAnswer::Stops(_))))
    }

    /// Whether a step either way changes any answer or stops the clock.
    #[must_use]
    pub fn moves(&self, today: &LeverAnswers) -> bool {
        LeverAnswer::ALL.iter().any(|&answer| self.stops(answer) || self.effect(answer) > resolution(answer, today))
    }

    /// Whether no answer is known one step either way.
    #[must_use]
    pub fn has_no_answer(&self) -> bool {
        [&self.up, &self.down].iter().all(|side| {
            matches!(side.missing, Some(NoAnswer::Refused(_) | NoAnswer::Build(_)))
                && side.change.iter().all(Option::is_none)
        })
    }

    /// Elasticity of an answer: its relative change per relative change of the quantity. Of the rate it is that of the clock's speed,
    /// for the rate itself may be 0. `None` without a settled slope, for a quantity of 0 and for temperatures.
    #[must_use]
    pub fn elasticity(&self, answer: LeverAnswer, today: &LeverAnswers) -> Option<f64> {
        let (per_step, own) = (self.slopes[answer.index()]?.settled()?, today[answer.index()]?);
        let own = if answer == LeverAnswer::Rate { crate::clock::SECONDS_PER_DAY + own } else { own };
        let elasticity = per_step * self.quantity.number / self.quantity.step / own;
        (self.quantity.from_zero && self.quantity.number != 0.0 && elasticity.is_finite()).then_some(elasticity)
    }
}

/// Accuracy of an answer, in its own measure: the least drive and the margin are found to 1e-5, the amplitude and the period much
/// better.
#[must_use]
pub fn resolution(answer: LeverAnswer, today: &LeverAnswers) -> f64 {
    let own = today[answer.index()].unwrap_or(0.0).abs();
    match answer {
        LeverAnswer::Rate => 1e-6,
        LeverAnswer::Amplitude => 1e-9 * own,
        LeverAnswer::Least | LeverAnswer::Margin => 1e-5 * own,
        LeverAnswer::RunTime => 1e-12 * own,
    }
}

/// Answers less than this, as a share of the answer (for the rate s/day), count as none where a slope is to settle.
const NEGLIGIBLE: f64 = 1e-4;

/// Steps at which a lever is tried, as shares of the maker's: the smaller ones only where the slope has not settled.
const SHARES: [f64; 4] = [1.0, 0.5, 0.25, 0.125];

/// The levers of a scenario; the same numbers on any number of threads.
///
/// Every quantity is changed by one step and half a step up and down, and the answers found anew each time through the limit
/// cycle, the least drive and the drive's model. Derivatives are central differences with Richardson's extrapolation, checked by
/// the next smaller step (`study::levers::slope`).
///
/// # Errors
/// [`BuildError`] of the scenario itself.
pub fn levers(scenario: &Scenario, watch: &dyn Watch) -> Result<Levers, BuildError> {
    let (quantities, left_out) = quantities(scenario);
    let moved = |number: usize, steps: f64| {
        let quantity: &SteppedQuantity = &quantities[number];
        under(scenario, &[quantity.setting(steps)]).map(|scenario| scenario.in_room())
    };
    let found = tried(&scenario.in_room(), &quantities, &moved, watch)?;
    Ok(Levers { left_out, ..found })
}

/// A quantity of a design that is tried as a lever.
#[derive(Clone)]
pub struct DesignQuantity<'a> {
    /// The quantity, its value in the design and its step.
    pub quantity: SteppedQuantity,
    /// Gives a design a value of it, in the quantity's own unit.
    pub set: &'a Setter<'a>,
}

/// The levers of a design in balance with the air of its place; no numbers are left out.
///
/// | argument | meaning |
/// |---|---|
/// | `quantities` | what is tried, each with its step and its setter; the levers keep this order |
/// | `watch` | is told of the jobs, and may stop them |
///
/// The same numbers as [`levers`] gives for the same quantities and steps, on any number of threads. A setter that refuses leaves
/// that side of its lever without answers, with the reason.
///
/// # Errors
/// [`BuildError`] of the design itself.
pub fn levers_of(design: &Design, quantities: &[DesignQuantity<'_>], watch: &dyn Watch) -> Result<Levers, BuildError> {
    let moved = |number: usize, steps: f64| {
        let DesignQuantity { quantity, set } = &quantities[number];
        set(design, quantity.number_at(steps)).map(|design| InRoom::at_home(&design))
    };
    let stepped: Vec<SteppedQuantity> = quantities.iter().map(|quantity| quantity.quantity.clone()).collect();
    tried(&InRoom::at_home(design), &stepped, &moved, watch)
}

/// The clock with one quantity, by its place in the list, so many steps away, or why there is none.
type Moved<'a> = dyn Fn(usize, f64) -> Result<InRoom, String> + Sync + 'a;

/// The levers of a clock in its room.
fn tried(
    in_room: &InRoom,
    quantities: &[SteppedQuantity],
    moved: &Moved<'_>,
    watch: &dyn Watch,
) -> Result<Levers, BuildError> {
    let own = clock_answers(in_room)?;
    let today = own.answers(own.period_s);
    let numbers: Vec<usize> = (0..quantities.len()).collect();
    let found = each(&numbers, "quantities", watch, |&number| {
        let at = |steps: f64| answers_at(moved(number, steps), own.period_s);
        lever(&quantities[number], &today, &at)
    });
    let levers = found.into_iter().flatten().collect();
    Ok(Levers { today, point: own, levers, left_out: Vec::new(), count: quantities.len() })
}

/// One lever. `at`: the answers so many steps away, and why some are missing.
fn lever(
    quantity: &SteppedQuantity,
    today: &LeverAnswers,
    at: &dyn Fn(f64) -> (LeverAnswers, Option<NoAnswer>),
) -> Lever {
    let (up, down) = (at(SHARES[0]), at(-SHARES[0]));
    let mut values: Vec<ShareValues> = vec![ShareValues { share: SHARES[0], above: up.0, below: down.0 }];
    let mut slopes = [None; LeverAnswer::ALL.len()];
    if !quantity.whole {
        for &share in &SHARES[1..] {
            values.push(ShareValues { share, above: at(share).0, below: at(-share).0 });
            for answer in LeverAnswer::ALL {
                let small = if answer == LeverAnswer::Rate { 1.0 } else { today[answer.index()].unwrap_or(0.0).abs() };
                let noise = resolution(answer, today);
                slopes[answer.index()] = slope(&values, answer.index(), today, noise, NEGLIGIBLE * small);
            }
            let open = |answer: &LeverAnswer| {
                let slope = slopes[answer.index()];
                today[answer.index()].is_some() && slope.is_none_or(|slope| slope.settled().is_none())
            };
            if !LeverAnswer::ALL.iter().any(open) {
                break;
            }
        }
    }
    let side = |(answers, missing): (LeverAnswers, Option<NoAnswer>)| StepEffect {
        change: std::array::from_fn(|index| answers[index].zip(today[index]).map(|(there, here)| there - here)),
        missing,
    };
    Lever { quantity: quantity.clone(), up: side(up), down: side(down), slopes }
}

/// The answers of a clock that was changed, if there is one.
fn answers_at(moved: Result<InRoom, String>, reference_period_s: Option<f64>) -> (LeverAnswers, Option<NoAnswer>) {
    let moved = match moved {
        Ok(moved) => moved,
        Err(reason) => return ([None; LeverAnswer::ALL.len()], Some(NoAnswer::Refused(reason))),
    };
    match clock_answers(&moved) {
        Ok(found) => (found.answers(reference_period_s), found.missing),
        Err(error) => ([None; LeverAnswer::ALL.len()], Some(NoAnswer::Build(error))),
    }
}
