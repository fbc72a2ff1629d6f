//! The table of wheels and the table of their meshes.

use crate::clock::train::depthing::COMMON_BOTTOM_CLEARANCE_MODULES;
use crate::clock::train::gear_outline::{designed_root, designed_tip};
use crate::clock::train::mesh_name::MeshName;
use crate::geometry::Point;

use super::PapersView;
use super::table::{CellKind, PaperCell, PaperTable};
use super::units::plain;

/// Every wheel and pinion with its diameters; `None` without a train.
pub(super) fn gear_table(view: &PapersView<'_>) -> Option<PaperTable> {
    let train = view.design.train.as_ref()?;
    let stated_room = train.bottom_clearance_modules;
    let room = stated_room.unwrap_or(COMMON_BOTTOM_CLEARANCE_MODULES);
    let row = |name: String, teeth: u32, module_m: Option<f64>, thickness: PaperCell, bore_m: Option<f64>| {
        let by_module = |of: f64| PaperCell::length(module_m.map(|module_m| 2.0 * of * module_m), 2);
        let count = f64::from(teeth);
        vec![
            PaperCell::Text(name),
            PaperCell::Count(teeth),
            module_m.map_or(PaperCell::NotStated(CellKind::Module), PaperCell::Module),
            by_module(0.5 * count),
            by_module(designed_tip(count)),
            by_module(designed_root(count, room)),
            thickness,
            PaperCell::length(bore_m, 2),
        ]
    };
    let mut rows = Vec::new();
    let mut driven_by = None;
    for arbor in &train.arbors {
        if let Some(teeth) = arbor.pinion_teeth {
            rows.push(row(
                format!("{} pinion", arbor.name),
                teeth,
                driven_by,
                PaperCell::NotStated(CellKind::Length),
                arbor.sizes.bore_m,
            ));
        }
        if let Some(teeth) = arbor.wheel_teeth {
            let thickness = PaperCell::length(arbor.sizes.wheel_thickness_m, 2);
            rows.push(row(format!("{} wheel", arbor.name), teeth, arbor.module_m, thickness, arbor.sizes.bore_m));
        }
        driven_by = arbor.module_m;
    }
    if let Some(drawn) = &view.prediction.built.drawn {
        let body = view.design.escape_wheel.as_ref();
        rows.push(vec![
            PaperCell::Text("escape wheel".to_owned()),
            PaperCell::Count(drawn.teeth),
            PaperCell::Nothing(CellKind::Module),
            PaperCell::Nothing(CellKind::Length),
            PaperCell::Length(2.0 * drawn.tooth.farthest_m(Point::zeros()), 2),
            PaperCell::Nothing(CellKind::Length),
            PaperCell::length(body.map(|body| body.thickness_m), 2),
            PaperCell::length(body.map(|body| body.bore_diameter_m), 2),
        ]);
    }
    for (number, &(driver, driven)) in train.motion_work.iter().enumerate() {
        let module_m = train.motion_work_modules_m.get(number).copied();
        for (which, teeth) in [("driver", driver), ("driven", driven)] {
            let name = format!("motion work {}, {which}", number + 1);
            rows.push(row(name, teeth, module_m, PaperCell::NotStated(CellKind::Length), None));
        }
    }
    let angle = format!("Involute teeth of {} deg pressure angle.", plain(train.pressure_angle_rad.to_degrees()));
    let below = format!(
        "Pitch diameter d = m z (ISO 21771). Tips stand one module beyond it (basic rack of ISO 53, recalled), roots 1 module and {} of one \
         below it ({}).",
        plain(room),
        if stated_room.is_some() {
            "`train.bottom_clearance`"
        } else {
            "common practice: the scenario states no bottom clearance"
        }
    );
    let mut notes = vec![
        angle,
        below,
        "For the play of a mesh (next table), thin the teeth of both its gears along the pitch circle, each by half of it."
            .to_owned(),
    ];
    notes.extend(bores_too_wide(&rows));
    let columns = [
        ("gear", "gear"),
        ("teeth", "teeth"),
        ("module", "module"),
        ("pitch_diameter", "pitch diameter"),
        ("tip_diameter", "over tips"),
        ("root_diameter", "over roots"),
        ("thickness", "thickness"),
        ("bore", "bore"),
    ];
    Some(PaperTable::rows("wheels", "Wheels and pinions, as drawn", &columns, rows, notes))
}

/// Gears whose bore is not below the roots of their teeth.
fn bores_too_wide(rows: &[Vec<PaperCell>]) -> Option<String> {
    let too_wide = rows.iter().filter_map(|row| match row.as_slice() {
        [PaperCell::Text(name), .., PaperCell::Length(root_m, _), _, PaperCell::Length(bore_m, _)] => {
            (bore_m >= root_m).then_some(name.as_str())
        }
        _ => None,
    });
    let too_wide: Vec<&str> = too_wide.collect();
    let names = too_wide.join(", ");
    (!too_wide.is_empty()).then(|| format!("The bore leaves nothing below the roots of the teeth: {names}."))
}

/// The meshes, and the distance of the pallets; `None` without a train.
pub(super) fn mesh_table(view: &PapersView<'_>) -> Option<PaperTable> {
    let built = &view.prediction.built;
    let (train, report) = (view.design.train.as_ref()?, built.train.as_ref()?);
    let mut any_assumed = false;
    let mut rows: Vec<Vec<PaperCell>> = train
        .arbors
        .windows(2)
        .zip(&report.depthings)
        .filter_map(|(pair, depthing)| {
            let [driver, driven] = pair else { return None };
            any_assumed |= !depthing.backlash_stated;
            let modules = |of: f64| PaperCell::length(depthing.module_m.map(|module_m| module_m * of), 3);
            let name = MeshName::of(driver, driven, depthing).to_string();
            Some(vec![
                PaperCell::Text(name.trim_start_matches("mesh ").to_owned()),
                PaperCell::length(depthing.designed_distance_m(), 3),
                modules(depthing.mean.centre_distance),
                modules(depthing.mean.backlash),
                modules(depthing.mean.bottom_clearance),
                PaperCell::Number(depthing.mean.mesh.contact_ratio, 2, ""),
            ])
        })
        .collect();
    if let (Some(drawn), Some(made)) = (&built.drawn, &built.outlines) {
        rows.push(vec![
            PaperCell::Text("escape wheel -> pallets".to_owned()),
            PaperCell::Length(drawn.centre_distance_m, 3),
            PaperCell::Length(made.centre_distance_m, 3),
            PaperCell::Nothing(CellKind::Length),
            PaperCell::Nothing(CellKind::Length),
            PaperCell::Nothing(CellKind::Number("")),
        ]);
    }
    let mut notes = vec![
        "Drill at the first distance; the second is that at which the gears work, as made and in the room. Play is along the pitch circle."
            .to_owned(),
    ];
    let jammed: Vec<String> = view.results.jammed.iter().map(ToString::to_string).collect();
    if !jammed.is_empty() {
        notes.push(format!("Jams in the room of the scenario: {}.", jammed.join(", ")));
    }
    if any_assumed {
        notes.push(
            "Where the scenario states no backlash, play is a tenth of the module (common practice, no source)."
                .to_owned(),
        );
    }
    let columns = [
        ("mesh", "mesh"),
        ("centre_distance_to_drill", "to drill"),
        ("working_distance", "works at"),
        ("play", "play"),
        ("tip_room", "tip room"),
        ("contact_ratio", "contact ratio"),
    ];
    Some(PaperTable::rows("meshes", "Centre distances", &columns, rows, notes))
}
