//! Tables of what the pictures of a prediction draw.

use crate::answers::prediction::Prediction;
use crate::clock::SECONDS_PER_DAY;
use crate::clock::drive_level::DriveLevel;
use crate::clock::side::Side;
use crate::report::action;
use crate::report::csv_table::{CsvTable, exact, optional, written};
use crate::report::figures::energy_rows;
use crate::report::hands;
use crate::report::life;
use crate::report::support;
use crate::report::words::action::{moment_caption, phase_name};
use crate::study::portrait::Portrait;

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
                    .map(move |swing| vec![exact(start.to_degrees()), exact(swing.0), exact(swing.1.to_degrees())])
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
                    exact(point.drive.value()),
                    optional(side(|both| both.0)),
                    optional(side(|both| both.1)),
                    optional(point.period_s),
                    optional(point.rate_s_per_day),
                ]
            }),
        ),
        hands::csv::table(prediction),
        support::csv::table(prediction),
        life::csv::table(portrait),
        written(
            "escapement",
            &["moment", "pallet", "pendulum_angle_deg", "wheel_advance_deg", "contact_x_mm", "contact_y_mm"],
            portrait.moments.iter().map(|moment| {
                vec![
                    moment_caption(moment),
                    moment.pallet.name().to_owned(),
                    exact(moment.theta_rad.to_degrees()),
                    exact(moment.phi_rad.to_degrees()),
                    exact(moment.contact.x * 1e3),
                    exact(moment.contact.y * 1e3),
                ]
            }),
        ),
        portrait.curves.as_ref().and_then(action::csv::table),
        written(
            "run-time-against-weight",
            &["drum_diameter_mm", "weight_with_margin_kg", "run_time_days"],
            portrait.drums.iter().map(|drum| {
                vec![
                    exact(drum.drum_diameter_m * 1e3),
                    optional(drum.weight_kg),
                    exact(drum.run_time_s / SECONDS_PER_DAY),
                ]
            }),
        ),
    ]
    .into_iter()
    .flatten()
    .collect()
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
                exact(sample.time_s),
                phase_name(phase.kind).to_owned(),
                phase.pallet.map_or("", Side::name).to_owned(),
                exact(sample.theta_rad.to_degrees()),
                exact(sample.omega_rad_s.to_degrees()),
                exact(sample.phi_rad.to_degrees()),
                exact(sample.nu_rad_s.to_degrees()),
                exact(sample.torque_n_m),
                exact(sample.force_n),
            ]
        })
    })
}

fn impact_rows(prediction: &Prediction) -> impl Iterator<Item = Vec<String>> + '_ {
    let trace = prediction.steady.iter().filter_map(|steady| steady.measured.trace.as_ref());
    trace.flat_map(|trace| &trace.ticks).map(|tick| {
        vec![exact(tick.time_s), exact(tick.theta_rad.to_degrees()), tick.pallet.name().to_owned(), exact(tick.loss_j)]
    })
}

fn energy(prediction: &Prediction) -> impl Iterator<Item = Vec<String>> + '_ {
    prediction.steady.iter().flat_map(|steady| {
        let input = steady.energy.weight;
        let rows = std::iter::once(("input", input))
            .chain(energy_rows(&steady.energy))
            .chain([("residual", steady.energy.residual)]);
        rows.map(move |(name, value)| {
            vec![name.to_owned(), exact(value), optional((input != 0.0).then(|| value / input))]
        })
    })
}
