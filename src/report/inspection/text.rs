//! A clock at rest as tables: train, escape wheel, pendulum, action.

use std::fmt::Write as _;

use crate::clock::build::Built;
use crate::clock::environment::InRoom;
use crate::clock::escapement::EscapeWheel;
use crate::clock::strength::strength;
use crate::clock::train::losses::{RunLimit, RunTime};
use crate::report::strength::text::table as strength_table;
use crate::report::words::cautions;
use crate::report::words::numbers::{line, number};
use crate::report::{action, clearances, cord, meshes, over_turn};

use super::InspectionView;
use super::json::InspectionRecord;

/// All tables of a clock at rest that have a meaning for it.
#[must_use]
pub fn table(view: &InspectionView<'_>, record: &InspectionRecord) -> String {
    let (design, built) = (view.design, view.built);
    let mut train = train_table(design, built);
    train.extend(view.run_time.as_ref().map(run_table));
    if let Some((cord, drive)) = record.cord_on_drum.as_ref().zip(design.weight_drive()) {
        train.push_str(&cord::text::lines(cord, drive.weight_kg));
    }
    let mut parts = vec![
        format!("{}\n", design.name),
        train,
        view.train().map_or_else(String::new, |(train, report)| meshes::text::table(train, report)),
        strength(design, built)
            .zip(design.train.as_ref())
            .map_or_else(String::new, |(found, train)| strength_table(&found, train)),
        escape_table(built, view.wheel),
        pendulum_table(built),
    ];
    parts.extend(record.action.as_ref().map(action::text::table));
    parts.extend(record.action_over_turn.as_ref().map(|turn| over_turn::text::table(built, turn)));
    parts.extend(view.margins.map(clearances::text::table));
    parts.push(cautions::table_of(design, built));
    parts.retain(|part| !part.is_empty());
    parts.join("\n")
}

/// Train, beat, torque at every arbor with the losses there.
fn train_table(design: &InRoom, built: &Built) -> String {
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
        line(&mut out, "beat required by the train", &format!("{} s", number(0.5 * period, 6)));
    }
    if let Some(ratio) = report.hour_hand_ratio {
        line(&mut out, "minute hand to hour hand", &format!("{ratio} to 1"));
    }
    if let Some(drive) = &built.drive {
        line(&mut out, "lost in cord and pulleys", &format!("{} %", number(1e2 * drive.cord_loss_share, 2)));
        line(&mut out, "reaches the escape wheel", &format!("{} %", number(1e2 * drive.passed_share, 1)));
    }
    out
}

/// Torques at the escape wheel, and the wheel itself where it has a body.
fn escape_table(built: &Built, wheel: Option<&EscapeWheel>) -> String {
    let mut out = String::new();
    let Some(drive) = built.mechanism.drive else { return out };
    out.push_str("At the escape wheel\n");
    if let Some(wheel) = wheel {
        let (mass, inertia) = (number(1e3 * wheel.mass_kg, 2), number(1e7 * wheel.inertia_kg_m2, 2));
        line(&mut out, "the wheel alone", &format!("{mass} g, {inertia} g cm2"));
    }
    if let Some(distance_mm) = meshes::json::pallet_centre_distance_mm(built) {
        line(&mut out, "pallet arbor from it, to drill", &format!("{} mm", number(distance_mm, 2)));
    }
    line(&mut out, "torque less cord and mesh losses", &format!("{} mN m", number(1e3 * drive.torque_n_m(), 4)));
    line(&mut out, "less bearing friction", &format!("{} mN m", number(1e3 * drive.friction_forward_n_m, 4)));
    if drive.friction_starting_n_m != drive.friction_forward_n_m {
        let starting = number(1e3 * drive.friction_starting_n_m, 4);
        line(&mut out, "friction at a start, from rest", &format!("{starting} mN m"));
    }
    line(&mut out, "torque to drive the wheel back", &format!("{} mN m", number(1e3 * drive.backward_n_m(), 4)));
    line(&mut out, "inertia of wheel, train, weight", &format!("{} g cm2", number(1e7 * drive.inertia_kg_m2, 2)));
    out
}

/// Pendulum's parts and damping.
fn pendulum_table(built: &Built) -> String {
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
            line(&mut out, "rating nut, one turn up", &format!("{} s/day", number(rate, 1)));
        }
    }
    if let Some(period) = crate::clock::pendulum::compound::small_swing_period_s(model) {
        line(&mut out, "period of a small free swing", &format!("{} s", number(period, 5)));
    }
    line(&mut out, "inertia about the pivot", &format!("{} kg m2", number(model.inertia_kg_m2, 6)));
    if let Some(depth_m) = built.pendulum.as_ref().map(|report| report.pivot_depth_m).filter(|&depth| depth != 0.0) {
        line(&mut out, "pivot, below the axis", &format!("{} mm", number(1e3 * depth_m, 3)));
    }
    out
}

/// Run time and what limits it.
fn run_table(run: &RunTime) -> String {
    let limit = match run.limit {
        RunLimit::Drop => "the fall",
        RunLimit::DrumTurns => "the turns of the drum",
    };
    let mut out = String::new();
    line(
        &mut out,
        "run time between windings",
        &format!(
            "{} days ({} turns of the drum; limited by {limit})",
            number(run.run_time_s / crate::clock::SECONDS_PER_DAY, 2),
            number(run.turns, 1)
        ),
    );
    out
}
