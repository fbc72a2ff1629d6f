//! By how much all frictions of a clock driven by a motor may grow together before the motor loses steps.

use crate::clock::design::MotorClock;
use crate::clock::motor::ratio::PulseRatio;
use crate::numerics::root::parted_in_ratio;

use super::friction_reserve::{FrictionReserve, LARGEST_FACTOR};
use super::motor::torques;

/// Relative width to which the factor is found; a torque over the dial takes microseconds.
const WIDTH: f64 = 1e-9;

/// The factor on all frictions, of teeth, bearings and hands, at which the motor no longer has the torque that is asked of it somewhere
/// on the dial, or the teeth hold fast; `None` where it loses steps as it is.
///
/// More friction always asks for more torque, and holds resting hands the better: there is one such factor, found by halving.
#[must_use]
pub fn motor_friction_reserve(clock: &MotorClock, ratio: &PulseRatio) -> Option<FrictionReserve> {
    let goes = |factor: f64| {
        torques(&clock.with_frictions_times(factor), ratio).is_ok_and(|torques| torques.reason().is_none())
    };
    if !goes(1.0) {
        return None;
    }
    if goes(LARGEST_FACTOR) {
        return Some(FrictionReserve::NeverStops);
    }
    let (below, above) = parted_in_ratio((1.0, LARGEST_FACTOR), WIDTH, goes);
    Some(FrictionReserve::StopsAt((below * above).sqrt()))
}
