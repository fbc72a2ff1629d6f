//! Whole periods against a slow clock written from the model's equations alone.

use beatwright::dynamics::Motion;
use beatwright::dynamics::observe::Unobserved;

use crate::support::clocks::{Bench, dead_beat_clock, recoil_clock};
use crate::support::plans::DEG;
use crate::support::slow_clock::SlowClock;

/// Largest difference over some periods of the turning points, rad, and of their times, s.
fn differences(bench: &Bench, start_rad: f64, periods: usize) -> (f64, f64) {
    let mut motion = Motion::start(&bench.pendulum, &bench.drive, &bench.escapement, start_rad).unwrap();
    let mut slow = SlowClock::new(bench.pendulum, bench.drive, &bench.outlines, bench.escapement.friction);
    slow.let_go(start_rad);
    assert!((slow.y[2] - motion.state().phi_rad).abs() < 1e-13, "{} {}", slow.y[2], motion.state().phi_rad);
    let mut worst: (f64, f64) = (0.0, 0.0);
    for _ in 0..2 * periods {
        let turning = motion.run_to_turning(&mut Unobserved).unwrap();
        slow.run_to_turning();
        let (angle, time) = (turning.state.theta_rad - slow.y[0], turning.state.time_s - slow.time);
        println!("{:.12} rad, {:.12} s: off {angle:.1e} rad {time:.1e} s", slow.y[0], slow.time);
        worst = (worst.0.max(angle.abs()), worst.1.max(time.abs()));
        assert_eq!(turning.resting_on.is_some(), slow.on.is_some());
    }
    assert!(slow.impacts >= 2 * periods);
    worst
}

#[test]
fn crosscheck_dead_beat_against_a_slow_clock() {
    let (angle, time) = differences(&dead_beat_clock(), 4.0 * DEG, 3);
    assert!(angle < 1e-11 && time < 1e-11, "{angle} {time}");
}

#[test]
fn crosscheck_recoil_against_a_slow_clock() {
    let (angle, time) = differences(&recoil_clock(), 6.0 * DEG, 3);
    assert!(angle < 1e-11 && time < 1e-11, "{angle} {time}");
}

// Near its least torque, slippery and with a heavy wheel, where a tooth is long in flight.
#[test]
fn crosscheck_dead_beat_with_a_heavy_wheel_against_a_slow_clock() {
    let mut bench = dead_beat_clock().with_contact(0.05, 0.0, 0.0);
    bench.drive.inertia_kg_m2 = 1e-4;
    let (angle, time) = differences(&bench, 3.0 * DEG, 3);
    assert!(angle < 1e-11 && time < 1e-11, "{angle} {time}");
}
