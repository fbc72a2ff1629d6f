//! The copies of a clock driven by a motor, one a row.

use crate::report::csv_table::{CsvTable, exact, written};
use crate::report::words::spread_inputs::{InputUnit, friction_key};
use crate::study::spread::motor::{MotorCopy, MotorVariation};
use crate::study::spread::plan::place;

/// Relative numbers are printed in millionths.
const PER_PPM: f64 = 1e6;

/// Path of the friction of motion work and hands.
const HANDS_FRICTION: &str = "hands.friction";

/// Name of a cause's column, and what its values are multiplied by.
fn column(cause: &MotorVariation) -> (String, f64) {
    let (name, factor) = match cause {
        MotorVariation::Tolerance => ("tolerance_ppm", PER_PPM),
        MotorVariation::Ageing => ("ageing_ppm_per_year", PER_PPM),
        MotorVariation::Turnover => ("turnover_degc", 1.0),
        MotorVariation::Curvature => ("curvature_ppm_per_k2", PER_PPM),
        MotorVariation::Band => ("temperature_ppm", PER_PPM),
        MotorVariation::Room => ("room_degc", 1.0),
        MotorVariation::Friction(friction) if friction.paths == [HANDS_FRICTION] => ("hand_friction_mn_m", 1e3),
        MotorVariation::Friction(friction) => {
            return (friction_key(friction), InputUnit::of_friction(friction).per_si());
        }
    };
    (name.to_owned(), factor)
}

/// One row a copy. `None` of no copy.
#[must_use]
pub fn table(causes: &[MotorVariation], copies: &[MotorCopy]) -> Option<CsvTable> {
    let shown: Vec<(String, f64)> = causes.iter().map(column).collect();
    let columns: Vec<&str> = ["copy", "counts"]
        .into_iter()
        .chain(shown.iter().map(|(name, _)| name.as_str()))
        .chain(["verdict", "rate_s_per_day", "torque_reserve"])
        .collect();
    let rows = copies.iter().map(|copy| {
        let counts = if place(copy.number, causes.len()).1.counts() { "yes" } else { "no" };
        let mut row = vec![copy.number.to_string(), counts.to_owned()];
        row.extend(shown.iter().zip(&copy.drawn).map(|((_, factor), value)| exact(value * factor)));
        row.push(if copy.keeps_going { "keeps_going" } else { "stops" }.to_owned());
        row.push(if copy.keeps_going { exact(copy.rate_s_per_day) } else { String::new() });
        row.push(if copy.reserve.is_finite() { exact(copy.reserve) } else { String::new() });
        row
    });
    written("spread", &columns, rows)
}
