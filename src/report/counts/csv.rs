//! Tooth counts, a train a row.

use crate::clock::SECONDS_PER_DAY;
use crate::report::csv_table::{CsvTable, exact, optional, written, yes_or_no};
use crate::study::counts::RankedGears;

use super::CountsView;
use super::view::{exactly, value};

/// All rows: trains to the escape wheel, from the great wheel, and motion works, as the column `part` says.
#[must_use]
pub fn table(view: &CountsView<'_>) -> Option<CsvTable> {
    let columns = [
        "part",
        "escape_teeth",
        "counts",
        "turns",
        "largest_diameter_mm",
        "sum_of_diameters_mm",
        "gears_to_draw",
        "ratio_spread",
        "passed_share",
        "undercut",
        "drum_diameter_mm",
        "run_time_days",
    ];
    let row = |part: &str, escape: String, turns: String, gears: &RankedGears, drum: [Option<f64>; 2]| {
        vec![
            part.to_owned(),
            escape,
            counts_of(gears),
            turns,
            exact(1e3 * gears.largest_m),
            exact(1e3 * gears.sum_m),
            gears.to_draw.to_string(),
            exact(gears.ratio_spread),
            exact(gears.passed_share),
            yes_or_no(Some(gears.meshes.iter().any(|action| action.mesh.undercut))),
            optional(drum[0]),
            optional(drum[1]),
        ]
    };
    let counts = view.counts;
    let trains = counts.trains.best.iter().map(|train| {
        let turns = exactly(train.turns_per_hour);
        row("escape wheel, turns an hour", train.escape_teeth.to_string(), turns, &train.gears, [None, None])
    });
    let great = counts.great.iter().flat_map(|found| &found.best).map(|train| {
        let drum = train.drum.map(|drum| [Some(1e3 * drum.drum_m), Some(drum.run_s / SECONDS_PER_DAY)]);
        let hours = exact(value(train.hours_per_turn));
        row("great wheel, hours a turn", String::new(), hours, &train.gears, drum.unwrap_or([None, None]))
    });
    let motion = counts.motion.best.iter().map(|work| {
        row("motion work, turns of the minute hand", String::new(), "12".to_owned(), &work.gears, [None, None])
    });
    written("counts", &columns, trains.chain(great).chain(motion))
}

/// "64/8 60/8": wheels over pinions.
pub(super) fn counts_of(gears: &RankedGears) -> String {
    let mesh = |counts: crate::study::counts::MeshCounts| format!("{}/{}", counts.wheel, counts.pinion);
    gears.meshes.iter().map(|action| mesh(action.counts)).collect::<Vec<_>>().join(" ")
}
