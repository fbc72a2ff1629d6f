//! The meshes of a train where they stand, as keys and as a table.

use std::fmt::Write as _;

use serde::Serialize;

use crate::clock::design::{Arbor, Train};
use crate::clock::train::counts::TrainReport;
use crate::clock::train::depthing::Depthing;
use crate::clock::train::mesh::WorkingMesh;
use crate::clock::train::mesh_name::MeshName;

use super::prediction::text::number;

/// A mesh.
#[derive(Debug, Clone, Serialize)]
pub struct MeshKeys {
    /// Arbor that carries the wheel.
    pub wheel_arbor: String,
    /// Arbor that carries the pinion.
    pub pinion_arbor: String,
    /// Whether the teeth are too deep in each other to turn.
    pub jams: bool,
    /// Whether the scenario states the backlash.
    pub backlash_stated: bool,
    /// Mean over a turn.
    pub mean: PlaceKeys,
    /// Where gears that have gone oval stand deepest; else as the mean.
    pub deepest: PlaceKeys,
    /// Where they stand least deep.
    pub shallowest: PlaceKeys,
}

/// A mesh at one place of a turn.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct PlaceKeys {
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

impl PlaceKeys {
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
pub fn mesh_keys(train: &Train, report: &TrainReport) -> Vec<MeshKeys> {
    meshes(train, report)
        .map(|(wheel, pinion, depthing)| MeshKeys {
            wheel_arbor: wheel.name.clone(),
            pinion_arbor: pinion.name.clone(),
            jams: depthing.tightness().is_some(),
            backlash_stated: depthing.backlash_stated,
            mean: PlaceKeys::of(&depthing.mean, depthing.module_m),
            deepest: PlaceKeys::of(&depthing.deepest, depthing.module_m),
            shallowest: PlaceKeys::of(&depthing.shallowest, depthing.module_m),
        })
        .collect()
}

fn meshes<'t>(train: &'t Train, report: &'t TrainReport) -> impl Iterator<Item = (&'t Arbor, &'t Arbor, &'t Depthing)> {
    train
        .arbors
        .iter()
        .zip(train.arbors.iter().skip(1))
        .zip(&report.depthings)
        .map(|((a, b), depthing)| (a, b, depthing))
}

/// The meshes where they stand; empty where all are as designed and no backlash is stated.
#[must_use]
pub fn meshes_table(train: &Train, report: &TrainReport) -> String {
    let mut out = String::new();
    if report.depthings.iter().all(|depthing| depthing.as_designed && !depthing.backlash_stated) {
        return out;
    }
    out.push_str("Meshes where they stand (mm; play along the pitch circle; of gears gone oval in brackets least and most over a turn)\n");
    let _ = writeln!(
        out,
        "  {:<28} {:>18}  {:>24}  {:>24}  {:>18}",
        "mesh", "arbors apart", "play of the teeth", "below the tips", "contact ratio"
    );
    for (wheel, pinion, depthing) in meshes(train, report) {
        let module_mm = depthing.module_m.map_or(f64::NAN, |module_m| 1e3 * module_m);
        let cell = |of: fn(&WorkingMesh) -> f64, factor: f64, decimals: usize| {
            if factor.is_nan() {
                return "-".to_owned();
            }
            let shown = |place: &WorkingMesh| number(factor * of(place), decimals);
            let mean = shown(&depthing.mean);
            if depthing.deepest == depthing.shallowest {
                return mean;
            }
            let (deep, shallow) = (shown(&depthing.deepest), shown(&depthing.shallowest));
            // Deeper teeth share the load among more pairs.
            if factor == 1.0 {
                format!("{mean} ({shallow} to {deep})")
            } else {
                format!("{mean} ({deep} to {shallow})")
            }
        };
        let assumed = if depthing.backlash_stated { "" } else { "*" };
        let _ = writeln!(
            out,
            "  {:<28} {:>18}  {:>24}  {:>24}  {:>18}",
            MeshName::of(wheel, pinion, depthing).to_string().trim_start_matches("mesh "),
            depthing.module_m.map_or_else(|| "-".to_owned(), |_| number(module_mm * depthing.mean.centre_distance, 3)),
            cell(|place| place.backlash, module_mm, 3) + assumed,
            cell(|place| place.bottom_clearance, module_mm, 3),
            cell(|place| place.mesh.contact_ratio, 1.0, 2),
        );
    }
    if report.depthings.iter().any(|depthing| !depthing.backlash_stated) {
        out.push_str("  * designed for a tenth of the module (common practice): the scenario states no backlash\n");
    }
    out
}
