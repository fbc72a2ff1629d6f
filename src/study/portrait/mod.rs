//! What the pictures of one clock draw, computed once: amplitudes from several starts, sweeps over drive and drum, the steady
//! period cut into phases, contact curves, positions of wheel and pallets.

mod action_curves;
mod ages;
mod histories;
mod moments;
mod phases;
mod sweeps;

pub(in crate::study) use action_curves::sampled;
pub use action_curves::{ActionCurve, ActionCurves, action_at_rest};
pub use histories::{Ending, Escape, Histories, History, StartKind};
pub use moments::{Moment, View, touch};
pub use phases::{Phase, PhaseKind};
pub use sweeps::{DrivePoint, DrumPoint};

use crate::answers::drivable::Drivable;
use crate::answers::life::AgedSwing;
use crate::answers::prediction::Prediction;
use crate::answers::return_map::Clock;
use crate::answers::solve::{Going, LeastDrive, Solver};
use crate::clock::drive_level::DriveLevel;
use crate::clock::environment::InRoom;
use crate::clock::escapement::escape_wheel;
use crate::clock::mechanism::EscapementModel;
use crate::clock::printing::printed_outline::printed_holes;
use crate::geometry::Outline;
use crate::study::parallel::{both, each_of};

use action_curves::action_curves;
use ages::ages;
use histories::histories;
use moments::moments;
use phases::phases;
use sweeps::{drums, swings_at};

/// What pictures draw beyond the prediction itself. Parts that have no meaning for a clock are empty.
#[derive(Debug, Clone)]
pub struct Portrait {
    /// Amplitude from period to period from several starts.
    pub histories: Histories,
    /// The steady swing over the drive, from the bare least drive upwards.
    pub sweep: Vec<DrivePoint>,
    /// The design's own drive.
    pub own_drive: Option<DriveLevel>,
    /// Run time and weight for other drums.
    pub drums: Vec<DrumPoint>,
    /// The steady period cut into what tooth and pallet do.
    pub phases: Vec<Phase>,
    /// Contact curves of both pallets.
    pub curves: Option<ActionCurves>,
    /// Four positions of wheel and pallets.
    pub moments: Vec<Moment>,
    /// The swing over the years until it stops, new first; empty where it stops as it is, or does not age.
    pub ages: Vec<AgedSwing>,
    /// Windows and bore of the wheel as printed; none where it has no body.
    pub wheel_holes: Vec<Outline>,
}

/// Steady swings computed over the drive.
const SWEEP_POINTS: usize = 28;

/// The portrait of a clock that was predicted; the same numbers on any number of threads.
#[must_use]
pub fn portrait(design: &InRoom, prediction: &Prediction) -> Portrait {
    let built = &prediction.built;
    let own = built.own_drive();
    let going = going(prediction);
    let (histories, (sweep, drums)) = both(
        || histories(design, prediction),
        || {
            both(
                || sweep(prediction, own, going),
                || match (prediction.least, going) {
                    (Some(LeastDrive { bare: DriveLevel::Weight(least_kg), .. }), Some(going)) => {
                        drums(design, built, least_kg, going)
                    }
                    _ => Vec::new(),
                },
            )
        },
    );
    let phases = phases_of(prediction);
    let (curves, moments) = match (&built.mechanism.escapement, built.action) {
        (EscapementModel::Contact(contact), Some(action)) => {
            let reach = [
                design.start_arc_rad.filter(|_| prediction.steady.is_none()),
                prediction.steady.as_ref().map(|steady| steady.measured.right_rad.max(steady.measured.left_rad)),
            ];
            let reach = reach.into_iter().flatten().fold(action.entry.landing_rad.abs(), f64::max);
            (
                Some(action_curves(contact, &action, &phases, 1.2 * reach)),
                moments(contact, &action, &phases, design.start_arc_rad),
            )
        }
        _ => (None, Vec::new()),
    };
    Portrait {
        histories,
        sweep,
        own_drive: own,
        drums,
        phases,
        curves,
        moments,
        ages: ages(design, prediction),
        wheel_holes: wheel_holes(design, prediction),
    }
}

/// The traced steady period cut into what tooth and pallet do; empty without one.
#[must_use]
pub fn phases_of(prediction: &Prediction) -> Vec<Phase> {
    let trace = prediction.steady.as_ref().and_then(|steady| steady.measured.trace.as_ref());
    trace.map(|trace| phases(&trace.samples)).unwrap_or_default()
}

/// A drive with which the clock goes, and its swing under it.
fn going(prediction: &Prediction) -> Option<Going> {
    let scanned = Solver::new(&prediction.built).scanned(prediction.scan.clone()).ok()?;
    scanned.going(prediction.least?.bare)
}

fn sweep(prediction: &Prediction, own: Option<DriveLevel>, going: Option<Going>) -> Vec<DrivePoint> {
    let (Some(least), Some(going), Some(drivable)) = (prediction.least, going, Drivable::of(&prediction.built)) else {
        return Vec::new();
    };
    let low = 1.0005 * least.bare.value();
    let high = [own.map(|own| 1.15 * own.value()), least.with_margin.map(|drive| 1.25 * drive.value())]
        .into_iter()
        .flatten()
        .fold(1.8 * least.bare.value(), f64::max);
    // Close together near the least drive, where the curves bend most.
    let drives: Vec<DriveLevel> = (0..SWEEP_POINTS)
        .map(|number| low + (high - low) * (number as f64 / (SWEEP_POINTS - 1) as f64).powf(1.7))
        .map(|drive| drivable.level(drive))
        .collect();
    swings_at(&prediction.built, &drives, going.right_rad)
}

/// Gains of amplitude in one period from `starts`, in their order.
fn gains(clock: &Clock<'_>, starts: &[f64]) -> Vec<(f64, Option<f64>)> {
    each_of(starts, |&start| (start, clock.period_from(start).gain_rad(start)))
}

/// Windows and bore of the wheel as printed.
#[must_use]
pub fn wheel_holes(design: &InRoom, prediction: &Prediction) -> Vec<Outline> {
    let (Some(body), Some(drawn)) = (&design.escape_wheel, &prediction.built.drawn) else { return Vec::new() };
    escape_wheel(drawn, body)
        .ok()
        .and_then(|wheel| printed_holes(&wheel.holes, &design.printer).ok())
        .map_or_else(Vec::new, |holes| holes.windows.into_iter().chain(holes.bore).collect())
}
