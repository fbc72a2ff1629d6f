//! All levers, one a row.

use crate::report::csv_table::{CsvTable, exact, optional, written};
use crate::study::levers::Lever;
use crate::study::levers::answers::LeverAnswer;

use super::LeversView;
use super::json::{in_key_unit, reason, slope_kind};

/// The table of all levers, by their rank.
#[must_use]
pub fn table(view: &LeversView<'_>) -> Option<CsvTable> {
    let mut columns: Vec<String> = ["quantity", "value", "unit", "step"].map(str::to_owned).to_vec();
    for answer in LeverAnswer::ALL {
        let key = view.key(answer);
        columns.extend([
            format!("{key}_one_step_up"),
            format!("{key}_one_step_down"),
            format!("{key}_per_step"),
            format!("{key}_per_step_error"),
            format!("{key}_slope"),
            format!("{key}_elasticity"),
        ]);
    }
    columns.extend(["reason_up", "reason_down"].map(str::to_owned));
    let names: Vec<&str> = columns.iter().map(String::as_str).collect();
    let row = |lever: &Lever| {
        let quantity = &lever.quantity;
        let unit = quantity.unit.clone().unwrap_or_default();
        let mut row = vec![quantity.path.clone(), exact(quantity.number), unit, exact(quantity.step)];
        for answer in LeverAnswer::ALL {
            let index = answer.index();
            let shown = |value: Option<f64>| optional(value.map(|value| in_key_unit(answer, value)));
            let slope = lever.slopes[index];
            row.extend([
                shown(lever.up.change[index]),
                shown(lever.down.change[index]),
                shown(slope.and_then(|slope| slope.settled())),
                shown(slope.and_then(|slope| slope.error())),
                slope_kind(slope).to_owned(),
                optional(lever.elasticity(answer, &view.levers.today)),
            ]);
        }
        row.extend([reason(&lever.up).unwrap_or_default(), reason(&lever.down).unwrap_or_default()]);
        row
    };
    written("levers", &names, view.levers.ranked(view.by).into_iter().map(row))
}
