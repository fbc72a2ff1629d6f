//! What parts are called, and how large they are.

use crate::clock::design::Lubrication;
use crate::clock::frictions::RubbingPart;
use crate::clock::printing::bed::Footprint;
use crate::clock::printing::part_sizes::{MadePart, PartSize};
use crate::report::words::numbers::number;

/// The part as a maker calls it.
#[must_use]
pub fn part_name(part: &MadePart) -> String {
    match part {
        MadePart::Wheel(arbor) => format!("{arbor} wheel"),
        MadePart::EscapeWheel => "escape wheel".to_owned(),
        MadePart::Pallets => "pallets".to_owned(),
        MadePart::Drum => "drum".to_owned(),
        MadePart::Pulley => "pulley".to_owned(),
        MadePart::Bob => "bob".to_owned(),
        MadePart::Frame => "frame, arbor to arbor".to_owned(),
    }
}

/// Where a friction is, as a maker calls it.
#[must_use]
pub const fn rubbing_part_name(part: RubbingPart) -> &'static str {
    match part {
        RubbingPart::Teeth => "teeth of the train",
        RubbingPart::TrainBearing { ball: true } => "ball bearings of the train",
        RubbingPart::TrainBearing { ball: false } => "bearing holes of the train",
        RubbingPart::Hands => "fit of the hands",
        RubbingPart::Pulley { .. } => "pulley",
        RubbingPart::LumpedDrive => "train",
        RubbingPart::Suspension { .. } => "suspension of the pendulum",
        RubbingPart::Bending => "bending springs and cords",
        RubbingPart::PalletBearing { .. } => "bearing of the pallets",
        RubbingPart::WholePendulum => "pendulum as a whole",
        RubbingPart::Air => "air",
        RubbingPart::CrutchPlay => "play of the crutch",
        RubbingPart::PalletFaces => "faces of the pallets",
    }
}

/// What is between them.
#[must_use]
pub const fn lubrication_name(lubrication: Lubrication) -> &'static str {
    match lubrication {
        Lubrication::Oiled => "oiled",
        Lubrication::Greased => "greased",
        Lubrication::Dry => "dry",
    }
}

/// Diameter, or width and depth, then height, in mm.
#[must_use]
pub fn size_in_mm(part: &PartSize) -> String {
    let height = part.height_m.map(|height_m| format!(" x {}", number(1e3 * height_m, 1))).unwrap_or_default();
    match part.footprint {
        Footprint::Round(diameter_m) => format!("{}{height}", number(1e3 * diameter_m, 1)),
        Footprint::Rectangle(one_m, other_m) => {
            format!("{} x {}{height}", number(1e3 * one_m, 1), number(1e3 * other_m, 1))
        }
    }
}
