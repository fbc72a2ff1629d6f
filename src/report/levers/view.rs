//! What a report on levers needs, and which steps of a lever it shows.

use crate::answers::no_answer::NoAnswer;
use crate::clock::build::Built;
use crate::clock::environment::InRoom;
use crate::study::levers::answers::LeverAnswer;
use crate::study::levers::{Lever, Levers, StepEffect};

/// What a report on levers is made of.
#[derive(Debug, Clone, Copy)]
pub struct LeversView<'t> {
    /// The clock's name.
    pub name: &'t str,
    /// Its levers.
    pub levers: &'t Levers,
    /// Whether it is driven by a weight; else by a torque, or not at all.
    pub by_weight: bool,
    /// Rate per turn of the rating nut that raises the bob, s/day, in closed form.
    pub nut_s_per_day_per_turn: Option<f64>,
    /// The answer that ranks.
    pub by: LeverAnswer,
}

impl<'t> LeversView<'t> {
    /// Levers of a clock that was built, ranked by an answer.
    #[must_use]
    pub fn of(design: &'t InRoom, built: &Built, levers: &'t Levers, by: LeverAnswer) -> Self {
        Self {
            name: &design.name,
            levers,
            by_weight: design.has_weight() && built.prepared_drive.is_some(),
            nut_s_per_day_per_turn: built.pendulum.as_ref().and_then(|report| report.nut_s_per_day_per_turn),
            by,
        }
    }

    /// Key of an answer, with its unit.
    #[must_use]
    pub const fn key(&self, answer: LeverAnswer) -> &'static str {
        match (answer, self.by_weight) {
            (LeverAnswer::Rate, _) => "rate_s_per_day",
            (LeverAnswer::Amplitude, _) => "semi_arc_deg",
            (LeverAnswer::Least, true) => "least_weight_kg",
            (LeverAnswer::Least, false) => "least_torque_n_m",
            (LeverAnswer::Margin, true) => "weight_ratio",
            (LeverAnswer::Margin, false) => "torque_ratio",
            (LeverAnswer::RunTime, _) => "run_time_days",
        }
    }

    /// What the drive has beyond the least one, in short.
    #[must_use]
    pub const fn reserve(&self) -> &'static str {
        if self.by_weight { "weight reserve" } else { "torque reserve" }
    }

    /// An answer in words.
    #[must_use]
    pub const fn words(&self, answer: LeverAnswer) -> &'static str {
        match (answer, self.by_weight) {
            (LeverAnswer::Rate, _) => "rate",
            (LeverAnswer::Amplitude, _) => "semi-arc",
            (LeverAnswer::Least, true) => "least weight",
            (LeverAnswer::Least, false) => "least torque",
            (LeverAnswer::Margin, true) => "weight reserve (weight over least weight)",
            (LeverAnswer::Margin, false) => "torque reserve (torque over least torque)",
            (LeverAnswer::RunTime, _) => "run time",
        }
    }

    /// A change as printed: rate in s/day, semi-arc in degrees, all else in % of the answer; with the unit's name. `None` where there
    /// is no answer.
    #[must_use]
    pub fn shown(&self, answer: LeverAnswer, change: f64) -> Option<(f64, &'static str)> {
        let today = self.levers.today[answer.index()]?;
        let value = match answer {
            LeverAnswer::Rate => (change, "s/day"),
            LeverAnswer::Amplitude => (change.to_degrees(), "deg"),
            LeverAnswer::Least | LeverAnswer::Margin | LeverAnswer::RunTime => (1e2 * change / today, "%"),
        };
        value.0.is_finite().then_some(value)
    }
}

/// Share of the larger effect by which a step down may differ from the mirror of a step up and still not be shown.
const MIRRORED: f64 = 0.5;

/// The sides of a lever that are shown, and whether each is a step up: the one with the answer; of two whose effects on it are about
/// each other's mirror the step up; else both, the larger effect first.
#[must_use]
pub fn shown_sides(lever: &Lever, by: LeverAnswer) -> Vec<(&StepEffect, bool)> {
    let (up, down) = ((&lever.up, true), (&lever.down, false));
    let none = |side: &StepEffect| matches!(side.missing, Some(NoAnswer::Refused(_) | NoAnswer::Build(_)));
    match (none(up.0), none(down.0)) {
        (true, false) => return vec![down],
        (_, true) => return vec![up],
        (false, false) => {}
    }
    match (up.0.change[by.index()], down.0.change[by.index()]) {
        (Some(above), Some(below)) if (above + below).abs() <= MIRRORED * above.abs().max(below.abs()) => vec![up],
        (Some(above), Some(below)) if above.abs() < below.abs() => vec![down, up],
        (Some(_), None) if lever.stops(by) => vec![down, up],
        (None, None) => vec![up],
        _ => vec![up, down],
    }
}
