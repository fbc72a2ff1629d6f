//! Tables of what the pictures of a comparison draw.

use crate::report::csv_table::{CsvTable, exact, optional, written};
use crate::study::comparison::portrait::{Compared, ComparisonPortrait, WIDTH_DEPTH_M};

/// The tables behind the pictures of a comparison, without those that would be empty.
#[must_use]
pub fn tables(compared: &[Compared<'_>], portrait: &ComparisonPortrait) -> Vec<CsvTable> {
    let tips =
        || compared.iter().zip(&portrait.tips).filter_map(|(scenario, tip)| Some((scenario.name, tip.as_ref()?)));
    let curves =
        compared.iter().zip(&portrait.curves).filter_map(|(scenario, curves)| Some((scenario.name, curves.as_ref()?)));
    [
        written(
            "tooth-tips",
            &["scenario", "outline", "across_mm", "above_drawn_tip_mm"],
            tips().flat_map(|(name, tip)| {
                let outlines = std::iter::once(("drawn", &tip.drawn)).chain(tip.printed.iter().map(|p| ("printed", p)));
                outlines.flat_map(move |(outline, points)| {
                    points
                        .iter()
                        .map(move |at| vec![name.to_owned(), outline.to_owned(), exact(at.x * 1e3), exact(at.y * 1e3)])
                })
            }),
        ),
        written(
            "tooth-tip-sizes",
            &["scenario", "tip_recedes_mm", "below_drawn_tip_mm", "width_as_drawn_mm", "width_as_printed_mm"],
            tips().map(|(name, tip)| {
                let lengths = [tip.recedes_m, WIDTH_DEPTH_M, tip.drawn_width_m, tip.printed_width_m];
                std::iter::once(name.to_owned()).chain(lengths.map(|length| exact(length * 1e3))).collect()
            }),
        ),
        written(
            "contact-curves",
            &["scenario", "outline", "pallet", "pendulum_angle_deg", "wheel_advance_deg"],
            curves.flat_map(|(name, curves)| {
                let both =
                    std::iter::once(("printed", &curves.printed)).chain(curves.drawn.iter().map(|d| ("drawn", d)));
                both.flat_map(move |(outline, pallets)| {
                    pallets.iter().flat_map(move |(pallet, curve)| {
                        curve.iter().map(move |point| {
                            vec![
                                name.to_owned(),
                                outline.to_owned(),
                                pallet.name().to_owned(),
                                exact(point.0.to_degrees()),
                                exact(point.1.to_degrees()),
                            ]
                        })
                    })
                })
            }),
        ),
        written(
            "least-weight-against-bead-radius",
            &["scenario", "bead_radius_mm", "least_weight_kg", "lock", "reason"],
            compared.iter().flat_map(|scenario| {
                scenario.beads.iter().flatten().map(|point| {
                    let reason = point.least_kg.as_ref().err().map(ToString::to_string).unwrap_or_default();
                    let lock = match (&point.least_kg, point.keeps_lock) {
                        (Err(_), _) => "",
                        (_, true) => "kept",
                        (_, false) => "lost",
                    };
                    let weight = point.least_kg.as_ref().ok().copied();
                    vec![
                        scenario.name.to_owned(),
                        exact(point.bead_radius_m * 1e3),
                        optional(weight),
                        lock.to_owned(),
                        reason,
                    ]
                })
            }),
        ),
    ]
    .into_iter()
    .flatten()
    .collect()
}
