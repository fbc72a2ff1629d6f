//! The clock in other towns as a table.

use std::fmt::Write as _;

use crate::report::words::numbers::number;
use crate::report::words::reasons::reason_with_meshes;

use super::json::TownRecord;

/// The towns beside one another; empty where there are none.
#[must_use]
pub fn table(towns: &[TownRecord]) -> String {
    if towns.is_empty() {
        return String::new();
    }
    let mut out =
        String::from("Elsewhere (rate with the rating nut as it is; turns of the nut that bring it to time there)\n");
    let _ =
        writeln!(out, "  {:<34} {:>12} {:>9} {:>11} {:>10}", "town", "gravity", "arc deg", "rate s/day", "nut turns");
    for town in towns {
        let cell = |value: Option<f64>, decimals| value.map_or_else(|| "-".to_owned(), |value| number(value, decimals));
        let remark = match (&town.no_clock, town.reason) {
            (Some(error), _) => format!("  {error}"),
            (None, Some(reason)) => format!("  stops: {}", reason_with_meshes(reason, &town.jammed)),
            (None, None) => String::new(),
        };
        let way = match town.nut_turns_to_time {
            Some(turns) if turns < 0.0 => " down",
            Some(_) => " up",
            None => "",
        };
        let _ = writeln!(
            out,
            "  {:<34} {:>12} {:>9} {:>11} {:>10}{way}{remark}",
            town.name,
            cell(town.gravity_m_s2, 5),
            cell(town.semi_arc_deg, 3),
            cell(town.rate_s_per_day, 1),
            cell(town.nut_turns_to_time.map(f64::abs), 2),
        );
    }
    out
}
