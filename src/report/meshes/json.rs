//! The meshes of a train where they stand, under their keys.

use serde::Serialize;

use crate::clock::build::Built;
use crate::clock::design::{Arbor, Train};
use crate::clock::train::depthing::Depthing;
use crate::clock::train::mesh::WorkingMesh;

/// A mesh.
#[derive(Debug, Clone, Serialize)]
pub struct MeshRecord {
    /// Arbor that carries the wheel.
    pub wheel: String,
    /// Arbor that carries the pinion.
    pub pinion: String,
    /// Teeth of the wheel.
    pub wheel_teeth: u32,
    /// Teeth of the pinion.
    pub pinion_teeth: u32,
    /// Module.
    pub module_mm: Option<f64>,
    /// Distance of the arbors as designed, to be drilled or printed.
    pub centre_distance_mm: Option<f64>,
    /// Play along the pitch circle as made and in the room, mean over the turns of both gears; below 0 the flanks do not fit.
    pub play_mm: Option<f64>,
    /// The same, least.
    pub least_play_mm: Option<f64>,
    /// Room between tips and roots, likewise mean.
    pub bottom_clearance_mm: Option<f64>,
    /// The same, least.
    pub least_bottom_clearance_mm: Option<f64>,
    /// Pairs of teeth in contact on average.
    pub contact_ratio: f64,
    /// The same where the gears stand least deep.
    pub least_contact_ratio: f64,
    /// Whether the teeth are too deep in each other to turn.
    pub jams: bool,
    /// Whether the scenario states the backlash.
    pub backlash_stated: bool,
    /// Mean over a turn.
    pub mean: PlaceRecord,
    /// Where gears that run out or have gone oval stand deepest; else as the mean.
    pub deepest: PlaceRecord,
    /// Where they stand least deep.
    pub shallowest: PlaceRecord,
}

/// A mesh at one place of a turn.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct PlaceRecord {
    /// Distance of the arbors, as it acts.
    pub centre_distance_m: Option<f64>,
    /// Pressure angle there.
    pub pressure_angle_deg: f64,
    /// Play along the working pitch circle; below 0 the flanks do not fit.
    pub backlash_m: Option<f64>,
    /// Room between tips and roots; below 0 they do not fit.
    pub bottom_clearance_m: Option<f64>,
    /// Pairs of teeth in contact on average.
    pub contact_ratio: f64,
}

impl PlaceRecord {
    fn of(place: &WorkingMesh, module_m: Option<f64>) -> Self {
        let metres = |modules: f64| module_m.map(|module_m| module_m * modules);
        Self {
            centre_distance_m: metres(place.centre_distance),
            pressure_angle_deg: place.pressure_angle_rad.to_degrees(),
            backlash_m: metres(place.backlash),
            bottom_clearance_m: metres(place.bottom_clearance),
            contact_ratio: place.mesh.contact_ratio,
        }
    }
}

fn millimetres(depthing: &Depthing, modules: f64) -> Option<f64> {
    depthing.module_m.map(|module_m| 1e3 * module_m * modules)
}

/// All meshes of a train in order.
#[must_use]
pub fn record(train: &Train, depthings: &[Depthing]) -> Vec<MeshRecord> {
    meshes(train, depthings)
        .map(|(wheel, pinion, depthing)| MeshRecord {
            wheel: wheel.name.clone(),
            pinion: pinion.name.clone(),
            wheel_teeth: depthing.mean.mesh.wheel_teeth,
            pinion_teeth: depthing.mean.mesh.pinion_teeth,
            module_mm: millimetres(depthing, 1.0),
            centre_distance_mm: depthing.designed_distance_m().map(|distance_m| 1e3 * distance_m),
            play_mm: millimetres(depthing, depthing.mean.backlash),
            least_play_mm: millimetres(depthing, depthing.deepest.backlash),
            bottom_clearance_mm: millimetres(depthing, depthing.mean.bottom_clearance),
            least_bottom_clearance_mm: millimetres(depthing, depthing.deepest.bottom_clearance),
            contact_ratio: depthing.mean.mesh.contact_ratio,
            least_contact_ratio: depthing.shallowest.mesh.contact_ratio,
            jams: depthing.tightness().is_some(),
            backlash_stated: depthing.backlash_stated,
            mean: PlaceRecord::of(&depthing.mean, depthing.module_m),
            deepest: PlaceRecord::of(&depthing.deepest, depthing.module_m),
            shallowest: PlaceRecord::of(&depthing.shallowest, depthing.module_m),
        })
        .collect()
}

/// Distance of the pallet arbor from the wheel's as drawn, mm; `None` without pallets.
#[must_use]
pub fn pallet_centre_distance_mm(built: &Built) -> Option<f64> {
    built.drawn.as_ref().map(|drawn| 1e3 * drawn.centre_distance_m)
}

pub(super) fn meshes<'t>(
    train: &'t Train,
    depthings: &'t [Depthing],
) -> impl Iterator<Item = (&'t Arbor, &'t Arbor, &'t Depthing)> {
    train.arbors.iter().zip(train.arbors.iter().skip(1)).zip(depthings).map(|((a, b), depthing)| (a, b, depthing))
}
