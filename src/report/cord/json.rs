//! The cord under its keys.

use serde::Serialize;

use crate::clock::build::Built;
use crate::clock::environment::InRoom;
use crate::clock::train::cord::cord_on_drum;

/// A cord and its drum; `null` where the scenario does not say.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct CordRecord {
    /// Name in the table of cords.
    pub material: Option<&'static str>,
    /// Share of its tension that it takes to bend and straighten it, over diameter by radius.
    pub stiffness: Option<f64>,
    /// Share of the weight's power that bending it takes.
    pub bending_loss_share: Option<f64>,
    /// Mass of a length.
    pub mass_kg_per_m: Option<f64>,
    /// Cord to cut, without what hangs with the weight wound up.
    pub length_m: f64,
    /// Turns of the drum in one run.
    pub turns: f64,
    /// Turns that stay on the drum.
    pub turns_left: f64,
    /// Turns that a layer holds.
    pub turns_per_layer: Option<u32>,
    /// Layers with the weight wound up.
    pub layers: Option<u32>,
    /// Length of the drum that holds them in one.
    pub drum_length_for_one_layer_mm: f64,
    /// Weight in the first layer that drives as the one in the outermost does.
    pub drives_wound_up_kg: Option<f64>,
    /// Weight without a cord that drives as this one does with its cord run off.
    pub drives_run_down_kg: Option<f64>,
}

/// The cord of a clock; `None` without a weight.
#[must_use]
pub fn record(design: &InRoom, built: &Built) -> Option<CordRecord> {
    let drive = design.weight_drive()?;
    let cord = cord_on_drum(drive);
    Some(CordRecord {
        material: drive.cord.name,
        stiffness: drive.cord.stiffness.map(|stiffness| stiffness.value),
        bending_loss_share: built.drive.as_ref().and_then(|report| report.bending_loss_share),
        mass_kg_per_m: drive.cord.mass_kg_per_m,
        length_m: cord.to_cut_m,
        turns: cord.turns,
        turns_left: crate::clock::train::cord::TURNS_LEFT_ON_DRUM,
        turns_per_layer: cord.turns_per_layer,
        layers: cord.layers,
        drum_length_for_one_layer_mm: 1e3 * cord.length_for_one_layer_m,
        drives_wound_up_kg: cord.layers.map(|_| drive.weight_kg * cord.outermost_over_first),
        drives_run_down_kg: cord.hanging_kg.map(|hanging_kg| drive.weight_kg + hanging_kg),
    })
}
