//! Why a question about a clock has no answer.

use crate::clock::build::BuildError;

use super::return_map::PeriodFailure;
use super::verdict::Reason;

/// Why a clock, or a change of one, has no such answer. An outcome, not an error: a clock that stops is a result.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoAnswer {
    /// The scenario has no such value, or does not allow it.
    #[error("{0}")]
    Refused(String),
    /// There is no such clock.
    #[error(transparent)]
    Build(#[from] BuildError),
    /// It stops.
    #[error("{}", stopping(*.0))]
    Stops(Reason),
    /// Its swing does not settle on one amplitude.
    #[error("its swing does not settle")]
    Wanders,
    /// The limit cycle was found, but its period was not completed.
    #[error("the steady swing at {:.3} deg was found, but its period could not be measured: {failure:?}", amplitude_rad.to_degrees())]
    Unmeasured {
        /// Amplitude of the cycle, rad.
        amplitude_rad: f64,
        /// What happened.
        failure: PeriodFailure,
    },
    /// A kick has no drive of which there could be more or less.
    #[error("a kick has no drive torque")]
    NoDriveTorque,
    /// No drive up to a thousand times the present one keeps it going.
    #[error("no weight up to a thousand times the present one keeps the clock going")]
    NeverGoes,
    /// No drive up to a thousand times the least one has the margin.
    #[error("no weight up to a thousand times the least one leaves the arc margin asked for")]
    NoMargin,
    /// Nobody asked.
    #[error("it was not asked for")]
    NotAsked,
}

const fn stopping(reason: Reason) -> &'static str {
    match reason {
        Reason::NeverUnlocks => "no tooth escapes any more",
        Reason::LosesAmplitude => "its swing dies away",
        Reason::Jams => "tooth and pallet, or a mesh of the train, jam",
        Reason::RunsAway => "teeth slip past without being held",
        Reason::TrainSticks => "the drive does not set the train going",
        Reason::LosesSteps => "the motor loses steps",
        Reason::NotSettled => "it has neither settled nor stopped within the work that one question may take",
    }
}
