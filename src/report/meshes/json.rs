//! The meshes of a train where they stand, under their keys.

use serde::Serialize;

use crate::clock::design::{Arbor, Train};
use crate::clock::train::counts::TrainReport;
use crate::clock::train::depthing::Depthing;
use crate::clock::train::mesh::WorkingMesh;

/// A mesh.
#[derive(Debug, Clone, Serialize)]
pub struct MeshRecord {
    /// Arbor that carries the wheel.
    pub wheel_arbor: String,
    /// Arbor that carries the pinion.
    pub pinion_arbor: String,
    /// Whether the teeth are too deep in each other to turn.
    pub jams: bool,
    /// Whether the scenario states the backlash.
    pub backlash_stated: bool,
    /// Mean over a turn.
    pub mean: PlaceRecord,
    /// Where gears that have gone oval stand deepest; else as the mean.
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

/// All meshes of a train in order.
#[must_use]
pub fn record(train: &Train, report: &TrainReport) -> Vec<MeshRecord> {
    meshes(train, report)
        .map(|(wheel, pinion, depthing)| MeshRecord {
            wheel_arbor: wheel.name.clone(),
            pinion_arbor: pinion.name.clone(),
            jams: depthing.tightness().is_some(),
            backlash_stated: depthing.backlash_stated,
            mean: PlaceRecord::of(&depthing.mean, depthing.module_m),
            deepest: PlaceRecord::of(&depthing.deepest, depthing.module_m),
            shallowest: PlaceRecord::of(&depthing.shallowest, depthing.module_m),
        })
        .collect()
}

pub(super) fn meshes<'t>(
    train: &'t Train,
    report: &'t TrainReport,
) -> impl Iterator<Item = (&'t Arbor, &'t Arbor, &'t Depthing)> {
    train
        .arbors
        .iter()
        .zip(train.arbors.iter().skip(1))
        .zip(&report.depthings)
        .map(|((a, b), depthing)| (a, b, depthing))
}
