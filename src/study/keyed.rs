//! A clock predicted as far as some of its numbers, asked for by their keys, need it.

use crate::answers::no_answer::NoAnswer;
use crate::answers::prediction::{PredictError, Prediction, predict_only};
use crate::answers::regulation::{Regulation, regulation};
use crate::answers::solve::Wanted;
use crate::answers::towns::{InTown, in_town};
use crate::clock::environment::InRoom;
use crate::scenario::Scenario;

/// A clock and what was found of it.
#[derive(Debug)]
pub struct KeyedClock<'s> {
    /// The scenario.
    pub scenario: &'s Scenario,
    /// Its clock in the room.
    pub in_room: InRoom,
    /// The prediction, as far as it was wanted.
    pub prediction: Prediction,
    /// How it is brought to time, and what becomes of it in its towns; `None` where no number needs them.
    pub beyond: Option<BeyondPrediction>,
}

/// What stands beside a prediction in its results.
#[derive(Debug)]
pub struct BeyondPrediction {
    /// How the clock is brought to time and into beat.
    pub regulation: Regulation,
    /// The clock in its towns, in their order.
    pub towns: Vec<Result<InTown, PredictError>>,
}

/// Numbers of a clock that are asked for by their keys.
pub trait KeyedNumbers: Sync {
    /// Parts of a prediction that they need.
    fn wanted(&self) -> Wanted;
    /// Whether they need what stands beside a prediction.
    fn need_more(&self) -> bool;
    /// The numbers in their order; `None` where the clock has none.
    fn of(&self, clock: &KeyedClock<'_>) -> Vec<Option<f64>>;
}

impl From<PredictError> for NoAnswer {
    fn from(error: PredictError) -> Self {
        match error {
            PredictError::Build(error) => Self::Build(error),
            PredictError::Measure { amplitude_rad, failure } => Self::Unmeasured { amplitude_rad, failure },
        }
    }
}

impl<'s> KeyedClock<'s> {
    /// The clock of a scenario, predicted as far as `numbers` need it.
    ///
    /// # Errors
    /// [`NoAnswer`] where there is no prediction.
    pub fn of(scenario: &'s Scenario, numbers: &dyn KeyedNumbers) -> Result<Self, NoAnswer> {
        let in_room = scenario.in_room();
        let prediction = predict_only(&in_room, numbers.wanted())?;
        let beyond = numbers.need_more().then(|| BeyondPrediction {
            regulation: regulation(&in_room, &prediction),
            towns: scenario.towns.iter().map(|town| in_town(&scenario.design, town)).collect(),
        });
        Ok(Self { scenario, in_room, prediction, beyond })
    }

    /// Why a number of a clock that was predicted is missing.
    #[must_use]
    pub fn why_none(&self) -> NoAnswer {
        self.prediction.reason().map_or(NoAnswer::NeverGoes, NoAnswer::Stops)
    }
}
