//! What a report on a family of clocks needs, and lengths that its text and its files share.

use serde::Serialize;

use crate::clock::escapement::action::Action;
use crate::clock::printing::bed::Bed;
use crate::report::prediction::json::Results;
use crate::report::words::numbers::number;
use crate::study::family::{ActionLengths, Member};

/// A family with what its tables need.
#[derive(Debug, Clone, Copy)]
pub struct FamilyView<'f> {
    /// The members.
    pub members: &'f [Member],
    /// Their results.
    pub results: &'f [Results],
    /// Their names, no two the same.
    pub names: &'f [String],
}

/// "220 x 220 x 250 mm".
#[must_use]
pub fn bed_in_words(bed: &Bed) -> String {
    let sides = [Some(bed.width_m), Some(bed.depth_m), bed.height_m];
    let sides: Vec<String> = sides.into_iter().flatten().map(|side_m| number(1e3 * side_m, 0)).collect();
    format!("{} mm", sides.join(" x "))
}

/// Lock and drop of entry and exit as lengths, mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LengthsMm {
    /// Lock along the pallet, entry and exit.
    pub lock: [f64; 2],
    /// Drop of the wheel at its tips, leaving entry and exit.
    pub drop: [f64; 2],
}

/// Lock and drop as lengths; `None` for an ideal escapement.
#[must_use]
pub fn lengths_mm(action: Option<Action>, lengths: Option<ActionLengths>) -> Option<LengthsMm> {
    let (action, lengths) = (action?, lengths?);
    let pallets = [action.entry, action.exit];
    Some(LengthsMm {
        lock: pallets.map(|pallet| 1e3 * lengths.pallet_arm_m * pallet.lock_rad),
        drop: pallets.map(|pallet| 1e3 * lengths.tip_radius_m * pallet.drop_rad),
    })
}
