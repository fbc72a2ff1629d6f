//! What can be wrong with a clock driven by a stepping motor.

use crate::clock::environment::site::PlaceError;
use crate::clock::train::counts::TrainError;

use super::ratio::RatioError;

/// Why parts make no clock driven by a motor.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum MotorError {
    /// The place is none.
    #[error(transparent)]
    Place(#[from] PlaceError),
    /// The train is none.
    #[error(transparent)]
    Train(#[from] TrainError),
    /// Counts beyond all measure.
    #[error(transparent)]
    Ratio(#[from] RatioError),
    /// Masses or friction beyond all measure.
    #[error("the torque of the hands is too large to compute with")]
    NotFinite,
}
