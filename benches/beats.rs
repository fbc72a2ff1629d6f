//! Beats per second of the constant-torque clock without a wheel, and its mean period: what `benches/against_others.py` reads.
#![allow(clippy::unwrap_used, missing_docs)]

use std::time::Instant;

use beatwright::answers::clock::Clock;
use beatwright::answers::measure::run_long;
use beatwright::clock::design::{IdealTorque, Outside};
use beatwright::clock::mechanism::PendulumModel;
use beatwright::dynamics::ideal::Ideal;
use beatwright::dynamics::observe::Unwatched;

/// Periods over which the mean is taken.
const MEASURED: usize = 20;

/// Periods timed, in each of so many runs, of which the fastest counts: short ones, for a machine that does other work, too.
const TIMED: usize = 1_000;
const RUNS: usize = 300;

/// Sine law, Q = 200, let go at 3 degrees, constant torque within a degree of the centre.
fn main() {
    let pendulum = PendulumModel {
        inertia_kg_m2: 1.0,
        gravity_torque_n_m: 1.0,
        stiffness_n_m_per_rad: 0.0,
        air_linear_n_m_s: 1.0 / 200.0,
        suspension_linear_n_m_s: 0.0,
        air_quadratic_n_m_s2: 0.0,
        friction_torque_n_m: 0.0,
    };
    let degree = 1f64.to_radians();
    let torque = IdealTorque { torque_n_m: 6.17e-4, before_rad: degree, after_rad: degree, outside: Outside::None };
    let clock = Clock::Ideal { pendulum: &pendulum, ideal: Ideal::Torque(torque) };
    let mut mean_period_s = 0.0;
    let mut fastest_s = f64::INFINITY;
    for _ in 0..RUNS {
        let began = Instant::now();
        let mut count = 0;
        // Periods are a little over 2 pi.
        let stopped = run_long(&clock, 3.0 * degree, 6.284 * TIMED as f64, &mut Unwatched, |period| {
            count += 1;
            if count == MEASURED {
                mean_period_s = period.time_s / MEASURED as f64;
            }
        });
        assert!(stopped.is_none());
        fastest_s = fastest_s.min(began.elapsed().as_secs_f64() / f64::from(count as u32));
    }
    println!("beats_per_second {:.0} mean_period_s {mean_period_s:.17}", 2.0 / fastest_s);
}
