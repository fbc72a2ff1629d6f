//! One design under other drives and other drums: the curves a designer chooses from.

use crate::answers::solve::{Going, Solver};
use crate::clock::build::{Built, weight_drive};
use crate::clock::design::WeightDrive;
use crate::clock::drive_level::DriveLevel;
use crate::clock::environment::InRoom;
use crate::clock::rate_s_per_day;
use crate::clock::train::train_made::TrainMade;
use crate::study::parallel::each_of;

/// The steady swing at one drive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DrivePoint {
    /// Drive.
    pub drive: DriveLevel,
    /// Right and left amplitude, rad; `None` where the clock does not keep going.
    pub amplitude_rad: Option<(f64, f64)>,
    /// Full period, s.
    pub period_s: Option<f64>,
    /// Rate, s/day, positive gains; `None` without a train.
    pub rate_s_per_day: Option<f64>,
}

/// The steady swing at each of `drives`, in their order, looked for near `guess_rad`; any thread count gives the same numbers.
pub(super) fn swings_at(built: &Built, drives: &[DriveLevel], guess_rad: f64) -> Vec<DrivePoint> {
    each_of(drives, |&drive| {
        let swing = Solver::new(built).under(drive).near(guess_rad).any_swing().ok();
        let measured = swing.map(|swing| swing.measured);
        let period_s = measured.as_ref().map(|measured| measured.period_s);
        DrivePoint {
            drive,
            amplitude_rad: measured.map(|measured| (measured.right_rad, measured.left_rad)),
            period_s,
            rate_s_per_day: period_s.and_then(|period_s| Some(rate_s_per_day(built.train_period_s()?, period_s))),
        }
    })
}

/// A drum and the weight it asks for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DrumPoint {
    /// Drum diameter, m.
    pub drum_diameter_m: f64,
    /// Weight that clears the escaping arc by the asked margin, kg; `None` where none does.
    pub weight_kg: Option<f64>,
    /// Run from one winding to the next, s.
    pub run_time_s: f64,
}

/// Drum diameters tried, as shares of the design's own.
const DRUM_SHARES: [f64; 9] = [0.5, 0.6, 0.7, 0.85, 1.0, 1.2, 1.4, 1.7, 2.0];

/// Run time against weight at the asked margin for other drum diameters; empty without a weight drive.
pub(super) fn drums(in_room: &InRoom, built: &Built, least_kg: f64, going: Going) -> Vec<DrumPoint> {
    let (Some(weight), Some(train)) = (&built.weight_drive, &in_room.train) else { return Vec::new() };
    let made = TrainMade::mean_of(in_room);
    let points = each_of(&DRUM_SHARES, |&share| {
        let other = WeightDrive { drum_diameter_m: weight.drum_diameter_m * share, ..weight.clone() };
        let (ready, _) = weight_drive(&other, train, &made, built.gravity_m_s2).ok()?;
        // The torque that did for the design's drum does about as well here.
        let by_share =
            (weight.drum_diameter_m + weight.cord_diameter_m) / (other.drum_diameter_m + other.cord_diameter_m);
        let run_time_s = built.run_time_with(&other, None)?.run_time_s;
        let driven = Solver::new(built).driven_by(&ready, least_kg * by_share);
        let least = driven.bare_least().ok()?;
        let going = Going { drive: DriveLevel::Weight(going.drive.value() * by_share), ..going };
        Some(DrumPoint {
            drum_diameter_m: other.drum_diameter_m,
            weight_kg: driven.margin_least(least, going).and_then(DriveLevel::kg),
            run_time_s,
        })
    });
    points.into_iter().flatten().collect()
}
