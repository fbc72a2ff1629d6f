//! Beats per second of the constant-torque clock without a wheel, and its mean period: what `benches/against_others.py` reads.
#![allow(clippy::unwrap_used, missing_docs)]

mod lumped;

use std::time::Instant;

use beatwright::answers::measure::run_long;
use beatwright::dynamics::observe::Unobserved;
use lumped::{DEGREE, clock};

/// Periods over which the mean is taken.
const MEASURED: usize = 20;

/// Periods timed, in each of so many runs, of which the fastest counts: short ones, for a machine that does other work, too.
const TIMED: usize = 1_000;
const RUNS: usize = 300;

/// Sine law, Q = 200, let go at 3 degrees, constant torque within a degree of the centre.
fn main() {
    let clock = clock();
    let mut mean_period_s = 0.0;
    let mut fastest_s = f64::INFINITY;
    for _ in 0..RUNS {
        let began = Instant::now();
        let mut count = 0;
        // Periods are a little over 2 pi.
        let stopped = run_long(&clock, 3.0 * DEGREE, 6.284 * TIMED as f64, &mut Unobserved, |period| {
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
