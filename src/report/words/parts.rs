//! What parts are called.

use crate::clock::printing::part_sizes::Part;

/// The part as a maker calls it.
#[must_use]
pub fn part_name(part: &Part) -> String {
    match part {
        Part::Wheel(arbor) => format!("{arbor} wheel"),
        Part::EscapeWheel => "escape wheel".to_owned(),
        Part::Pallets => "pallets".to_owned(),
        Part::Drum => "drum".to_owned(),
        Part::Pulley => "pulley".to_owned(),
        Part::Bob => "bob".to_owned(),
        Part::Frame => "frame, arbor to arbor".to_owned(),
    }
}
