//! One design under other drives and other drums: the curves a designer chooses from.

use rayon::prelude::*;

use crate::answers::cycle::FixedPoint;
use crate::answers::drivable::Drivable;
use crate::answers::least_drive::{least_drive, least_drive_with_margin, stable_point};
use crate::answers::measure::measure;
use crate::clock::build::{Built, weight_drive};
use crate::clock::design::{DriveDesign, WeightDrive};
use crate::clock::drive_level::DriveLevel;
use crate::clock::environment::InRoom;
use crate::clock::rate_s_per_day;
use crate::clock::train::counts::drum_turns_per_hour;
use crate::clock::train::losses::run_time;

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

/// The steady swing at each of `drives` by which the clock can be driven, in their order; any thread count gives the same numbers.
pub(super) fn swings_at(
    drivable: &Drivable<'_>,
    drives: &[DriveLevel],
    guess_rad: f64,
    train_period_s: Option<f64>,
) -> Vec<DrivePoint> {
    drives
        .par_iter()
        .filter_map(|&drive| {
            let clock = drivable.clock(drive)?;
            let measured =
                stable_point(&clock, guess_rad).and_then(|point| measure(&clock, point.right_rad, None).ok());
            let period_s = measured.as_ref().map(|measured| measured.period_s);
            Some(DrivePoint {
                drive,
                amplitude_rad: measured.map(|measured| (measured.right_rad, measured.left_rad)),
                period_s,
                rate_s_per_day: period_s.and_then(|period| Some(rate_s_per_day(train_period_s?, period))),
            })
        })
        .collect()
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
pub(super) fn drums(design: &InRoom, built: &Built, least_kg: f64, going: (f64, FixedPoint)) -> Vec<DrumPoint> {
    let (Some(DriveDesign::Weight(weight)), Some(train), Some(drivable), Some(prepared), Some(outlines)) =
        (&design.drive, &design.train, Drivable::of(built), &built.prepared_drive, &built.outlines)
    else {
        return Vec::new();
    };
    let Some(period) = built.train.as_ref().and_then(|report| report.train_period_s) else { return Vec::new() };
    let turns = drum_turns_per_hour(period, outlines.teeth, prepared.drum_to_escape());
    DRUM_SHARES
        .par_iter()
        .filter_map(|&share| {
            let other = WeightDrive { drum_diameter_m: weight.drum_diameter_m * share, ..weight.clone() };
            let (ready, _) = weight_drive(&other, train, &design.sizes.train, built.gravity_m_s2).ok()?;
            let driven = drivable.driven_by(&ready);
            // The torque that did for the design's drum does about as well here.
            let by_share =
                (weight.drum_diameter_m + weight.cord_diameter_m) / (other.drum_diameter_m + other.cord_diameter_m);
            let guess = (going.0 * by_share, going.1);
            let with = |kg: f64| driven.clock_at(kg);
            let least = least_drive(&with, least_kg * by_share)?;
            Some(DrumPoint {
                drum_diameter_m: other.drum_diameter_m,
                weight_kg: least_drive_with_margin(&with, least, guess, design.margin_rad),
                run_time_s: run_time(&other, turns).run_time_s,
            })
        })
        .collect()
}
