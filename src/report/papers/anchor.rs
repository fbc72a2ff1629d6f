//! Sizes of the anchor in one piece.

use crate::clock::escapement::anchor::{COMMON_HUB_TO_BORE, LEAST_BEADS, PalletAnchor, bead_m, least_arm_m};
use crate::geometry::Point;
use crate::report::words::numbers::number;

use super::PapersView;
use super::table::{CellKind, PaperCell, PaperTable};

/// Swing over which the room about the wheel is looked at where the scenario gives no start arc, rad: 5 degrees.
const SWING_RAD: f64 = 5.0 * std::f64::consts::PI / 180.0;

/// The anchor, or why there is none; `None` without pallets.
pub(super) fn anchor_table(view: &PapersView<'_>) -> Option<PaperTable> {
    let title = "Anchor: both pallets in one piece";
    let anchor = match view.papers.anchor.as_ref()? {
        Ok(anchor) => anchor,
        Err(error) => {
            let why = PaperCell::Text(error.to_string());
            return Some(PaperTable::list(
                "anchor",
                title,
                vec![("not_drawn", "not drawn".to_owned(), why)],
                Vec::new(),
            ));
        }
    };
    let drawn = view.prediction.built.drawn.as_ref()?;
    let body = view.design.anchor;
    let swing_rad = view.design.start_arc_rad.unwrap_or(SWING_RAD);
    let room_m = anchor.room_about_wheel_m(drawn.tooth.farthest_m(Point::zeros()), swing_rad);
    let mut values = vec![
        ("bore", "bore".to_owned(), PaperCell::Length(anchor.bore_m, 2)),
        ("hub_diameter", "hub diameter".to_owned(), PaperCell::Length(anchor.hub_m, 2)),
        ("arm_width", "width of the arms".to_owned(), PaperCell::Length(anchor.arm_m, 2)),
        ("thickness", "thickness".to_owned(), PaperCell::length(body.thickness_m, 2)),
        ("mass", "mass".to_owned(), anchor_mass(view, anchor)),
        ("centre_distance", "distance from the escape arbor".to_owned(), PaperCell::Length(drawn.centre_distance_m, 3)),
    ];
    if let Some(room_m) = room_m {
        values.push((
            "room_about_wheel",
            format!(
                "clearance of arms and hub over the wheel's tips, at a swing of {} deg",
                number(swing_rad.to_degrees(), 1)
            ),
            PaperCell::Length(room_m, 2),
        ));
    }
    let faces = if anchor.pins.is_empty() {
        "The acting faces are those of the scenario, as drawn; the sheet is at full size."
    } else {
        "The pallets are pins: the plate has a hole for each, and stands before or behind the wheel. The sheet is at full size."
    };
    let mut notes = vec![faces.to_owned()];
    notes.extend(unstated_note(view, anchor));
    if room_m.is_some_and(|room_m| room_m < 0.0) {
        notes.push("Arms or hub reach into the wheel: make them smaller, or draw the pallets longer.".to_owned());
    }
    Some(PaperTable::list("anchor", title, values, notes))
}

/// Mass of an anchor of this outline, where material and thickness are stated.
pub(super) fn anchor_mass(view: &PapersView<'_>, anchor: &PalletAnchor) -> PaperCell {
    let density = view.design.pallets.as_ref().map(|made_of| made_of.material.density_kg_m3);
    match (density, view.design.anchor.thickness_m) {
        (Some(density_kg_m3), Some(thickness_m)) => {
            PaperCell::Number(1e3 * density_kg_m3 * thickness_m * anchor.area_m2(), 1, "g")
        }
        _ => PaperCell::NotStated(CellKind::Number("g")),
    }
}

/// What the scenario does not state of the anchor, and what is drawn in its place.
fn unstated_note(view: &PapersView<'_>, anchor: &PalletAnchor) -> Option<String> {
    let (body, least_m) = (view.design.anchor, least_arm_m(view.design));
    let mut unstated = Vec::new();
    if body.bore_m.is_none() {
        unstated.push("bore (that of the pallets' bearing is taken)".to_owned());
    }
    if body.hub_diameter_m.is_none() {
        unstated.push(if anchor.hub_m > COMMON_HUB_TO_BORE * anchor.bore_m {
            "hub_diameter (drawn 2.5 times as wide as the arms, which is more than twice the bore)".to_owned()
        } else {
            "hub_diameter (drawn twice as wide as the bore)".to_owned()
        });
    }
    if body.arm_width_m.is_none() {
        unstated.push(if anchor.arm_m < least_m {
            format!(
                "arm_width (drawn {} mm wide, as the hub allows: less than the {} mm that print stiff)",
                number(1e3 * anchor.arm_m, 2),
                number(1e3 * least_m, 2)
            )
        } else if anchor.arm_m == least_m {
            format!(
                "arm_width (drawn {} mm wide, the least that prints stiff: {} beads of {} mm)",
                number(1e3 * anchor.arm_m, 2),
                number(LEAST_BEADS, 0),
                number(1e3 * bead_m(view.design), 2)
            )
        } else {
            "arm_width (drawn four tenths of the hub)".to_owned()
        });
    }
    (!unstated.is_empty()).then(|| {
        format!(
            "Not stated in `[escapement.pallets]`: {}. These proportions are ours (common practice, no source).",
            unstated.join(", ")
        )
    })
}
