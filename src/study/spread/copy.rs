//! One printed copy and what becomes of it.

use crate::answers::no_answer::NoAnswer;
use crate::answers::prediction::PredictError;
use crate::answers::solve::{Solver, Wanted};
use crate::answers::steady::Steady;
use crate::answers::verdict::Reason;
use crate::answers::wandering::WanderingSwing;
use crate::clock::build::{BuildError, Built};
use crate::clock::design::PendulumDesign;
use crate::clock::drive_level::DriveLevel;
use crate::clock::environment::InRoom;
use crate::clock::escapement::action::Action;
use crate::clock::other_frictions::with_frictions_of;
use crate::clock::printing::reprint::reprinted;
use crate::clock::train::mesh_name::MeshName;
use crate::clock::train::train_made::TrainMade;

use super::foreseen::Foreseen;
use super::inputs::{Input, Making, Varied};
use super::plan::drawn_values;

/// A copy and its results.
#[derive(Debug, Clone, PartialEq)]
pub struct PrintedCopy {
    /// Number, from 1.
    pub number: u32,
    /// Drawn values, SI, in the order of the inputs.
    pub drawn: Vec<f64>,
    /// What became of it, or why it is no clock.
    pub outcome: Result<CopyResult, PredictError>,
}

/// What becomes of a copy that can be built.
#[derive(Debug, Clone, PartialEq)]
pub struct CopyResult {
    /// Bare least drive; `None` where no drive up to a thousand times the present one keeps it going.
    pub least_drive: Option<DriveLevel>,
    /// Why it stops under the scenario's own drive; `None` where it keeps going.
    pub stops: Option<Reason>,
    /// Meshes of the train that jam.
    pub jammed: Vec<MeshName>,
    /// The steady swing, or the mean of one that does not settle; `None` where it stops.
    pub swing: Option<CopySwing>,
    /// Whether the swing has the margin asked for; `None` where it stops.
    pub meets_margin: Option<bool>,
    /// Run from one winding to the next, s; `None` where it stops, and without a weight drive.
    pub run_time_s: Option<f64>,
    /// Lock, lift and drop.
    pub action: Option<Action>,
}

/// The steady swing of a copy.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CopySwing {
    /// Semi-arc, mean of both sides, rad.
    pub semi_arc_rad: f64,
    /// Full period, s.
    pub period_s: f64,
    /// Rate, s/day, positive gains; `None` without a train.
    pub rate_s_per_day: Option<f64>,
}

impl PrintedCopy {
    /// Whether it keeps going under the scenario's own drive.
    #[must_use]
    pub fn keeps_going(&self) -> bool {
        self.outcome.as_ref().is_ok_and(|result| result.stops.is_none())
    }

    /// Whether it keeps going with the margin asked for.
    #[must_use]
    pub fn meets_margin(&self) -> bool {
        self.outcome.as_ref().is_ok_and(|result| result.meets_margin == Some(true))
    }

    /// Bare least drive, kg or N m, infinite where no drive is enough or the copy cannot be built.
    #[must_use]
    pub fn least_drive(&self) -> f64 {
        self.outcome.as_ref().ok().and_then(|result| result.least_drive).map_or(f64::INFINITY, DriveLevel::value)
    }

    /// The steady swing, if any.
    #[must_use]
    pub fn swing(&self) -> Option<CopySwing> {
        self.outcome.as_ref().ok()?.swing
    }
}

/// The copy of a design, built as `mean`, that has drawn these values, SI.
///
/// # Errors
/// [`BuildError`] where its print leaves no clock.
pub fn built_copy(design: &InRoom, mean: &Built, inputs: &[Input], drawn: &[f64]) -> Result<Built, BuildError> {
    let built = if inputs.iter().any(Input::is_of_the_print) {
        let mean_train = TrainMade::mean_of(design).print;
        let Making { wheel, pallets, assembly, train } = Making::of(&design.printer, &mean_train, inputs, drawn);
        reprinted(design, mean, &wheel, &pallets, &assembly, &train)?
    } else {
        mean.clone()
    };
    match with_drawn_frictions(design, inputs, drawn) {
        Some(design) => with_frictions_of(&design, built),
        None => Ok(built),
    }
}

/// The design with the frictions, and the support, that a copy has drawn; `None` where none are drawn.
pub(in crate::study) fn with_drawn_frictions(design: &InRoom, inputs: &[Input], drawn: &[f64]) -> Option<InRoom> {
    if inputs.iter().all(Input::is_of_the_print) {
        return None;
    }
    let mut copy = design.clone();
    let stiffness = inputs.iter().zip(drawn).find(|(input, _)| matches!(input.varied, Varied::Support(_)));
    if let (Some((_, &stiffness_n_per_m)), Some(support)) = (stiffness, copy.support) {
        copy.support = Some(support.with_stiffness(stiffness_n_per_m));
    }
    let mut frictions = copy.frictions_mut();
    for (input, &value) in inputs.iter().zip(drawn) {
        if let Varied::Friction(friction) = &input.varied {
            friction.set(&mut frictions, value);
        }
    }
    if let (PendulumDesign::Parts(mean), PendulumDesign::Parts(drawn)) = (&design.pendulum, &mut copy.pendulum)
        && let (Some(mean), Some(drawn)) = (mean.measured_damping, &mut drawn.measured_damping)
    {
        *drawn = mean.together(drawn);
    }
    Some(copy)
}

/// Copy no. `number` (from 1): printed, assembled and let go. The same figures as those of a prediction for it from
/// the same warm start.
#[must_use]
pub fn printed_copy(
    design: &InRoom,
    (mean, foreseen): (&Built, Option<&Foreseen>),
    inputs: &[Input],
    number: u32,
    seed: u32,
) -> PrintedCopy {
    let drawn = drawn_values(inputs, number, seed);
    let outcome = outcome(design, (mean, foreseen), inputs, &drawn);
    PrintedCopy { number, drawn, outcome }
}

fn outcome(
    design: &InRoom,
    (mean, foreseen): (&Built, Option<&Foreseen>),
    inputs: &[Input],
    drawn: &[f64],
) -> Result<CopyResult, PredictError> {
    let built = built_copy(design, mean, inputs, drawn)?;
    let warm = foreseen.map(|foreseen| foreseen.warm_start(&built, inputs, drawn));
    let solution = Solver::new(&built).wanted(Wanted::LEAST).warm(warm.as_ref()).solve()?;
    let (mut swing, mut stops) = (None, None);
    match solution.steady {
        Ok(Steady { measured, rate_s_per_day, .. }) => {
            let (semi_arc_rad, period_s) = (measured.semi_arc_rad(), measured.period_s);
            swing = Some(CopySwing { semi_arc_rad, period_s, rate_s_per_day });
        }
        Err(NoAnswer::Unmeasured { amplitude_rad, failure }) => {
            return Err(PredictError::Measure { amplitude_rad, failure });
        }
        Err(NoAnswer::Stops(reason)) => stops = Some(reason),
        Err(_) => {
            swing = solution.wandering.map(|WanderingSwing { measured, rate_s_per_day, .. }| CopySwing {
                semi_arc_rad: measured.semi_arc_rad(),
                period_s: measured.period_s,
                rate_s_per_day,
            });
        }
    }
    Ok(CopyResult {
        meets_margin: solution.arc_margin_rad.map(|margin| margin >= built.margin_rad),
        least_drive: solution.least.ok().map(|least| least.bare),
        stops,
        jammed: built.jammed_meshes(),
        swing,
        run_time_s: solution.run_time.filter(|_| stops.is_none()).map(|run| run.run_time_s),
        action: built.action,
    })
}
