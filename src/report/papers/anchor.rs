//! Sizes of the anchor in one piece.

use crate::geometry::Point;
use crate::report::words::numbers::number;

use super::PapersView;
use super::table::{PaperCell, PaperTable};

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
    let values = vec![
        ("bore", "bore".to_owned(), PaperCell::Length(anchor.bore_m, 2)),
        ("hub_diameter", "hub, diameter".to_owned(), PaperCell::Length(anchor.hub_m, 2)),
        ("arm_width", "arms, wide".to_owned(), PaperCell::Length(anchor.arm_m, 2)),
        ("thickness", "thickness".to_owned(), PaperCell::length(body.thickness_m, 2)),
        ("centre_distance", "arbor, from the escape arbor".to_owned(), PaperCell::Length(drawn.centre_distance_m, 3)),
        (
            "room_about_wheel",
            format!("room from arms and hub to the tips, in a swing of {} deg", number(swing_rad.to_degrees(), 1)),
            PaperCell::Length(room_m, 2),
        ),
    ];
    let mut notes = vec!["The acting faces are those of the scenario, as drawn; the sheet is 1:1.".to_owned()];
    let unstated = [
        (body.bore_m.is_none(), "bore (that of the pallets' bearing is taken)"),
        (body.hub_diameter_m.is_none(), "hub_diameter (twice the bore is drawn)"),
        (body.arm_width_m.is_none(), "arm_width (four tenths of the hub are drawn)"),
    ];
    let unstated: Vec<&str> = unstated.into_iter().filter(|(is, _)| *is).map(|(_, words)| words).collect();
    if !unstated.is_empty() {
        notes.push(format!(
            "Not stated in `[escapement.pallets]`: {}. Those proportions are ours (common practice, no source).",
            unstated.join(", ")
        ));
    }
    if room_m < 0.0 {
        notes.push("Arms or hub reach into the wheel: make them smaller, or draw the pallets longer.".to_owned());
    }
    Some(PaperTable::list("anchor", title, values, notes))
}
