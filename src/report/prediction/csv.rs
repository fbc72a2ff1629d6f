//! Tables of what the figures draw, as CSV, at full precision; units in the column names.

use crate::answers::motor::MotorPrediction;
use crate::answers::prediction::Prediction;
use crate::clock::SECONDS_PER_DAY;
use crate::clock::drive_level::DriveLevel;
use crate::clock::side::Side;
use crate::report::figures::energy_rows;
use crate::report::words::action::{moment_caption, phase_name};
use crate::study::portrait::{ActionCurves, Portrait};

/// A table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CsvTable {
    /// File stem: that of the figure that draws it.
    pub name: &'static str,
    /// Its text, column names first.
    pub text: String,
}

/// Torque asked of a motor over the twelve hours of the dial.
#[must_use]
pub fn motor_torque_table(found: &MotorPrediction) -> Option<CsvTable> {
    let torques = &found.torques;
    let columns =
        ["time_s", "minute_hand_deg", "hour_hand_deg", "torque_needed_n_m", "torque_available_n_m", "push_at_rest_n_m"];
    let rows = torques.positions.iter().map(|position| {
        let [minute, hour] = position.hands_rad();
        [
            position.time_s,
            minute.to_degrees(),
            hour.to_degrees(),
            position.needed_n_m,
            torques.available_n_m,
            position.push_at_rest_n_m,
        ]
        .map(number)
        .to_vec()
    });
    written("torque-over-twelve-hours", &columns, rows)
}

/// The tables behind the figures, without those that would be empty.
#[must_use]
pub fn tables(portrait: &Portrait, prediction: &Prediction) -> Vec<CsvTable> {
    let drive = if portrait.own_drive.is_some_and(DriveLevel::is_weight) { "weight_kg" } else { "torque_n_m" };
    [
        written(
            "amplitude-from-starts",
            &["start_deg", "time_s", "semi_arc_right_deg"],
            portrait.histories.histories.iter().flat_map(|history| {
                let start = history.swings.first().map_or(0.0, |swing| swing.1);
                history
                    .swings
                    .iter()
                    .map(move |swing| vec![number(start.to_degrees()), number(swing.0), number(swing.1.to_degrees())])
            }),
        ),
        written("steady-period", &STEADY_COLUMNS, steady_rows(portrait)),
        written("impacts", &["time_s", "pendulum_angle_deg", "pallet", "loss_j"], impact_rows(prediction)),
        written("energy-ledger", &["entry", "energy_per_beat_j", "share_of_input"], energy(prediction)),
        written(
            "amplitude-and-rate-against-weight",
            &[drive, "semi_arc_right_deg", "semi_arc_left_deg", "period_s", "rate_s_per_day"],
            portrait.sweep.iter().map(|point| {
                let side = |pick: fn((f64, f64)) -> f64| point.amplitude_rad.map(|both| pick(both).to_degrees());
                vec![
                    number(point.drive.value()),
                    optional(side(|both| both.0)),
                    optional(side(|both| both.1)),
                    optional(point.period_s),
                    optional(point.rate_s_per_day),
                ]
            }),
        ),
        written(
            "escapement",
            &["moment", "pallet", "pendulum_angle_deg", "wheel_advance_deg", "contact_x_mm", "contact_y_mm"],
            portrait.moments.iter().map(|moment| {
                vec![
                    moment_caption(moment),
                    moment.pallet.name().to_owned(),
                    number(moment.theta_rad.to_degrees()),
                    number(moment.phi_rad.to_degrees()),
                    number(moment.contact.x * 1e3),
                    number(moment.contact.y * 1e3),
                ]
            }),
        ),
        portrait.curves.as_ref().and_then(action_table),
        written(
            "run-time-against-weight",
            &["drum_diameter_mm", "weight_with_margin_kg", "run_time_days"],
            portrait.drums.iter().map(|drum| {
                vec![
                    number(drum.drum_diameter_m * 1e3),
                    optional(drum.weight_kg),
                    number(drum.run_time_s / SECONDS_PER_DAY),
                ]
            }),
        ),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// The contact curves as the picture of the action draws them.
#[must_use]
pub fn action_table(curves: &ActionCurves) -> Option<CsvTable> {
    written(
        "action",
        &["curve", "pallet", "pendulum_angle_deg", "wheel_advance_deg"],
        curves.curves.iter().enumerate().flat_map(|(index, curve)| {
            curve.points.iter().map(move |point| {
                vec![
                    (index + 1).to_string(),
                    curve.pallet.name().to_owned(),
                    number(point.0.to_degrees()),
                    number(point.1.to_degrees()),
                ]
            })
        }),
    )
}

const STEADY_COLUMNS: [&str; 9] = [
    "time_s",
    "action",
    "pallet",
    "pendulum_angle_deg",
    "pendulum_speed_deg_s",
    "wheel_advance_deg",
    "wheel_speed_deg_s",
    "torque_on_pendulum_n_m",
    "contact_force_n",
];

fn steady_rows(portrait: &Portrait) -> impl Iterator<Item = Vec<String>> + '_ {
    portrait.phases.iter().flat_map(|phase| {
        phase.samples.iter().map(|sample| {
            vec![
                number(sample.time_s),
                phase_name(phase.kind).to_owned(),
                phase.pallet.map_or("", Side::name).to_owned(),
                number(sample.theta_rad.to_degrees()),
                number(sample.omega_rad_s.to_degrees()),
                number(sample.phi_rad.to_degrees()),
                number(sample.nu_rad_s.to_degrees()),
                number(sample.torque_n_m),
                number(sample.force_n),
            ]
        })
    })
}

fn impact_rows(prediction: &Prediction) -> impl Iterator<Item = Vec<String>> + '_ {
    let trace = prediction.steady.iter().filter_map(|steady| steady.measured.trace.as_ref());
    trace.flat_map(|trace| &trace.ticks).map(|tick| {
        vec![
            number(tick.time_s),
            number(tick.theta_rad.to_degrees()),
            tick.pallet.name().to_owned(),
            number(tick.loss_j),
        ]
    })
}

fn energy(prediction: &Prediction) -> impl Iterator<Item = Vec<String>> + '_ {
    prediction.steady.iter().flat_map(|steady| {
        let input = steady.energy.weight;
        let rows = std::iter::once(("input", input))
            .chain(energy_rows(&steady.energy))
            .chain([("residual", steady.energy.residual)]);
        rows.map(move |(name, value)| {
            vec![name.to_owned(), number(value), optional((input != 0.0).then(|| value / input))]
        })
    })
}

/// A number that reads back as it was; empty where it is none.
pub(in crate::report) fn number(value: f64) -> String {
    if value.is_finite() { value.to_string() } else { String::new() }
}

pub(in crate::report) fn optional(value: Option<f64>) -> String {
    value.map(number).unwrap_or_default()
}

/// A table, or `None` if it has no rows.
pub(in crate::report) fn written(
    name: &'static str,
    columns: &[&str],
    rows: impl Iterator<Item = Vec<String>>,
) -> Option<CsvTable> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(columns).ok()?;
    let mut any = false;
    for row in rows {
        writer.write_record(&row).ok()?;
        any = true;
    }
    let text = String::from_utf8(writer.into_inner().ok()?).ok()?;
    any.then_some(CsvTable { name, text })
}
