//! Sizes, parts and steps of a family as tables.

use crate::report::csv_table::{CsvTable, exact, optional, written};

use super::json::{PartRecord, PointRecord, SizeRecord, steps_keys};
use super::{FamilyView, bed_in_words};

/// Sizes, parts and steps as tables.
#[must_use]
pub fn tables(view: &FamilyView<'_>) -> Vec<CsvTable> {
    let named = || view.members.iter().zip(view.names);
    let sizes = named().flat_map(|(member, name)| {
        member.sizes.iter().map(move |size| {
            let record = SizeRecord::of(size);
            let mm = record.lengths_mm;
            let mut row = vec![name.clone(), exact(record.scale_all)];
            row.extend(point_cells(record.point));
            row.extend(
                [mm.map(|mm| mm.lock[0]), mm.map(|mm| mm.lock[1]), mm.map(|mm| mm.drop[0]), mm.map(|mm| mm.drop[1])]
                    .map(optional),
            );
            row.extend([record.largest_part.unwrap_or_default(), optional(record.largest_part_mm)]);
            row
        })
    });
    let parts = named().flat_map(|(member, name)| {
        member.parts.iter().enumerate().flat_map(move |(index, part)| {
            let record = PartRecord::of(part);
            let own = [
                name.clone(),
                record.name,
                exact(record.sides_mm[0]),
                exact(record.sides_mm[1]),
                optional(record.height_mm),
            ];
            let on_beds = member.beds.iter().map(move |fit| {
                let here = &fit.parts[index];
                [bed_in_words(&fit.bed), exact(here.growth), optional(here.largest)]
            });
            // A part has a row without a bed too.
            let on_beds: Vec<[String; 3]> =
                if member.beds.is_empty() { vec![Default::default()] } else { on_beds.collect() };
            on_beds.into_iter().map(move |bed| own.iter().cloned().chain(bed).collect::<Vec<String>>())
        })
    });
    let steps = named().flat_map(|(member, name)| {
        let records = member.steps.as_ref().map(|steps| steps_keys(&view.names[0], steps)).unwrap_or_default();
        records.into_iter().map(move |step| {
            let mut row = vec![name.clone(), step.taken_over];
            row.extend(point_cells(step.point));
            row
        })
    });
    let action = ["entry_lock_mm", "exit_lock_mm", "entry_drop_mm", "exit_drop_mm", "largest_part", "largest_part_mm"];
    let sizes_columns = [&["member", "scale_all"][..], &POINT_COLUMNS, &action].concat();
    let part_columns =
        ["member", "part", "side_mm", "other_side_mm", "height_mm", "bed", "growth_that_fits", "largest_scale_all"];
    [
        written("family-sizes", &sizes_columns, sizes),
        written("family-parts", &part_columns, parts),
        written("family-steps", &[&["member", "taken_over"][..], &POINT_COLUMNS].concat(), steps),
    ]
    .into_iter()
    .flatten()
    .collect()
}

const POINT_COLUMNS: [&str; 7] =
    ["keeps_going", "semi_arc_deg", "rate_s_per_day", "least_drive", "drive_over_least", "run_time_days", "reason"];

fn point_cells(record: PointRecord) -> [String; 7] {
    [
        record.keeps_going.to_string(),
        optional(record.semi_arc_deg),
        optional(record.rate_s_per_day),
        optional(record.least_drive),
        optional(record.drive_over_least),
        optional(record.run_time_days),
        record.reason.unwrap_or_default(),
    ]
}
