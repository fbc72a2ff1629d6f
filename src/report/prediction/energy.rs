//! The energies of a beat as results.

use serde::Serialize;

use crate::answers::steady::EnergyPerBeat;

/// Energies of one beat, all `null` where the clock stops.
#[derive(Debug, Clone, Copy, Default, Serialize)]
pub struct EnergyRecord {
    /// Given by the weight.
    pub weight: Option<f64>,
    /// Cord and pulleys.
    pub cord: Option<f64>,
    /// Bearings.
    pub bearings: Option<f64>,
    /// Meshes.
    pub meshes: Option<f64>,
    /// Hands and motion work; 0 without hands.
    pub hands: Option<f64>,
    /// Drops and impacts.
    pub drop_and_impact: Option<f64>,
    /// Play of the crutch; 0 without.
    pub crutch_play: Option<f64>,
    /// Sliding on the faces.
    pub faces: Option<f64>,
    /// Recoil.
    pub recoil: Option<f64>,
    /// Air.
    pub air: Option<f64>,
    /// Suspension.
    pub suspension: Option<f64>,
    /// Support and swinging weight; 0 without a support.
    pub support: Option<f64>,
    /// What does not add up.
    pub residual: Option<f64>,
}

impl From<EnergyPerBeat> for EnergyRecord {
    fn from(energy: EnergyPerBeat) -> Self {
        Self {
            weight: Some(energy.weight),
            cord: Some(energy.cord),
            bearings: Some(energy.bearings),
            meshes: Some(energy.meshes),
            hands: Some(energy.hands),
            drop_and_impact: Some(energy.drop_and_impact),
            crutch_play: Some(energy.crutch),
            faces: Some(energy.faces),
            recoil: Some(energy.recoil),
            air: Some(energy.air),
            suspension: Some(energy.suspension),
            support: Some(energy.support),
            residual: Some(energy.residual),
        }
    }
}
