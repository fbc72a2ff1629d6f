//! The meshes of a train where they stand, as a table.

use std::fmt::Write as _;

use crate::clock::design::Train;
use crate::clock::train::counts::TrainReport;
use crate::clock::train::mesh::WorkingMesh;
use crate::clock::train::mesh_name::MeshName;
use crate::report::words::numbers::number;

use super::json::meshes;

/// The meshes where they stand; empty where all are as designed and no backlash is stated.
#[must_use]
pub fn table(train: &Train, report: &TrainReport) -> String {
    let mut out = String::new();
    if report.depthings.iter().all(|depthing| depthing.as_designed && !depthing.backlash_stated) {
        return out;
    }
    out.push_str(
        "Meshes at their working distance (mm; play along the pitch circle; for oval gears, least and most \
        over a turn in brackets)\n",
    );
    let _ = writeln!(
        out,
        "  {:<28} {:>18}  {:>24}  {:>24}  {:>18}",
        "mesh", "arbors apart", "play of the teeth", "tip clearance", "contact ratio"
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
        out.push_str("  * taken as a tenth of the module (common practice): the scenario states no backlash\n");
    }
    out
}
