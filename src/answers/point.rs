//! One point of a map: the prediction without the parts that nobody asked for.

use crate::clock::SECONDS_PER_DAY;
use crate::clock::build::Built;
use crate::clock::design::Design;

use super::clock::Clock;
use super::cycle::least_start_rad;
use super::drives::Drivable;
use super::landscape::Landscape;
use super::least::{least_drive_with_margin, stable_point};
use super::measure::measure;
use super::prediction::{
    LeastDrive, PredictError, Prediction, Steady, bare_least, energy_per_beat, own_drive, q_factor, run_time_of,
};
use super::verdict::Verdict;

/// Samples of a traced period.
const SAMPLES_PER_PERIOD: usize = 800;

/// Swing from which the search for a steady one begins, rad.
const FIRST_GUESS_RAD: f64 = 0.05;

/// Parts of a prediction that take long, and whether they are wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wanted {
    /// Least drive.
    pub least: bool,
    /// Least drive with the margin.
    pub margin: bool,
    /// Smallest push that starts the clock; NaN in [`Steady`] if not.
    pub least_start: bool,
    /// Trace of a period, with its ticks.
    pub trace: bool,
}

impl Wanted {
    /// No long part.
    pub const NOTHING: Self = Self { least: false, margin: false, least_start: false, trace: false };
}

/// The least drive of a design as far as it is wanted; `None` where none was found or none has a meaning. It does not depend
/// on the design's own drive but for the accuracy of the search.
#[must_use]
pub fn least_of(design: &Design, built: &Built, wanted: Wanted) -> Option<LeastDrive> {
    if !(wanted.least || wanted.margin) {
        return None;
    }
    let drivable = Drivable::of(built)?;
    let bare = bare_least(design, built)?;
    let with = |drive: f64| drivable.clock(drive);
    let with_margin = wanted.margin.then(|| {
        let drive = own_drive(design, built).filter(|&own| own > 1.2 * bare).unwrap_or(1.2 * bare);
        let point = stable_point(&with(drive), FIRST_GUESS_RAD)?;
        least_drive_with_margin(&with, bare, (drive, point), design.margin_rad)
    });
    Some(LeastDrive { bare, with_margin: with_margin.flatten(), torque_n_m: drivable.torque_n_m(bare) })
}

/// The prediction of a design whose clock, landscape, verdict and least drive are known. Notes are left out.
///
/// # Errors
/// [`PredictError::Measure`].
pub fn prediction_with(
    design: &Design,
    built: Built,
    landscape: Landscape,
    verdict: Verdict,
    least: Option<LeastDrive>,
    wanted: Wanted,
) -> Result<Prediction, PredictError> {
    let steady = match (verdict, Clock::of(&built.mechanism)) {
        (Verdict::KeepsGoing(point), Some(clock)) => {
            let measured = measure(&clock, point.right_rad, wanted.trace.then_some(SAMPLES_PER_PERIOD))
                .map_err(|failure| PredictError::Measure { amplitude_rad: point.right_rad, failure })?;
            let train_period_s = built.train.as_ref().and_then(|train| train.train_period_s);
            Some(Steady {
                point,
                rate_s_per_day: train_period_s.map(|period| SECONDS_PER_DAY * (period / measured.period_s - 1.0)),
                q_factor: q_factor(clock.pendulum(), 0.5 * (measured.right_rad + measured.left_rad)),
                energy: energy_per_beat(&built, &measured.ledger, measured.stored_gain_j),
                least_start_rad: if wanted.least_start {
                    least_start_rad(&clock, &point, &landscape.probes)
                } else {
                    f64::NAN
                },
                measured,
            })
        }
        _ => None,
    };
    let run_time = run_time_of(design, &built, steady.as_ref().map(|steady| steady.measured.period_s));
    Ok(Prediction { built, landscape, verdict, steady, least, run_time, notes: Vec::new() })
}
