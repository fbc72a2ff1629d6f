//! Sizes that do not go together, in words.

use crate::clock::notes::Note;
use crate::clock::workshop::LEAST_DRUM_TO_CORD;
use crate::report::words::numbers::number;

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
        Note::CordBentSharply { round_m, is_drum, cord_m } => format!(
            "a cord of {} mm is too thick for a {} of {} mm: it takes force to bend, and wears; use a {} of at least {} mm or a \
             thinner cord (common practice: {} times its diameter)",
            number(1e3 * cord_m, 1),
            if *is_drum { "drum" } else { "pulley" },
            number(1e3 * round_m, 1),
            if *is_drum { "drum" } else { "pulley" },
            number(1e3 * LEAST_DRUM_TO_CORD * cord_m, 0),
            number(LEAST_DRUM_TO_CORD, 0)
        ),
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
