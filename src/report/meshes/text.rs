//! The meshes of a train as made and where they stand, as a table.

use std::fmt::Write as _;

use crate::clock::design::{Arbor, Train};
use crate::clock::train::counts::TrainReport;
use crate::clock::train::depthing::Depthing;
use crate::clock::train::mesh::WorkingMesh;
use crate::clock::train::mesh_name::MeshName;
use crate::report::words::numbers::number;

use super::json::meshes;

/// Heads of the columns of [`mesh_rows`].
pub(in crate::report) const MESH_HEADS: [&str; 7] =
    ["mesh", "module", "to drill", "apart", "play", "tip room", "contact ratio"];

/// What the table's lengths are, and what stands in brackets.
pub(in crate::report) const MESH_CAPTION: &str = "mm; as made and in the room; play along the pitch circle; where it varies over the turns of both gears, least and most in \
        brackets";

/// What a star at a play means.
pub(in crate::report) const PLAY_ASSUMED: &str =
    "* from a tenth of the module (common practice): the scenario states no backlash";

/// Whether any play has a star.
pub(in crate::report) fn any_play_assumed(report: &TrainReport) -> bool {
    report.depthings.iter().any(|depthing| !depthing.backlash_stated)
}

/// The meshes as made and where they stand, a row each: name with both counts, module, distance to be drilled, distance as it acts, play,
/// room between tips and roots, contact ratio.
pub(in crate::report) fn mesh_rows(train: &Train, report: &TrainReport) -> Vec<[String; 7]> {
    meshes(train, &report.depthings).map(|(wheel, pinion, depthing)| mesh_row(wheel, pinion, depthing)).collect()
}

fn mesh_row(wheel: &Arbor, pinion: &Arbor, depthing: &Depthing) -> [String; 7] {
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
        if factor == 1.0 { format!("{mean} ({shallow} to {deep})") } else { format!("{mean} ({deep} to {shallow})") }
    };
    let length = |length_mm: Option<f64>, decimals| length_mm.map_or_else(|| "-".to_owned(), |mm| number(mm, decimals));
    let assumed = if depthing.backlash_stated { "" } else { "*" };
    [
        MeshName::of(wheel, pinion, depthing).to_string().trim_start_matches("mesh ").to_owned(),
        length(depthing.module_m.map(|module_m| 1e3 * module_m), 2),
        length(depthing.designed_distance_m().map(|distance_m| 1e3 * distance_m), 2),
        length(depthing.module_m.map(|_| module_mm * depthing.mean.centre_distance), 3),
        cell(|place| place.backlash, module_mm, 3) + assumed,
        cell(|place| place.bottom_clearance, module_mm, 3),
        cell(|place| place.mesh.contact_ratio, 1.0, 2),
    ]
}

/// The meshes as made and where they stand.
#[must_use]
pub fn table(train: &Train, report: &TrainReport) -> String {
    let mut out = format!("Meshes ({MESH_CAPTION})\n");
    for [mesh, module, to_drill, apart, play, tip_room, contact_ratio] in
        std::iter::once(MESH_HEADS.map(str::to_owned)).chain(mesh_rows(train, report))
    {
        let _ = writeln!(
            out,
            "  {mesh:<28} {module:>6}  {to_drill:>8}  {apart:>8}  {play:>22}  {tip_room:>22}  {contact_ratio:>20}"
        );
    }
    if any_play_assumed(report) {
        let _ = writeln!(out, "  {PLAY_ASSUMED}");
    }
    out
}
