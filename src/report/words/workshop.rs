//! Sizes that do not go together, in words.

use crate::clock::notes::Note;
use crate::report::words::numbers::{at_least, number};

/// A note on sizes as a sentence; empty for any other note.
pub(in crate::report) fn workshop_words(note: &Note) -> String {
    match note {
        Note::NutBelowRod { below_m } => format!(
            "the rating nut hangs {} mm below the end of the rod: lengthen the rod, or move the nut up",
            number(1e3 * below_m, 1)
        ),
        Note::DrumWithinBearing { drum_m, bearing_m, is_ball } => format!(
            "a drum of {} mm does not go round its arbor, which takes {} of {} mm: use a larger drum, or a thinner arbor",
            number(1e3 * drum_m, 1),
            if *is_ball { "a ball bearing" } else { "a pivot" },
            number(1e3 * bearing_m, 1)
        ),
        Note::CordBentSharply { round_m, is_drum, cord_m, least_ratio } => format!(
            "a cord of {} mm is too thick for a {} of {} mm: it takes force to bend, and wears; use a {} of at least {} mm or a \
             thinner cord (common practice: {} times its diameter)",
            number(1e3 * cord_m, 1),
            if *is_drum { "drum" } else { "pulley" },
            number(1e3 * round_m, 1),
            if *is_drum { "drum" } else { "pulley" },
            number(1e3 * least_ratio * cord_m, 0),
            number(*least_ratio, 0)
        ),
        Note::CordInLayers { layers, holds, needs, drum_length_m, more_torque } => format!(
            "the drum holds {holds} turns in a layer, and run and turns that stay on it need {}: the cord lies in {layers} layers, may jam \
             between them, and gives {} % more torque wound up than run down; a drum of {} mm holds it in one",
            number(*needs, 1),
            number(1e2 * more_torque, 1),
            at_least(1e3 * drum_length_m, 1)
        ),
        Note::CordIsHeavy { hanging_kg, share } => format!(
            "with the weight down, {} g of cord hang and pull with it: {} % more drive than with it wound up, for which the results hold",
            number(1e3 * hanging_kg, 1),
            number(1e2 * share, 1)
        ),
        Note::CordNotStated { bending, mass } => match (bending, mass) {
            (true, false) => {
                "what it takes to bend the cord is left out: write `drive.cord_material` or `drive.cord_stiffness`"
                    .to_owned()
            }
            (false, true) => {
                "the weight of the cord is left out: write `drive.cord_material` or `drive.cord_mass_per_length`"
                    .to_owned()
            }
            _ => "what it takes to bend the cord, and its weight, are left out: write `drive.cord_material`".to_owned(),
        },
        Note::TeethTooFine { driver, driven, module_m, tooth_m, line_m } => {
            let result = if tooth_m < line_m {
                "this nozzle cannot print it"
            } else {
                "with less than a line for each flank it comes out weak and round"
            };
            format!(
                "mesh {driver} -> {driven}: a tooth of module {} mm is {} mm wide, and the printer's line {} mm: {result}; use a \
                 larger module, or a finer nozzle",
                number(1e3 * module_m, 2),
                number(1e3 * tooth_m, 2),
                number(1e3 * line_m, 2)
            )
        }
        Note::WheelOverArbor { wheel, arbor, distance_m, tip_m } => format!(
            "the wheel of \"{wheel}\" reaches over the arbor of \"{arbor}\": they are {} mm apart, and its radius is {} mm; turn \
             `next` so that the arbors spread out, or let that arbor end short of the wheel",
            number(1e3 * distance_m, 1),
            number(1e3 * tip_m, 1)
        ),
        _ => String::new(),
    }
}
