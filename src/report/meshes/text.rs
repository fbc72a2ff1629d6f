//! The meshes of a train as made and where they stand, as a table.

use std::fmt::Write as _;

use crate::clock::design::Train;
use crate::clock::train::counts::TrainReport;
use crate::clock::train::mesh::WorkingMesh;
use crate::clock::train::mesh_name::MeshName;
use crate::report::words::numbers::number;

use super::json::meshes;

/// The meshes as made and where they stand.
#[must_use]
pub fn table(train: &Train, report: &TrainReport) -> String {
    let mut out = String::from(
        "Meshes (mm; as made and in the room; play along the pitch circle; where it varies over the turns of both gears, least and \
            most in brackets)\n",
    );
    let _ = writeln!(
        out,
        "  {:<28} {:>6}  {:>8}  {:>8}  {:>22}  {:>22}  {:>20}",
        "mesh", "module", "to drill", "apart", "play", "tip room", "contact ratio"
    );
    for (wheel, pinion, depthing) in meshes(train, &report.depthings) {
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
        let length =
            |length_mm: Option<f64>, decimals| length_mm.map_or_else(|| "-".to_owned(), |mm| number(mm, decimals));
        let assumed = if depthing.backlash_stated { "" } else { "*" };
        let _ = writeln!(
            out,
            "  {:<28} {:>6}  {:>8}  {:>8}  {:>22}  {:>22}  {:>20}",
            MeshName::of(wheel, pinion, depthing).to_string().trim_start_matches("mesh "),
            length(depthing.module_m.map(|module_m| 1e3 * module_m), 2),
            length(depthing.designed_distance_m().map(|distance_m| 1e3 * distance_m), 2),
            length(depthing.module_m.map(|_| module_mm * depthing.mean.centre_distance), 3),
            cell(|place| place.backlash, module_mm, 3) + assumed,
            cell(|place| place.bottom_clearance, module_mm, 3),
            cell(|place| place.mesh.contact_ratio, 1.0, 2),
        );
    }
    if report.depthings.iter().any(|depthing| !depthing.backlash_stated) {
        out.push_str("  * from a tenth of the module (common practice): the scenario states no backlash\n");
    }
    out
}
