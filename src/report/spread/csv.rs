//! The copies of a spread, one a row.

use crate::clock::SECONDS_PER_DAY;
use crate::clock::drive_level::DriveLevel;
use crate::report::csv_table::{CsvTable, exact, optional, written, yes_or_no};
use crate::report::words::spread_inputs::{InputUnit, answer_key, input_key};
use crate::study::spread::copy::PrintedCopy;
use crate::study::spread::plan::{Draw, place};
use crate::study::spread::statistics::SpreadAnswer;

use super::{SpreadView, failing_reason};

/// One row a copy: number, whether it counts in shares and percentiles, which input it takes from its block's second copy, drawn
/// inputs, results. `None` of no copy.
#[must_use]
pub fn table(view: &SpreadView<'_>) -> Option<CsvTable> {
    let keys: Vec<String> = view.inputs.iter().map(input_key).collect();
    let least = answer_key(SpreadAnswer::LeastDrive, view.by_weight);
    let columns: Vec<&str> = ["copy", "counts", "swapped_input"]
        .into_iter()
        .chain(keys.iter().map(String::as_str))
        .chain([
            "verdict",
            "reason",
            least,
            "semi_arc_deg",
            "period_s",
            "rate_s_per_day",
            "run_time_days",
            "meets_margin",
        ])
        .chain([
            "entry_lock_deg",
            "entry_lift_deg",
            "entry_drop_deg",
            "exit_lock_deg",
            "exit_lift_deg",
            "exit_drop_deg",
        ])
        .collect();
    let rows = view.copies.iter().map(|copy| {
        let draw = place(copy.number, view.inputs.len()).1;
        let swapped = match draw {
            Draw::Swapped(input) => keys.get(input).cloned().unwrap_or_default(),
            _ => String::new(),
        };
        let mut row = vec![copy.number.to_string(), if draw.counts() { "yes" } else { "no" }.to_owned(), swapped];
        row.extend(view.inputs.iter().zip(&copy.drawn).map(|(input, &value)| exact(InputUnit::of(input).shown(value))));
        row.extend(results(copy));
        row
    });
    written("spread", &columns, rows)
}

fn results(copy: &PrintedCopy) -> Vec<String> {
    let result = copy.outcome.as_ref().ok();
    let verdict = match (copy.keeps_going(), result) {
        (true, _) => "keeps_going",
        (false, Some(_)) => "stops",
        (false, None) => "no_clock",
    };
    let swing = copy.swing();
    let mut cells = vec![verdict.to_owned(), failing_reason(copy).unwrap_or_default()];
    cells.extend(
        [
            result.and_then(|result| result.least_drive).map(DriveLevel::value),
            swing.map(|swing| swing.semi_arc_rad.to_degrees()),
            swing.map(|swing| swing.period_s),
            swing.and_then(|swing| swing.rate_s_per_day),
            result.and_then(|result| result.run_time_s).map(|time| time / SECONDS_PER_DAY),
        ]
        .map(optional),
    );
    let meets = result.and_then(|result| result.meets_margin);
    cells.push(yes_or_no(meets));
    let action = result.and_then(|result| result.action);
    for pallet in [action.map(|action| action.entry), action.map(|action| action.exit)] {
        let arcs = [pallet.map(|p| p.lock_rad), pallet.map(|p| p.lift_rad), pallet.map(|p| p.drop_rad)];
        cells.extend(arcs.map(|arc| optional(arc.map(f64::to_degrees))));
    }
    cells
}
