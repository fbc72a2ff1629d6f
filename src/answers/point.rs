//! One point of a map: the prediction without the parts that nobody asked for.

use crate::clock::build::{BuildError, Built, build};
use crate::clock::drive_level::DriveLevel;
use crate::clock::environment::InRoom;

use super::drivable::Drivable;
use super::gain_scan::{GainScan, gain_scan};
use super::least_drive::{least_drive_with_margin, stable_point};
use super::prediction::{
    FIRST_GUESS_RAD, LeastDrive, PredictError, Prediction, Wanted, bare_least, own_drive, run_time_of, steady,
};
use super::return_map::Clock;
use super::verdict::{Verdict, verdict_of};

/// The least drive of a design as far as it is wanted; `None` where none was found or none has a meaning. It does not depend
/// on the design's own drive but for the accuracy of the search.
#[must_use]
pub fn least_of(design: &InRoom, built: &Built, wanted: Wanted) -> Option<LeastDrive> {
    if !(wanted.least || wanted.margin) {
        return None;
    }
    let drivable = Drivable::of(built)?;
    let bare = bare_least(design, built)?.value();
    let with = |drive: f64| drivable.clock_at(drive);
    let with_margin = wanted.margin.then(|| {
        let drive =
            own_drive(design, built).map(DriveLevel::value).filter(|&own| own > 1.2 * bare).unwrap_or(1.2 * bare);
        let point = stable_point(&with(drive), FIRST_GUESS_RAD)?;
        least_drive_with_margin(&with, bare, (drive, point), design.margin_rad)
    });
    let level = |drive: f64| drivable.level(drive);
    Some(LeastDrive {
        bare: level(bare),
        with_margin: with_margin.flatten().map(level),
        torque_n_m: drivable.torque_n_m(level(bare))?,
    })
}

/// The prediction of a design as far as it is wanted, from its own start arc. Notes are left out.
///
/// # Errors
/// [`PredictError`].
pub fn prediction_of(design: &InRoom, wanted: Wanted) -> Result<Prediction, PredictError> {
    let built = build(design)?;
    let (scan, verdict) = match Clock::of(&built.mechanism) {
        Some(clock) => {
            let scan = gain_scan(&clock);
            let verdict = verdict_of(&built, &clock, &scan, design.start_arc_rad);
            (scan, verdict)
        }
        None => return Err(BuildError::NoDrive.into()),
    };
    let least = least_of(design, &built, wanted);
    prediction_with(design, built, scan, verdict, least, wanted)
}

/// The prediction of a design whose clock, gain scan, verdict and least drive are known. Notes are left out.
///
/// # Errors
/// [`PredictError::Measure`].
pub fn prediction_with(
    design: &InRoom,
    built: Built,
    scan: GainScan,
    verdict: Verdict,
    least: Option<LeastDrive>,
    wanted: Wanted,
) -> Result<Prediction, PredictError> {
    let steady = match (verdict, Clock::of(&built.mechanism)) {
        (Verdict::KeepsGoing(point), Some(clock)) => Some(steady(&clock, &built, &scan, point, wanted)?),
        _ => None,
    };
    let run_time = run_time_of(design, &built, steady.as_ref().map(|steady| steady.measured.period_s));
    Ok(Prediction { built, scan, verdict, steady, least, run_time, notes: Vec::new() })
}
