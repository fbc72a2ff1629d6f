//! Weights hung on the clock: keys, words, table and picture.

use std::fmt::Write as _;

use serde::Serialize;

use crate::report::canvas::look::significant;
use crate::report::csv_table::{CsvTable, exact, optional, written};
use crate::report::figures::{FitPicture, FitSeries};
use crate::report::words::numbers::{number, or_dash};
use crate::study::fit::weights::{HungWeight, WeightsFit};

use super::free_swing::shown;
use super::json::EstimateRecord;

#[derive(Debug, Clone, Serialize)]
struct HungWeightRecord {
    weight_kg: f64,
    amplitude_deg: f64,
    predicted_deg: Option<f64>,
    fitted_deg: Option<f64>,
}

#[derive(Debug, Clone, Serialize)]
struct WeightsRecord {
    factor_on_frictions: EstimateRecord,
    rms_deg: f64,
    predicted_least_weight_kg: Option<f64>,
    fitted_least_weight_kg: Option<EstimateRecord>,
    largest_weight_stopped_kg: Option<f64>,
    least_weight_going_kg: Option<f64>,
    weights: Vec<HungWeightRecord>,
}

/// What weights found.
#[derive(Debug, Clone, Serialize)]
pub struct WeightsFitRecord {
    weights: WeightsRecord,
}

impl WeightsFitRecord {
    /// Of weights.
    #[must_use]
    pub fn of(found: &WeightsFit) -> Self {
        let row = |row: &HungWeight| HungWeightRecord {
            weight_kg: row.weight_kg,
            amplitude_deg: row.amplitude_rad.to_degrees(),
            predicted_deg: row.predicted_rad.map(f64::to_degrees),
            fitted_deg: row.fitted_rad.map(f64::to_degrees),
        };
        Self {
            weights: WeightsRecord {
                factor_on_frictions: EstimateRecord::of(found.factor, 1.0),
                rms_deg: found.rms_rad.to_degrees(),
                predicted_least_weight_kg: found.predicted_least_kg,
                fitted_least_weight_kg: found.fitted_least_kg.map(|least| EstimateRecord::of(least, 1.0)),
                largest_weight_stopped_kg: found.measured_least_kg.0,
                least_weight_going_kg: found.measured_least_kg.1,
                weights: found.rows.iter().map(row).collect(),
            },
        }
    }
}

/// The weights as a table and in words.
#[must_use]
pub fn text(name: &str, file: &str, found: &WeightsFit) -> String {
    let mut out = format!("{name}: amplitude on {} weights from {file}\n", found.rows.len());
    let _ = writeln!(
        out,
        "  friction of pallets and train      {} times the scenario's (+/-: one standard deviation)",
        shown(found.factor, 1.0)
    );
    let _ =
        writeln!(out, "\n  {:>10} {:>13} {:>14} {:>11}", "weight kg", "measured deg", "predicted deg", "fitted deg");
    for row in &found.rows {
        let cell = |value: Option<f64>| or_dash(value.map(f64::to_degrees), 3, "");
        let measured =
            if row.amplitude_rad > 0.0 { number(row.amplitude_rad.to_degrees(), 3) } else { "stopped".to_owned() };
        let _ = writeln!(
            out,
            "  {:>10} {measured:>13} {:>14} {:>11}",
            number(row.weight_kg, 3),
            cell(row.predicted_rad),
            cell(row.fitted_rad)
        );
    }
    let _ = writeln!(out, "\n  left unexplained (rms)             {} deg", significant(found.rms_rad.to_degrees(), 2));
    let _ = writeln!(out, "  least weight, scenario             {}", or_dash(found.predicted_least_kg, 3, "kg"));
    if let Some(least) = found.fitted_least_kg {
        let _ = writeln!(out, "  least weight, as measured friction {} kg", shown(least, 1.0));
    }
    match found.measured_least_kg {
        (Some(stopped), Some(went)) => {
            let _ = writeln!(
                out,
                "  it stopped on                      {} kg, and goes on {} kg",
                number(stopped, 3),
                number(went, 3)
            );
        }
        (None, Some(went)) => {
            let _ = writeln!(
                out,
                "  it goes on {} kg; a row with amplitude 0 says on which weight it stops",
                number(went, 3)
            );
        }
        _ => {}
    }
    out
}

/// A weight a row.
#[must_use]
pub fn csv(found: &WeightsFit) -> Option<CsvTable> {
    let columns = ["line", "weight_kg", "amplitude_deg", "predicted_deg", "fitted_deg"];
    let rows = found.rows.iter().map(|row| {
        vec![
            row.line.to_string(),
            exact(row.weight_kg),
            exact(row.amplitude_rad.to_degrees()),
            optional(row.predicted_rad.map(f64::to_degrees)),
            optional(row.fitted_rad.map(f64::to_degrees)),
        ]
    });
    written("fit", &columns, rows)
}

/// The picture of weights: measured, fitted, and what the scenario predicts.
#[must_use]
pub fn picture(name: &str, found: &WeightsFit) -> FitPicture {
    let mut rows: Vec<&HungWeight> = found.rows.iter().collect();
    rows.sort_by(|one, other| one.weight_kg.total_cmp(&other.weight_kg));
    let curve = |amplitude_rad: fn(&HungWeight) -> Option<f64>| {
        rows.iter().filter_map(|row| Some((row.weight_kg, amplitude_rad(row)?.to_degrees()))).collect::<Vec<_>>()
    };
    let went = |row: &&&HungWeight| row.amplitude_rad > 0.0;
    let left = |row: &&HungWeight| Some((row.weight_kg, (row.amplitude_rad - row.fitted_rad?).to_degrees()));
    let mut subtitle = format!("Friction of pallets and train: {} times the scenario's.", shown(found.factor, 1.0));
    if let Some(least) = found.fitted_least_kg {
        let _ = write!(subtitle, " Least weight {} kg.", shown(least, 1.0));
    }
    if let Some(stopped_kg) = found.measured_least_kg.0 {
        let _ = write!(subtitle, " It stopped on {} kg.", number(stopped_kg, 3));
    }
    FitPicture {
        title: format!("{name}: amplitude on other weights"),
        subtitle,
        x: "weight (kg)".to_owned(),
        y: "amplitude (deg)".to_owned(),
        left: "measured less fitted (deg)".to_owned(),
        series: vec![
            FitSeries {
                name: "fitted".to_owned(),
                measured: rows.iter().map(|row| (row.weight_kg, row.amplitude_rad.to_degrees())).collect(),
                curve: vec![curve(|row| row.fitted_rad)],
                left: rows.iter().filter(went).filter_map(left).collect(),
                standing_out: Vec::new(),
            },
            FitSeries {
                name: "scenario".to_owned(),
                measured: Vec::new(),
                curve: vec![curve(|row| row.predicted_rad)],
                left: Vec::new(),
                standing_out: Vec::new(),
            },
        ],
    }
}
