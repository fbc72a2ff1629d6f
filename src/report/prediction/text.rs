//! A prediction as tables.

use std::fmt::Write as _;

use crate::report::words::numbers::{line, number, or_dash};
use crate::report::words::reasons::reason_in_words;

use super::json::{PlainRunRecord, Results};

/// The verdict with its key figures and the energy of a beat.
#[must_use]
pub fn table(results: &Results) -> String {
    let mut out = String::new();
    let reason = results.reason.map(|reason| format!(": {}", reason_in_words(reason))).unwrap_or_default();
    let verdict = if results.verdict == "stops" { "STOPS" } else { "KEEPS GOING" };
    let _ = writeln!(out, "{}: {verdict}{reason}\n", results.name);
    line(
        &mut out,
        "semi-arc, left / right",
        &match (results.semi_arc_left_deg, results.semi_arc_right_deg) {
            (Some(left), Some(right)) => format!("{} / {} deg", number(left, 3), number(right, 3)),
            _ => "-".to_owned(),
        },
    );
    line(
        &mut out,
        "arc that lets a tooth escape",
        &match results.escaping_arc_deg {
            Some([right, left]) => format!("{} / {} deg", number(left, 3), number(right, 3)),
            None => "-".to_owned(),
        },
    );
    line(&mut out, "period", &or_dash(results.period_s, 6, "s"));
    line(&mut out, "rate (positive gains)", &or_dash(results.rate_s_per_day, 1, "s/day"));
    line(&mut out, "smallest push that starts it", &or_dash(results.least_start_arc_deg, 2, "deg"));
    if results.weight_kg.is_some() {
        line(&mut out, "weight", &or_dash(results.weight_kg, 3, "kg"));
        line(&mut out, "least weight", &or_dash(results.least_weight_kg, 3, "kg"));
        line(&mut out, "least weight with the margin", &or_dash(results.least_weight_with_margin_kg, 3, "kg"));
        line(&mut out, "weight over least weight", &or_dash(results.weight_ratio, 2, ""));
    }
    line(
        &mut out,
        "torque at the escape wheel",
        &or_dash(results.escape_torque_n_m.map(|torque| 1e3 * torque), 4, "mN m"),
    );
    line(
        &mut out,
        "least torque there",
        &or_dash(results.least_escape_torque_n_m.map(|torque| 1e3 * torque), 4, "mN m"),
    );
    line(&mut out, "run from winding to winding", &or_dash(results.run_time_days, 2, "days"));
    line(&mut out, "pendulum's Q", &or_dash(results.q_factor, 0, ""));
    line(
        &mut out,
        "what a period leaves of a disturbance",
        &or_dash(results.multiplier.map(|slope| 1e2 * slope), 2, "%"),
    );
    if let Some(weight) = results.energy_per_beat_j.weight {
        out.push_str("\nEnergy of one beat\n");
        let energy = &results.energy_per_beat_j;
        let source = if results.weight_kg.is_some() { "the weight gives" } else { "the drive gives" };
        for (label, value) in [
            (source, energy.weight),
            ("cord and pulleys", energy.cord),
            ("bearings of the train", energy.bearings),
            ("meshes", energy.meshes),
            ("drops and impacts", energy.drop_and_impact),
            ("sliding on the pallets", energy.faces),
            ("recoil", energy.recoil),
            ("air", energy.air),
            ("suspension", energy.suspension),
        ] {
            let Some(value) = value else { continue };
            let share = if weight > 0.0 { 1e2 * value / weight } else { 0.0 };
            line(&mut out, label, &format!("{:>9} uJ  {:>6} %", number(1e6 * value, 3), number(share, 1)));
        }
    }
    out
}

/// A run beat by beat, to set beside the limit cycle.
#[must_use]
pub fn plain_run_table(run: &PlainRunRecord) -> String {
    let PlainRunRecord { days, periods, mean_period_s, stopped, .. } = *run;
    let mut out = format!("Let run for {} days, beat by beat\n", number(days, 2));
    line(&mut out, "periods", &format!("{periods}{}", if stopped { ", then it stopped" } else { "" }));
    line(
        &mut out,
        "semi-arc at the end, left / right",
        &match (run.end_semi_arc_left_deg, run.end_semi_arc_right_deg) {
            (Some(left), Some(right)) => format!("{} / {} deg", number(left, 4), number(right, 4)),
            _ => "-".to_owned(),
        },
    );
    line(&mut out, "mean period", &or_dash(mean_period_s, 7, "s"));
    out
}
