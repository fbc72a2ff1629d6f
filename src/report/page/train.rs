//! The train arbor by arbor and mesh by mesh, as tables.

use maud::html;

use crate::report::meshes::text::{MESH_CAPTION, PLAY_ASSUMED, any_play_assumed, mesh_rows};
use crate::report::words::numbers::number;

use super::PageMember;
use super::parts::{PageSection, table};

/// Heads of the columns of the meshes.
const MESH_TITLES: [&str; 7] =
    ["Mesh", "Module", "Centre distance to drill", "As it acts", "Play", "Tip room", "Contact ratio"];

/// Counts, turns, torque and losses of every arbor, and every mesh as made; `None` without a train.
pub(super) fn train_section(member: &PageMember<'_>) -> Option<PageSection> {
    let built = &member.prediction.built;
    let (train, report) = (member.in_room.train.as_ref()?, built.train.as_ref()?);
    let rows = train
        .arbors
        .iter()
        .zip(&report.arbors)
        .enumerate()
        .map(|(index, (arbor, turns))| {
            let count = |teeth: Option<u32>| teeth.map_or_else(|| "\u{2013}".to_owned(), |teeth| teeth.to_string());
            let losses = built.drive.as_ref().and_then(|drive| drive.arbors.get(index));
            let dash = || "\u{2013}".to_owned();
            vec![
                arbor.name.clone(),
                count(arbor.pinion_teeth),
                count(arbor.wheel_teeth),
                turns.turns_per_hour.map_or_else(dash, |turns| format!("{}/h", number(turns, 3))),
                losses.map_or_else(dash, |arbor| format!("{} mN m", number(1e3 * arbor.torque_n_m, 3))),
                losses.map_or_else(dash, |arbor| format!("{} %", number(1e2 * arbor.bearing_loss_share, 2))),
                losses
                    .and_then(|arbor| arbor.mesh_loss_share)
                    .map_or_else(dash, |share| format!("{} %", number(1e2 * share, 2))),
            ]
        })
        .collect::<Vec<_>>();
    let meshes: Vec<Vec<String>> = mesh_rows(train, report)
        .into_iter()
        .map(|row| row.into_iter().map(|cell| if cell == "-" { "\u{2013}".to_owned() } else { cell }).collect())
        .collect();
    Some(PageSection {
        id: "train",
        title: "The train",
        body: html! {
            (table(
                "Torque behind each bearing; losses as shares of the weight's power.",
                &["Arbor", "Pinion", "Wheel", "Turns", "Torque", "Lost in bearings", "Lost in the mesh"],
                &rows,
            ))
            @if !meshes.is_empty() {
                (table(&format!("Meshes ({MESH_CAPTION})."), &MESH_TITLES, &meshes))
                @if any_play_assumed(report) { p.small { (PLAY_ASSUMED) "." } }
            }
        },
    })
}
