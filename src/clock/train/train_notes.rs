//! What the maker of a train should look at.

use crate::clock::design::{Arbor, Train};
use crate::clock::notes::Note;

use super::counts::{TrainError, check_minute_arbor, depthings, hour_hand_ratio};
use super::depthing::Depthing;
use super::mesh_name::MeshName;
use super::motion_work::not_coaxial;
use super::train_made::TrainMade;

/// Relative difference of required and natural period beyond which the hands would show nonsense.
const PERIOD_MISMATCH: f64 = 0.03;

/// What stands at the fast end of a train.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum FastEnd {
    /// An escape wheel, which turns clockwise seen from the front.
    EscapeWheel,
    /// A stepping motor, which is wired to turn as it must.
    Motor,
}

/// [`Note::PeriodMismatch`] where the pendulum's small-swing period differs by more than 3 % from what the train requires; `None`
/// where the rating nut and the escapement can make it good.
#[must_use]
pub fn period_mismatch(train_period_s: f64, small_swing_period_s: f64) -> Option<Note> {
    let gain = train_period_s / small_swing_period_s - 1.0;
    (gain.abs() > PERIOD_MISMATCH).then_some(Note::PeriodMismatch { train_period_s, small_swing_period_s })
}

/// What the maker of a train driven from its fast end by a motor should look at.
///
/// # Errors
/// As [`depthings`]; motion work that does not turn the hour hand once in twelve hours, and a minute hand on no arbor of the train or on the motor's.
pub fn motor_train_notes(train: &Train) -> Result<Vec<Note>, TrainError> {
    let depthings = depthings(train, &TrainMade::default())?;
    check_minute_arbor(train)?;
    hour_hand_ratio(train)?;
    Ok(train_notes(train, &depthings, FastEnd::Motor))
}

pub(super) fn train_notes(train: &Train, depthings: &[Depthing], fast_end: FastEnd) -> Vec<Note> {
    let mut notes = jams(train, depthings);
    for (depthing, pair) in depthings.iter().zip(train.arbors.windows(2)) {
        let [driver, driven] = pair else { continue };
        // Teeth that do not turn have no action to speak of.
        if depthing.tightness().is_some() {
            continue;
        }
        let mesh = || MeshName::of(driver, driven, depthing);
        if depthing.mean.mesh.undercut {
            notes.push(Note::Undercut { mesh: mesh() });
        } else if depthing.deepest.on_fillet {
            notes.push(Note::TipOnFillet { mesh: mesh() });
        }
        let contact_ratio = depthing.shallowest.mesh.contact_ratio;
        if contact_ratio < 1.0 {
            notes.push(Note::ContactRatioBelowOne { mesh: mesh(), contact_ratio });
        }
        let contact_ratio = depthing.deepest.mesh.contact_ratio;
        if contact_ratio > 2.0 {
            notes.push(Note::ContactRatioAboveTwo { mesh: mesh(), contact_ratio });
        }
    }
    if let Some(index) = train.minute_arbor
        && fast_end == FastEnd::EscapeWheel
        && (train.arbors.len().saturating_sub(1 + index)) % 2 == 1
    {
        notes.push(Note::MinuteHandBackwards);
    }
    if train.motion_work.len() % 2 == 1 {
        notes.push(Note::HourHandBackwards);
    }
    notes.extend(not_coaxial(train));
    notes
}

/// Each mesh that jams.
fn jams(train: &Train, depthings: &[Depthing]) -> Vec<Note> {
    let jam = |(depthing, pair): (&Depthing, &[Arbor])| {
        let [driver, driven] = pair else { return None };
        let (tightness, place, remedies) = (depthing.tightness()?, depthing.jams_where()?, depthing.remedies()?);
        let mesh = MeshName::of(driver, driven, depthing);
        Some(Note::MeshJams { mesh, tightness, module_m: depthing.module_m, place, remedies })
    };
    depthings.iter().zip(train.arbors.windows(2)).filter_map(jam).collect()
}
