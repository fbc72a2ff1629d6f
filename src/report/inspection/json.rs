//! A clock at rest under its keys.

use serde::Serialize;

use crate::clock::SECONDS_PER_DAY;
use crate::clock::pendulum::compound::small_swing_period_s;
use crate::clock::strength::strength;
use crate::clock::train::counts::ArborTurns;
use crate::report::action::json::ActionRecord;
use crate::report::clearances::json::MarginsRecord;
use crate::report::cord;
use crate::report::cord::json::CordRecord;
use crate::report::meshes;
use crate::report::meshes::json::MeshRecord;
use crate::report::over_turn;
use crate::report::over_turn::json::OverTurnRecord;
use crate::report::strength::json::{StrengthRecord, record as strength_record};
use crate::report::words::notes::notes_in_words;

use super::InspectionView;

/// What `inspect` answers; `null` where a key has no meaning for the scenario.
#[derive(Debug, Clone, Serialize)]
pub struct InspectionRecord {
    name: String,
    train_period_s: Option<f64>,
    hour_hand_ratio: Option<f64>,
    small_swing_period_s: Option<f64>,
    nut_s_per_day_per_turn: Option<f64>,
    escape_torque_n_m: Option<f64>,
    escape_friction_torque_n_m: Option<f64>,
    escape_starting_friction_torque_n_m: Option<f64>,
    escape_torque_backward_n_m: Option<f64>,
    escape_inertia_kg_m2: Option<f64>,
    escape_wheel_mass_kg: Option<f64>,
    escape_wheel_inertia_kg_m2: Option<f64>,
    run_time_days: Option<f64>,
    /// The cord and how it lies on its drum; `null` without a weight.
    pub cord_on_drum: Option<CordRecord>,
    arbors: Vec<ArborRecord>,
    meshes: Vec<MeshRecord>,
    /// Distance of the pallet arbor from the wheel's as drawn, to be drilled or printed.
    pallet_centre_distance_mm: Option<f64>,
    /// Action of both pallets, the recoil at the start arc.
    pub action: Option<ActionRecord>,
    /// The same over a turn of a wheel whose teeth differ.
    pub action_over_turn: Option<OverTurnRecord>,
    margins: Option<MarginsRecord>,
    /// Teeth, arbors and cord against their strength.
    strength: Option<StrengthRecord>,
    /// Remarks.
    pub notes: Vec<String>,
}

#[derive(Debug, Clone, Serialize)]
struct ArborRecord {
    name: String,
    turns_per_hour: Option<f64>,
    torque_n_m: Option<f64>,
    bearing_load_n: Option<f64>,
    bearing_loss_share: Option<f64>,
    mesh_loss_share: Option<f64>,
}

/// A clock at rest for JSON.
#[must_use]
pub fn record(view: &InspectionView<'_>) -> InspectionRecord {
    let InspectionView { design, built, wheel, margins, over_turn, run_time } = *view;
    let drive = built.mechanism.drive;
    let mut notes = built.notes();
    notes.extend(margins.into_iter().flat_map(|margins| margins.notes(&design.printer)));
    InspectionRecord {
        name: design.name.clone(),
        train_period_s: built.train.as_ref().and_then(|train| train.train_period_s),
        hour_hand_ratio: built.train.as_ref().and_then(|train| train.hour_hand_ratio).map(|ratio| ratio as f64),
        small_swing_period_s: small_swing_period_s(&built.mechanism.pendulum),
        nut_s_per_day_per_turn: built.pendulum.as_ref().and_then(|report| report.nut_s_per_day_per_turn),
        escape_torque_n_m: drive.map(|drive| drive.torque_n_m()),
        escape_friction_torque_n_m: drive.map(|drive| drive.friction_forward_n_m),
        escape_starting_friction_torque_n_m: drive.map(|drive| drive.friction_starting_n_m),
        escape_torque_backward_n_m: drive.map(|drive| drive.backward_n_m()),
        escape_inertia_kg_m2: drive.map(|drive| drive.inertia_kg_m2),
        escape_wheel_mass_kg: wheel.map(|wheel| wheel.mass_kg),
        escape_wheel_inertia_kg_m2: wheel.map(|wheel| wheel.inertia_kg_m2),
        run_time_days: run_time.map(|run| run.run_time_s / SECONDS_PER_DAY),
        cord_on_drum: cord::json::record(design, built),
        arbors: arbors(view),
        meshes: view.train().map_or_else(Vec::new, |(train, report)| meshes::json::record(train, &report.depthings)),
        pallet_centre_distance_mm: meshes::json::pallet_centre_distance_mm(built),
        action: action_at_start(view),
        action_over_turn: over_turn.map(over_turn::json::record),
        margins: margins.map(Into::into),
        strength: strength(design, built)
            .zip(design.train.as_ref())
            .map(|(found, train)| strength_record(&found, train)),
        notes: notes_in_words(&notes),
    }
}

fn arbors(view: &InspectionView<'_>) -> Vec<ArborRecord> {
    let Some(train) = &view.built.train else { return Vec::new() };
    let record = |(index, arbor): (usize, &ArborTurns)| {
        let losses = view.built.drive.as_ref().and_then(|drive| drive.arbors.get(index));
        ArborRecord {
            name: arbor.name.clone(),
            turns_per_hour: arbor.turns_per_hour,
            torque_n_m: losses.map(|losses| losses.torque_n_m),
            bearing_load_n: losses.map(|losses| losses.bearing_load_n),
            bearing_loss_share: losses.map(|losses| losses.bearing_loss_share),
            mesh_loss_share: losses.and_then(|losses| losses.mesh_loss_share),
        }
    };
    train.arbors.iter().enumerate().map(record).collect()
}

/// The action, recoil at the start arc.
fn action_at_start(view: &InspectionView<'_>) -> Option<ActionRecord> {
    let action = view.built.action?;
    let start = view.design.start_arc_rad.unwrap_or(action.entry.landing_rad);
    Some(ActionRecord::of(&action, view.built.recoil_rad(start, start)?))
}
