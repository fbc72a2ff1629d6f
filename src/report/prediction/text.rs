//! A prediction as tables.

use std::fmt::Write as _;

use crate::answers::bench::{BenchChecks, DECAY_FROM_RAD};
use crate::report::canvas::look::significant;
use crate::report::cord;
use crate::report::support::text::stop_on_the_way;
use crate::report::words::numbers::{at_least_or_dash, counted, line, number, or_dash, telling_apart};
use crate::report::words::reasons::headline;

use super::json::{PlainRunRecord, Results, WanderingRecord};

/// The verdict with its key figures and the energy of a beat; torque and Q also as what can be checked on the bench.
#[must_use]
pub fn table(results: &Results, bench: &BenchChecks) -> String {
    let mut out = String::new();
    let reason = results.reason_in_words().map(|reason| format!(": {reason}")).unwrap_or_default();
    let found = headline(results.reason, results.meets_margin);
    let found = match stop_on_the_way(results) {
        Some(stop) => format!("{found} wound up, {stop}"),
        None => found.to_owned(),
    };
    let _ = writeln!(out, "{}: {}{reason}\n", results.name, found.to_uppercase());
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
        "escaping arc, left / right",
        &match results.escaping_arc_deg {
            Some([right, left]) => format!("{} / {} deg", number(left, 3), number(right, 3)),
            None => "-".to_owned(),
        },
    );
    line(&mut out, "period", &or_dash(results.period_s, 6, "s"));
    line(&mut out, "rate (positive: gains)", &or_dash(results.rate_s_per_day, 1, "s/day"));
    if let Some(wanders) = &results.wanders {
        out.push_str(&wandering_lines(wanders));
    }
    line(&mut out, "smallest starting swing", &at_least_or_dash(results.least_start_arc_deg, 2, "deg"));
    if results.weight_kg.is_some() {
        line(&mut out, "weight", &or_dash(results.weight_kg, 3, "kg"));
        line(&mut out, "least weight", &at_least_or_dash(results.least_weight_kg, 3, "kg"));
        line(
            &mut out,
            "least weight with the arc margin",
            &at_least_or_dash(results.least_weight_with_margin_kg, 3, "kg"),
        );
        line(&mut out, "weight reserve (weight / least)", &or_dash(results.weight_ratio, 2, ""));
    }
    let asked = format!("of {} deg asked", number(results.margin_asked_deg, 2));
    line(&mut out, "arc margin", &or_dash(results.arc_margin_deg, 3, &format!("deg {asked}")));
    line(&mut out, "friction reserve", &or_dash(results.friction_reserve, 2, "times all frictions"));
    line(&mut out, "torque at the escape wheel", &torque_in_words(results.escape_torque_n_m, bench));
    line(&mut out, "least torque there", &torque_in_words(results.least_escape_torque_n_m, bench));
    line(&mut out, "run time between windings", &or_dash(results.run_time_days, 2, "days"));
    if let Some((cord, weight_kg)) = results.cord_on_drum.as_ref().zip(results.weight_kg) {
        out.push_str(&cord::text::drive_lines(cord, weight_kg));
    }
    line(&mut out, "pendulum's Q", &q_in_words(results.q_factor, bench));
    line(&mut out, "a disturbance halves in", &halving_in_words(results.multiplier));
    if let Some(weight) = results.energy_per_beat_j.weight {
        out.push_str("\nEnergy of one beat\n");
        let energy = &results.energy_per_beat_j;
        let source = if results.weight_kg.is_some() { "the weight gives" } else { "the drive gives" };
        for (label, value) in [
            (source, energy.weight),
            ("cord and pulleys", energy.cord),
            ("bearings of the train", energy.bearings),
            ("meshes", energy.meshes),
            ("hands and motion work", energy.hands.filter(|_| results.hands.is_some())),
            ("drops and impacts", energy.drop_and_impact),
            ("play of the crutch", energy.crutch_play.filter(|&lost| lost != 0.0)),
            ("sliding on the pallets", energy.faces),
            ("recoil", energy.recoil),
            ("air", energy.air),
            ("suspension and pivots", energy.suspension),
            ("support and swinging weight", energy.support.filter(|&lost| lost != 0.0)),
        ] {
            let Some(value) = value else { continue };
            let share = if weight > 0.0 { 1e2 * value / weight } else { 0.0 };
            line(&mut out, label, &format!("{:>9} \u{b5}J  {:>6} %", number(1e6 * value, 3), number(share, 1)));
        }
    }
    out
}

/// Between what a swing wanders whose means stand above.
fn wandering_lines(wanders: &WanderingRecord) -> String {
    let mut out = String::new();
    let between = |[low, high]: [f64; 2], unit: &str| {
        let decimals = telling_apart(low, high);
        format!("between {} and {} {unit}", number(low, decimals), number(high, decimals))
    };
    line(&mut out, "does not settle: semi-arc, left", &between(wanders.semi_arc_left_deg, "deg"));
    line(&mut out, "  right", &between(wanders.semi_arc_right_deg, "deg"));
    line(&mut out, "  period", &between(wanders.period_s, "s"));
    if let Some(rate) = wanders.rate_s_per_day {
        line(&mut out, "  rate from period to period", &between(rate, "s/day"));
    }
    out
}

/// A torque at the escape wheel, and the mass that balances it hung at the tip of a tooth.
fn torque_in_words(torque_n_m: Option<f64>, bench: &BenchChecks) -> String {
    let text = or_dash(torque_n_m.map(|torque| 1e3 * torque), 4, "mN m");
    match torque_n_m.zip(bench.tip_mass_kg_per_n_m) {
        Some((torque, kg_per_n_m)) => {
            format!("{text} ({} g hung at the tip of a tooth)", significant(1e3 * torque * kg_per_n_m, 3))
        }
        None => text,
    }
}

/// The Q, and the time in which a free swing halves.
fn q_in_words(q_factor: Option<f64>, bench: &BenchChecks) -> String {
    let from_deg = DECAY_FROM_RAD.to_degrees();
    let decay = bench.halving_s.map(|halving_s| {
        let minutes = significant(halving_s / 60.0, 3);
        format!(
            "{} deg falls to {} deg in {minutes} min with the escapement off",
            number(from_deg, 0),
            number(0.5 * from_deg, 1)
        )
    });
    match (q_factor, decay) {
        (Some(_), Some(decay)) => format!("{} ({decay})", or_dash(q_factor, 0, "")),
        (None, Some(decay)) => format!("- ({decay})"),
        _ => or_dash(q_factor, 0, ""),
    }
}

/// What a period leaves of a disturbance, as the swings in which it halves.
fn halving_in_words(multiplier: Option<f64>) -> String {
    match multiplier.map(f64::abs) {
        Some(slope) if slope <= 0.5 => "less than 1 swing".to_owned(),
        Some(slope) if slope < 1.0 => counted((0.5_f64.ln() / slope.ln()).round() as usize, "swing", "swings"),
        _ => "-".to_owned(),
    }
}

/// A run beat by beat, to set beside the limit cycle.
#[must_use]
pub fn plain_run_table(run: &PlainRunRecord, steady: &Results) -> String {
    let PlainRunRecord { days, periods, mean_period_s, stopped, .. } = *run;
    let mut out = format!("Run for {} days, beat by beat\n", number(days, 2));
    line(&mut out, "periods", &format!("{periods}{}", if stopped { ", then it stopped" } else { "" }));
    line(
        &mut out,
        "semi-arc at the end, left / right",
        &match (run.end_semi_arc_left_deg, run.end_semi_arc_right_deg) {
            (Some(left), Some(right)) => format!("{} / {} deg", number(left, 4), number(right, 4)),
            _ => "-".to_owned(),
        },
    );
    if let (Some(left), Some(right)) = (steady.semi_arc_left_deg, steady.semi_arc_right_deg) {
        line(&mut out, "of the steady swing", &format!("{} / {} deg", number(left, 4), number(right, 4)));
    }
    line(&mut out, "mean period", &or_dash(mean_period_s, 7, "s"));
    if steady.period_s.is_some() {
        line(&mut out, "of the steady swing", &or_dash(steady.period_s, 7, "s"));
    }
    out
}
