//! Weight, cord and drum.

use std::f64::consts::TAU;

use crate::clock::train::cord::{KNOTS_M, TURNS_LEFT_ON_DRUM, cord_on_drum};
use crate::clock::train::drive::drum_radius_m;
use crate::clock::train::losses::RunLimit;
use crate::report::words::numbers::number;

use super::PapersView;
use super::table::{CellKind, PaperCell, PaperTable};

/// Lengths of cord and drum; `None` without a weight.
pub(super) fn weight_table(view: &PapersView<'_>) -> Option<PaperTable> {
    let drive = view.design.weight_drive()?;
    let turn_m = TAU * drum_radius_m(drive);
    let run = view.prediction.run_time;
    let on_drum = cord_on_drum(drive);
    let turns = on_drum.turns;
    let ended_by = run.map(|run| match run.limit {
        RunLimit::Drop => "the fall of the weight",
        RunLimit::DrumTurns => "the turns that the drum holds",
    });
    let cord = view.prediction.built.drive.as_ref().map(|report| report.cord);
    let mut values = vec![
        ("weight", "weight, pulley included".to_owned(), PaperCell::Number(drive.weight_kg, 3, "kg")),
        ("fall", "fall of the weight, at most".to_owned(), PaperCell::Length(drive.drop_m, 0)),
        ("falls", "falls: parts of the cord that carry the weight".to_owned(), PaperCell::Count(drive.falls)),
        ("drum_diameter", "drum diameter, without the cord".to_owned(), PaperCell::Length(drive.drum_diameter_m, 2)),
        ("cord_diameter", "cord diameter".to_owned(), PaperCell::Length(drive.cord_diameter_m, 2)),
        ("cord_per_turn", "cord for one turn of the drum".to_owned(), PaperCell::Length(turn_m, 1)),
        ("turns", "turns of the drum in one run".to_owned(), PaperCell::Number(turns, 2, "turns")),
        (
            "turns_by_fall",
            "turns in which the weight falls that far".to_owned(),
            PaperCell::Number(on_drum.turns_by_drop, 2, "turns"),
        ),
        (
            "drum_holds",
            "turns that the drum holds".to_owned(),
            drive
                .drum_turns
                .map_or(PaperCell::NotStated(CellKind::Number("turns")), |turns| PaperCell::Number(turns, 2, "turns")),
        ),
        (
            "run_ended_by",
            "a run is ended by".to_owned(),
            ended_by.map_or(PaperCell::Nothing(CellKind::Words), |words| PaperCell::Text(words.to_owned())),
        ),
        (
            "run_time",
            "run from winding to winding".to_owned(),
            PaperCell::number(view.results.run_time_days, 2, "days"),
        ),
        ("weight_falls", "the weight falls in that run".to_owned(), PaperCell::Length(on_drum.fall_m, 0)),
        ("cord_wound", "cord wound off in that run".to_owned(), PaperCell::Length(on_drum.wound_m, 0)),
        (
            "cord_left_on_drum",
            format!("cord that stays on the drum, {TURNS_LEFT_ON_DRUM} turns"),
            PaperCell::Length(on_drum.left_m, 0),
        ),
        ("cord_for_knots", "cord for the knots".to_owned(), PaperCell::Length(KNOTS_M, 0)),
        (
            "cord_length",
            "cord to cut, without what hangs when wound up".to_owned(),
            PaperCell::Length(on_drum.to_cut_m, 0),
        ),
        (
            "drum_width",
            "drum width between its flanges, for one layer".to_owned(),
            PaperCell::Length(on_drum.length_for_one_layer_m, 1),
        ),
    ];
    if let (Some(length_m), Some(holds), Some(layers)) = (drive.drum_length_m, on_drum.turns_per_layer, on_drum.layers)
    {
        values.push(("drum_length", "drum length between its flanges".to_owned(), PaperCell::Length(length_m, 1)));
        values.push(("turns_per_layer", "turns that a layer holds".to_owned(), PaperCell::Count(holds)));
        values.push(("layers", "layers with the weight wound up".to_owned(), PaperCell::Count(layers)));
    }
    if let Some(name) = drive.cord.name {
        values.push(("cord_material", "cord".to_owned(), PaperCell::Text(name.to_owned())));
    }
    if let Some(hanging_kg) = on_drum.hanging_kg {
        let label = "cord that hangs when the weight is down".to_owned();
        values.push(("cord_hanging", label, PaperCell::Number(1e3 * hanging_kg, 1, "g")));
    }
    if let Some(pulley) = &drive.pulley {
        values.push((
            "pulley_diameter",
            "pulley diameter, at the bottom of its groove".to_owned(),
            PaperCell::Length(pulley.diameter_m, 2),
        ));
    }
    if let Some(cord) = cord {
        values.push((
            "cord_strength_asked",
            "least breaking strength of the cord (see the cautions)".to_owned(),
            PaperCell::Number(cord.asked_breaking_strength_n.ceil(), 0, "N"),
        ));
    }
    let mut notes = vec![
        format!(
            "Not stated: how far the weight hangs below the drum when it is wound up. Add that length{} to the cord.",
            if drive.falls == 1 { String::new() } else { format!(", {} times,", drive.falls) }
        ),
        "The turns that stay on the drum and the cord for the knots are allowances of ours (common practice, no source).".to_owned(),
    ];
    if let Some(holds) =
        drive.drum_turns.filter(|holds| drive.drum_length_m.is_none() && *holds < turns + TURNS_LEFT_ON_DRUM)
    {
        notes.push(format!(
            "The drum holds {} turns; with the {TURNS_LEFT_ON_DRUM} that stay on it, it needs {}: make it as wide as above.",
            number(holds, 2),
            number(turns + TURNS_LEFT_ON_DRUM, 2)
        ));
    }
    Some(PaperTable::list("cord-and-drum", "Weight, cord and drum", values, notes))
}
