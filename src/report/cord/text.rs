//! The cord in lines.

use crate::report::words::numbers::{line, number};

use super::json::CordRecord;

/// How much cord there is and how it lies; what is known of its bending and its weight.
#[must_use]
pub fn lines(cord: &CordRecord, weight_kg: f64) -> String {
    let mut out = String::new();
    line(&mut out, "cord to cut, beside what hangs", &format!("{} m", number(cord.length_m, 2)));
    let needs = number(cord.turns + cord.turns_left, 1);
    let on_drum = match (cord.turns_per_layer, cord.layers) {
        (Some(holds), Some(1)) => format!("{needs} of {holds} that one layer holds"),
        (Some(holds), Some(layers)) => format!("{needs} in {layers} layers of {holds}"),
        _ => format!("{needs}: {} mm of drum in one layer", number(cord.drum_length_for_one_layer_mm, 1)),
    };
    line(&mut out, "turns on the drum, 2 of them stay", &on_drum);
    out.push_str(&drive_lines(cord, weight_kg));
    out
}

/// What of the drive changes over a run, and what bending takes of it; nothing where nothing is known of it.
#[must_use]
pub fn drive_lines(cord: &CordRecord, weight_kg: f64) -> String {
    let mut out = String::new();
    if let Some(share) = cord.bending_loss_share {
        line(&mut out, "lost in bending the cord", &format!("{} % of the weight's work", number(1e2 * share, 2)));
    }
    let more = |kg: f64| format!("{} kg (+{} %)", number(kg, 3), number(1e2 * (kg / weight_kg - 1.0), 2));
    if let Some(kg) = cord.drives_wound_up_kg.filter(|_| cord.layers > Some(1)) {
        line(&mut out, "wound up, drives as in one layer", &more(kg));
    }
    if let Some(kg) = cord.drives_run_down_kg.filter(|_| weight_kg > 0.0) {
        line(&mut out, "run down, weight and cord drive as", &more(kg));
    }
    out
}
