//! Text tables for the terminal.

use std::fmt::Write as _;

use crate::answers::verdict::Reason;
use crate::clock::build::Built;
use crate::clock::environment::InRoom;
use crate::clock::escapement::EscapeWheel;
use crate::clock::train::losses::{RunLimit, RunTime};

use super::json::{ActionKeys, PalletKeys, Results};

/// `value` with `decimals`, never "-0".
pub(in crate::report) fn number(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    if text.trim_start_matches('-').chars().all(|c| c == '0' || c == '.') { text.replace('-', "") } else { text }
}

pub(in crate::report) fn or_dash(value: Option<f64>, decimals: usize, unit: &str) -> String {
    value.map_or_else(|| "-".to_owned(), |value| format!("{} {unit}", number(value, decimals)).trim_end().to_owned())
}

pub(in crate::report) fn line(out: &mut String, label: &str, value: &str) {
    let _ = writeln!(out, "  {label:<34} {value}");
}

/// Train, beat, torque at every arbor with the losses there.
#[must_use]
pub fn train_table(design: &InRoom, built: &Built) -> String {
    let mut out = String::new();
    let (Some(train), Some(report)) = (&design.train, &built.train) else { return out };
    out.push_str("Train (torque behind each bearing; losses as share of the weight's power)\n");
    let _ = writeln!(
        out,
        "  {:<10} {:>6} {:>6} {:>11} {:>12} {:>10} {:>9} {:>9}",
        "arbor", "pinion", "wheel", "turns/h", "torque mN m", "load N", "bearing %", "mesh %"
    );
    for (index, arbor) in train.arbors.iter().enumerate() {
        let teeth = |count: Option<u32>| count.map_or_else(|| "-".to_owned(), |count| count.to_string());
        let wheel = if index + 1 == train.arbors.len() {
            built.outlines.as_ref().map(|outlines| outlines.teeth)
        } else {
            arbor.wheel_teeth
        };
        let turns = report.arbors.get(index).and_then(|arbor| arbor.turns_per_hour);
        let losses = built.drive.as_ref().and_then(|drive| drive.arbors.get(index));
        let cell = |value: Option<f64>, decimals| value.map_or_else(|| "-".to_owned(), |value| number(value, decimals));
        let _ = writeln!(
            out,
            "  {:<10} {:>6} {:>6} {:>11} {:>12} {:>10} {:>9} {:>9}",
            arbor.name,
            teeth(arbor.pinion_teeth),
            teeth(wheel),
            cell(turns, 4),
            cell(losses.map(|losses| 1e3 * losses.torque_n_m), 4),
            cell(losses.map(|losses| losses.bearing_load_n), 2),
            cell(losses.map(|losses| 1e2 * losses.bearing_loss_share), 2),
            cell(losses.and_then(|losses| losses.mesh_loss_share).map(|share| 1e2 * share), 2),
        );
    }
    if let Some(period) = report.train_period_s {
        line(&mut out, "beat that the train requires", &format!("{} s", number(0.5 * period, 6)));
    }
    if let Some(ratio) = report.hour_hand_ratio {
        line(&mut out, "minute hand to hour hand", &format!("{ratio} to 1"));
    }
    if let Some(drive) = &built.drive {
        line(&mut out, "lost in cord and pulleys", &format!("{} %", number(1e2 * drive.cord_loss_share, 2)));
        line(&mut out, "arrives at the escape wheel", &format!("{} %", number(1e2 * drive.passed_share, 1)));
    }
    out
}

/// Torques at the escape wheel, and the wheel itself where it has a body.
#[must_use]
pub fn escape_table(built: &Built, wheel: Option<&EscapeWheel>) -> String {
    let mut out = String::new();
    let Some(drive) = built.mechanism.drive else { return out };
    out.push_str("At the escape wheel\n");
    if let Some(wheel) = wheel {
        let (mass, inertia) = (number(1e3 * wheel.mass_kg, 2), number(1e7 * wheel.inertia_kg_m2, 2));
        line(&mut out, "the wheel alone", &format!("{mass} g, {inertia} g cm2"));
    }
    line(&mut out, "drive torque, meshes and cord off", &format!("{} mN m", number(1e3 * drive.torque_n_m(), 4)));
    line(
        &mut out,
        "bearing friction still to take off",
        &format!("{} mN m", number(1e3 * drive.friction_forward_n_m, 4)),
    );
    line(&mut out, "to push the wheel back", &format!("{} mN m", number(1e3 * drive.backward_n_m(), 4)));
    line(&mut out, "inertia of wheel, train, weight", &format!("{} g cm2", number(1e7 * drive.inertia_kg_m2, 2)));
    out
}

/// Pendulum's parts and damping.
#[must_use]
pub fn pendulum_table(built: &Built) -> String {
    let mut out = String::from("Pendulum\n");
    let model = &built.mechanism.pendulum;
    if let Some(report) = &built.pendulum {
        for part in &report.parts {
            line(
                &mut out,
                &part.name,
                &format!(
                    "{} g, centre {} mm below the axis, {} kg cm2",
                    number(1e3 * part.mass_kg, 1),
                    number(1e3 * part.centre_m, 1),
                    number(1e4 * part.inertia_kg_m2, 2)
                ),
            );
        }
        line(&mut out, "air", &format!("{} kg/m3", number(report.air_density_kg_m3, 4)));
        if let Some(rate) = report.nut_s_per_day_per_turn {
            line(&mut out, "rating nut, a turn up", &format!("{} s/day", number(rate, 1)));
        }
    }
    if let Some(period) = crate::clock::pendulum::compound::small_swing_period_s(model) {
        line(&mut out, "period of a small free swing", &format!("{} s", number(period, 5)));
    }
    line(&mut out, "inertia", &format!("{} kg m2", number(model.inertia_kg_m2, 6)));
    out
}

/// Lock, lift, drop, recoil, clearance of both pallets.
#[must_use]
pub fn action_table(action: &ActionKeys) -> String {
    let mut out =
        String::from("Action, read off the contact curves (degrees of the pallets; drop and way of the wheel)\n");
    let _ = writeln!(
        out,
        "  {:<8} {:>8} {:>8} {:>8} {:>8} {:>15} {:>12}",
        "pallet", "lock", "lift", "drop", "recoil", "wheel pushed", "free behind"
    );
    for (name, pallet) in [("entry", &action.entry), ("exit", &action.exit)] {
        let PalletKeys { lock_deg, lift_deg, drop_deg, recoil_deg, recoil_wheel_deg, clearance_wheel_deg } = *pallet;
        let _ = writeln!(
            out,
            "  {:<8} {:>8} {:>8} {:>8} {:>8} {:>15} {:>12}",
            name,
            number(lock_deg, 3),
            number(lift_deg, 3),
            number(drop_deg, 3),
            number(recoil_deg, 3),
            number(recoil_wheel_deg, 3),
            number(clearance_wheel_deg, 3)
        );
    }
    out
}

/// Run time and what limits it.
#[must_use]
pub fn run_table(run: &RunTime) -> String {
    let limit = match run.limit {
        RunLimit::Drop => "the drop",
        RunLimit::DrumTurns => "the drum's turns",
    };
    let mut out = String::new();
    line(
        &mut out,
        "run from winding to winding",
        &format!(
            "{} days ({} turns of the drum; limited by {limit})",
            number(run.run_time_s / crate::clock::SECONDS_PER_DAY, 2),
            number(run.turns, 1)
        ),
    );
    out
}

/// Why a clock stops, as a maker says it.
#[must_use]
pub const fn reason_in_words(reason: Reason) -> &'static str {
    match reason {
        Reason::NeverUnlocks => "it never unlocks a tooth",
        Reason::LosesAmplitude => "its swing dies away",
        Reason::Jams => "tooth and pallet or a mesh of the train jam",
        Reason::RunsAway => "teeth slip past unheld",
        Reason::LosesSteps => "the motor loses steps",
    }
}

/// The verdict with its key figures and the energy of a beat.
#[must_use]
pub fn verdict_table(results: &Results) -> String {
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

/// Cautions of a clock as the last table; empty where nothing bears on any.
#[must_use]
pub fn cautions(design: &InRoom, built: &Built) -> String {
    crate::report::words::cautions::table(&crate::report::words::cautions::in_words(&crate::clock::cautions::cautions(
        design, built,
    )))
}

/// A run beat by beat, to set beside the limit cycle.
#[must_use]
pub fn plain_run_table(
    days: f64,
    periods: usize,
    left_deg: Option<f64>,
    right_deg: Option<f64>,
    mean_period_s: Option<f64>,
    stopped: bool,
) -> String {
    let mut out = format!("Let run for {} days, beat by beat\n", number(days, 2));
    line(&mut out, "periods", &format!("{periods}{}", if stopped { ", then it stopped" } else { "" }));
    line(
        &mut out,
        "semi-arc at the end, left / right",
        &match (left_deg, right_deg) {
            (Some(left), Some(right)) => format!("{} / {} deg", number(left, 4), number(right, 4)),
            _ => "-".to_owned(),
        },
    );
    line(&mut out, "mean period", &or_dash(mean_period_s, 7, "s"));
    out
}
