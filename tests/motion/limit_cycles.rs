//! Fixed points against plain long runs, least drive and least start against what then happens, ideal clocks against Dop853.

use beatwright::answers::cycle::{FixedPoint, fixed_point_near, least_start_rad};
use beatwright::answers::gain_scan::{gain_scan, probe_starts};
use beatwright::answers::least_drive::least_drive;
use beatwright::answers::measure::{measure, run_long};
use beatwright::answers::return_map::Clock;
use beatwright::clock::design::{IdealTorque, Outside};
use beatwright::clock::mechanism::PendulumModel;
use beatwright::dynamics::ideal::Ideal;
use beatwright::dynamics::observe::Unobserved;
use ode_solvers::{Dop853, OutputType, System, Vector2};

use crate::support::clocks::{Bench, dead_beat_clock, drive, recoil_clock, rounded_dead_beat_clock};
use crate::support::plans::DEG;

/// Amplitudes of a plain run of so many periods, and whether it went on to the end.
fn long_run(clock: &Clock<'_>, start_rad: f64, periods: usize) -> (Vec<f64>, bool) {
    let mut amplitudes = Vec::new();
    let first = measure(clock, start_rad, None).map_or(1.5, |measured| measured.period_s);
    let ended =
        run_long(clock, start_rad, first * periods as f64, &mut Unobserved, |record| amplitudes.push(record.right_rad));
    (amplitudes, ended.is_none())
}

fn only_stable_point(clock: &Clock<'_>) -> FixedPoint {
    let points = gain_scan(clock).stable;
    assert_eq!(points.len(), 1, "{points:?}");
    points[0]
}

#[test]
fn crosscheck_long_runs_end_in_the_fixed_point() {
    for (name, bench) in
        [("dead-beat", dead_beat_clock()), ("recoil", recoil_clock()), ("rounded", rounded_dead_beat_clock(2e-4))]
    {
        let clock = bench.clock();
        let point = only_stable_point(&clock);
        let newton = fixed_point_near(&clock, 1.02 * point.right_rad).unwrap();
        assert!((newton.right_rad - point.right_rad).abs() < 1e-12);
        let (amplitudes, went_on) = long_run(&clock, 5.0 * DEG, 3000);
        assert!(went_on && amplitudes.len() >= 2990, "{} periods", amplitudes.len());
        let off = amplitudes[amplitudes.len() - 1] - point.right_rad;
        // The last differences that are far above rounding and near enough to the cycle to shrink by the map's slope.
        let distances: Vec<f64> = amplitudes.iter().map(|amplitude| amplitude - point.right_rad).collect();
        let at = distances.iter().position(|distance| distance.abs() < 2e-7).unwrap();
        let ratio = (distances[at + 20] / distances[at]).powf(0.05);
        println!(
            "{name}: {:.9} deg, off {off:.1e} rad, multiplier {:.8}, ratio off {:.1e}",
            point.right_rad / DEG,
            point.multiplier,
            ratio - point.multiplier
        );
        assert!(off.abs() < 1e-11, "{off}");
        assert!((ratio - point.multiplier).abs() < 1e-5, "{ratio} {}", point.multiplier);
    }
}

#[test]
fn crosscheck_least_drive_parts_going_from_stopping() {
    for (name, bench) in [("dead-beat", dead_beat_clock()), ("recoil", recoil_clock())] {
        let with =
            |torque: f64| bench.clock_with(drive(torque, 0.05 * torque, 0.08 * torque, bench.drive.inertia_kg_m2));
        let least = least_drive(&with, 5e-3).unwrap();
        let above = with(least * (1.0 + 2e-4));
        let points = gain_scan(&above).stable;
        println!("{name}: least {least} N m, just above it {points:?}");
        // Close to where cycle and twin meet the scan may step over both: the run decides.
        let start_rad = points.first().map_or(5.0 * DEG, |point| point.right_rad);
        let (amplitudes, went_on) = long_run(&above, start_rad, 2000);
        assert!(went_on, "just above the least drive it stops after {} periods", amplitudes.len());
        assert!(!points.is_empty(), "no stable point just above the least drive");
        let below = with(least * (1.0 - 2e-3));
        assert!(gain_scan(&below).stable.is_empty());
        for start_deg in [1.1 * start_rad / DEG, 5.0] {
            let (amplitudes, went_on) = long_run(&below, start_deg * DEG, 20_000);
            assert!(!went_on, "just below the least drive it still goes after {} periods", amplitudes.len());
        }
    }
}

#[test]
fn crosscheck_least_start_parts_going_from_stopping() {
    for (name, bench) in [("dead-beat", dead_beat_clock()), ("recoil", recoil_clock())] {
        let clock = bench.clock();
        let probes = probe_starts(&clock);
        let point = only_stable_point(&clock);
        let least = least_start_rad(&clock, &point, &probes);
        let (amplitudes, went_on) = long_run(&clock, least + 1e-7, 3000);
        println!("{name}: least start {} deg of {} deg", least / DEG, point.right_rad / DEG);
        assert!(went_on && (amplitudes[amplitudes.len() - 1] - point.right_rad).abs() < 1e-9);
        let (amplitudes, went_on) = long_run(&clock, least - 1e-6, 3000);
        assert!(!went_on, "from below the least start it goes on for {} periods", amplitudes.len());
    }
}

#[test]
fn exact_amplitude_rises_with_the_torque() {
    let rising = |bench: &Bench, torques: [f64; 5]| {
        let amplitudes = torques.map(|torque| {
            only_stable_point(&bench.clock_with(drive(torque, 3e-4, 5e-4, bench.drive.inertia_kg_m2))).right_rad
        });
        println!("{:?}", amplitudes.map(|amplitude| amplitude / DEG));
        assert!(amplitudes.windows(2).all(|pair| pair[1] > pair[0]), "{amplitudes:?}");
    };
    rising(&dead_beat_clock(), [5.2e-3, 5.6e-3, 6e-3, 6.4e-3, 6.8e-3]);
    rising(&recoil_clock(), [1.0e-2, 1.1e-2, 1.2e-2, 1.3e-2, 1.4e-2]);
}

/// `theta'' = -sin(theta) - theta'/Q + torque`.
#[derive(Clone, Copy)]
struct Driven {
    damping: f64,
    torque: f64,
}

impl System<f64, Vector2<f64>> for Driven {
    fn system(&self, _: f64, y: &Vector2<f64>, dy: &mut Vector2<f64>) {
        dy[0] = y[1];
        dy[1] = -y[0].sin() - self.damping * y[1] + self.torque;
    }
}

impl Driven {
    fn after(self, y: Vector2<f64>, h: f64) -> Vector2<f64> {
        if h <= 0.0 {
            return y;
        }
        let mut solver = Dop853::new(self, 0.0, h, h, y, 1e-14, 1e-17);
        solver.set_output(OutputType::Sparse);
        solver.integrate().unwrap();
        *solver.y_out().last().unwrap()
    }

    /// State and duration when `happened` first holds, looked at every 0.01 s and bisected.
    fn until(self, mut y: Vector2<f64>, happened: impl Fn(&Vector2<f64>) -> bool) -> (Vector2<f64>, f64) {
        let mut time = 0.0;
        loop {
            let next = self.after(y, 0.01);
            if !happened(&next) {
                (y, time) = (next, time + 0.01);
                continue;
            }
            let (mut low, mut high) = (0.0, 0.01);
            while high - low > 1e-15 {
                let middle = 0.5 * (low + high);
                if happened(&self.after(y, middle)) { high = middle } else { low = middle }
            }
            return (self.after(y, high), time + high);
        }
    }
}

/// One half swing from rest on the right at `amplitude`: amplitude on the left and duration. By symmetry half a period.
fn half_swing(amplitude: f64, damping: f64, torque: f64, mark: f64, outside: Outside) -> (f64, f64) {
    let on = |torque| Driven { damping, torque };
    let y = Vector2::new(amplitude, 0.0);
    let turned = |y: &Vector2<f64>| y[1] > 0.0;
    match outside {
        Outside::None => {
            let (y, t1) = on(0.0).until(y, |y| y[0] < mark);
            let (y, t2) = on(-torque).until(y, |y| y[0] < -mark);
            let (y, t3) = on(0.0).until(y, turned);
            (-y[0], t1 + t2 + t3)
        }
        Outside::Reversed => {
            let (y, t1) = on(-torque).until(y, |y| y[0] < -mark);
            let (y, t2) = on(torque).until(y, turned);
            (-y[0], t1 + t2)
        }
    }
}

// A sine-law pendulum with Q = 200 under a constant torque from 1 deg before to 1 deg past the centre, and under one that is
// always on and reverses 1 deg past the centre.
#[test]
fn crosscheck_ideal_torque_on_a_gravity_pendulum() {
    let (damping, torque, mark) = (1.0 / 200.0, 6.168502750681e-4, 1.0 * DEG);
    let pendulum = PendulumModel {
        inertia_kg_m2: 1.0,
        gravity_torque_n_m: 1.0,
        stiffness_n_m_per_rad: 0.0,
        air_linear_n_m_s: damping,
        suspension_linear_n_m_s: 0.0,
        air_quadratic_n_m_s2: 0.0,
        friction_torque_n_m: 0.0,
    };
    for outside in [Outside::None, Outside::Reversed] {
        let ideal = Ideal::Torque(IdealTorque { torque_n_m: torque, before_rad: mark, after_rad: mark, outside });
        let clock = Clock::Ideal { pendulum: &pendulum, ideal };
        let point = only_stable_point(&clock);
        let period = measure(&clock, point.right_rad, None).unwrap().period_s;
        let gain = |amplitude: f64| half_swing(amplitude, damping, torque, mark, outside).0 - amplitude;
        let (mut a, mut b) = (2.9 * DEG, 3.1 * DEG);
        let (mut gain_a, mut gain_b) = (gain(a), gain(b));
        for _ in 0..8 {
            if gain_a == gain_b {
                break;
            }
            let next = b - gain_b * (b - a) / (gain_b - gain_a);
            (a, gain_a) = (b, gain_b);
            (b, gain_b) = (next, gain(next));
        }
        let slow_period = 2.0 * half_swing(b, damping, torque, mark, outside).1;
        println!(
            "{outside:?}: {:.12} deg, off {:.1e} rad; {period:.12} s, off {:.1e} s",
            b / DEG,
            point.right_rad - b,
            period - slow_period
        );
        assert!((point.right_rad - b).abs() < 1e-11 && (point.left_rad - b).abs() < 1e-11);
        assert!((period - slow_period).abs() < 1e-11);
    }
}
