//! The papers' ideal clocks through the whole engine, against closed forms.

use std::f64::consts::{PI, TAU};

use beatwright::answers::cycle::{fixed_point_near, least_start_rad};
use beatwright::answers::gain_scan::{probe_starts, stable_points};
use beatwright::answers::measure::measure;
use beatwright::answers::return_map::{Clock, PeriodOutcome};
use beatwright::clock::design::{IdealKick, IdealTorque, KickSides, KickSize, Outside};
use beatwright::clock::mechanism::PendulumModel;
use beatwright::dynamics::ideal::Ideal;

fn pendulum() -> PendulumModel {
    PendulumModel {
        inertia_kg_m2: 1.0,
        gravity_torque_n_m: 0.0,
        stiffness_n_m_per_rad: 1.0,
        air_linear_n_m_s: 0.0,
        suspension_linear_n_m_s: 0.0,
        air_quadratic_n_m_s2: 0.0,
        friction_torque_n_m: 0.0,
    }
}

fn cycle(clock: &Clock<'_>) -> (f64, f64, f64) {
    let probes = probe_starts(clock);
    let points = stable_points(clock, &probes);
    assert_eq!(points.len(), 1, "{points:?}");
    let near = fixed_point_near(clock, 1.3 * points[0].right_rad).unwrap();
    assert!((near.right_rad - points[0].right_rad).abs() < 1e-11);
    let measured = measure(clock, points[0].right_rad, None).unwrap();
    (points[0].right_rad, measured.period_s, points[0].multiplier)
}

fn constant_torque(quality: f64, before_deg: f64, after_deg: f64, delta: f64, outside: Outside) -> (f64, f64) {
    let pendulum = PendulumModel { air_linear_n_m_s: 1.0 / quality, ..pendulum() };
    let ideal = Ideal::Torque(IdealTorque {
        torque_n_m: delta,
        before_rad: before_deg.to_radians(),
        after_rad: after_deg.to_radians(),
        outside,
    });
    let (amplitude, period, _) = cycle(&Clock::Ideal { pendulum: &pendulum, ideal });
    (amplitude.to_degrees(), period / TAU - 1.0)
}

// Airy's theorem in modern form (G. B. Airy, "On the Disturbances of Pendulums and Balances", Trans. Cambridge Phil. Soc.
// III (1830)); the limit cycles are exact piecewise solutions of the linear oscillator, computed apart from this code.
#[test]
fn exact_dead_beat_constant_torque_on_linear_oscillator() {
    for (before, after, amplitude, shift) in
        [(1.0, 1.0, 2.9999966907, 6.474151324e-7), (1.5, 0.5, 2.9987154562, -4.493107662e-4)]
    {
        let found = constant_torque(200.0, before, after, 6.168502750681e-4, Outside::None);
        assert!((found.0 - amplitude).abs() < 1e-9, "{found:?}");
        assert!((found.1 - shift).abs() < 1e-12, "{found:?}");
    }
}

// As above: torque always on, reversing at the drop.
#[test]
fn exact_recoil_constant_torque_on_linear_oscillator() {
    for (quality, delta, amplitude, shift) in [
        (200.0, 6.168502750681e-4, 2.9884926332, -7.018310694e-3),
        (1000.0, 1.233700550136e-4, 2.9976867690, -1.412091522e-3),
    ] {
        let found = constant_torque(quality, 1.0, 1.0, delta, Outside::Reversed);
        assert!((found.0 - amplitude).abs() < 1e-9, "{found:?}");
        assert!((found.1 - shift).abs() < 1e-11, "{found:?}");
    }
}

// Velocity and energy kicks at the centre with viscous damping; closed forms: v+ = dv/(1-q), v+ = h/sqrt(1-q^2),
// A = (v+/n) exp(-(gamma/wd) atan(wd/gamma)), period 2 pi/wd.
#[test]
fn exact_kicks_at_centre_with_viscous_damping() {
    let n = PI;
    for (quality, period, by_speed, by_energy) in [
        (10.0, 2.002504697287, 0.0020268739, 0.0056780143),
        (100.0, 2.000025000469, 0.0202642817, 0.0179586797),
        (1000.0, 2.000000250000, 0.2026423718, 0.0567904334),
    ] {
        let pendulum = PendulumModel { stiffness_n_m_per_rad: n * n, air_linear_n_m_s: n / quality, ..pendulum() };
        for (size, amplitude) in [(KickSize::Speed(0.001), by_speed), (KickSize::Energy(0.5e-4), by_energy)] {
            let ideal = Ideal::Kick(IdealKick { at_rad: 0.0, size, sides: KickSides::Both });
            let (found, found_period, _) = cycle(&Clock::Ideal { pendulum: &pendulum, ideal });
            assert!((found - amplitude).abs() < 1e-9, "Q {quality} {size:?} {found}");
            assert!((found_period - period).abs() < 1e-11, "Q {quality} {size:?} {found_period}");
        }
    }
}

// The clock with dry friction and one kick a period (A. A. Andronov, A. A. Vitt, S. E. Khaikin, "Theory of Oscillators",
// the clock with a given energy of impulse; from memory as to the source, derived as to the values): v* = h^2/(8 mu) + 2 mu.
#[test]
fn exact_kick_with_dry_friction() {
    let (mu, h) = (0.01, 0.1);
    let pendulum = PendulumModel { friction_torque_n_m: mu, ..pendulum() };
    let kick = |at, sides| Ideal::Kick(IdealKick { at_rad: at, size: KickSize::Energy(0.5 * h * h), sides });
    let clock = Clock::Ideal { pendulum: &pendulum, ideal: kick(-mu, KickSides::Right) };
    let (right, period, multiplier) = cycle(&clock);
    let measured = measure(&clock, right, None).unwrap();
    assert!((right - 0.135).abs() < 1e-12);
    assert!((measured.left_rad - 0.115).abs() < 1e-12);
    assert!((period - TAU).abs() < 1e-12);
    assert!((multiplier - 0.724_137_931_034_482_8).abs() < 1e-8, "{multiplier}");

    let clock = Clock::Ideal { pendulum: &pendulum, ideal: kick(-mu, KickSides::Both) };
    let (right, period, multiplier) = cycle(&clock);
    assert!((right - 0.25).abs() < 1e-12);
    assert!((period - TAU).abs() < 1e-12);
    assert!((multiplier - 0.923_076_923_076_923_f64.powi(2)).abs() < 1e-8, "{multiplier}");
}

// x'' + c x'|x'| + x = 0 from one extreme to the next: (1 - 2cA2) exp(2cA2) = (1 + 2cA1) exp(-2cA1).
#[test]
fn exact_half_swing_with_quadratic_drag() {
    for (c, next) in [(0.01, 0.986841877458), (0.1, 0.882189986247), (0.5, 0.593624260040)] {
        let pendulum = PendulumModel { air_quadratic_n_m_s2: c, ..pendulum() };
        let clock = Clock::Ideal { pendulum: &pendulum, ideal: Ideal::Free };
        let PeriodOutcome::Returned(back) = clock.period_from(1.0) else { panic!("stopped") };
        assert!((back.left_rad - next).abs() < 2e-12, "{}", back.left_rad - next);
    }
}

// T/T0 = 2 K(sin(theta0/2)) / pi (NIST DLMF 19.2, 22.19(i); section numbers from memory), values by mpmath 1.4.1 to 13
// decimals, hence the tolerance.
#[test]
fn exact_period_at_finite_amplitude() {
    let pendulum = PendulumModel { gravity_torque_n_m: 1.0, stiffness_n_m_per_rad: 0.0, ..pendulum() };
    for (degrees, shift) in [
        (1.0, 1.903_892_100_550_8e-5),
        (2.0, 7.615_967_156_649_2e-5),
        (3.0, 1.713_742_167_047_9e-4),
        (5.0, 4.761_724_859_868_4e-4),
        (10.0, 1.907_188_143_216_6e-3),
        (45.0, 3.997_334_319_680_4e-2),
        (90.0, 0.180_340_599_016_1),
        (120.0, 0.372_880_500_618_35),
        (170.0, 1.439_362_719_673_9),
    ] {
        let clock = Clock::Ideal { pendulum: &pendulum, ideal: Ideal::Free };
        let measured = measure(&clock, f64::to_radians(degrees), None).unwrap();
        assert!(
            (measured.period_s / TAU - 1.0 - shift).abs() < 5e-14,
            "{degrees}: {}",
            measured.period_s / TAU - 1.0 - shift
        );
    }
}

// Free decay, x'' + c0 sgn(x') + c1 x' + c2 x'|x'| + x = 0 from 0.1: closed forms, and scipy 1.17.1 DOP853 for the mixed case.
#[test]
fn crosscheck_ring_down() {
    for (c0, c1, c2, first, tenth) in [
        (5e-4, 0.0, 0.0, 0.098, 0.08),
        (0.0, 0.01, 0.0, 0.096907204574, 0.073039982271),
        (0.0, 0.0, 0.1, 0.097402553593, 0.078947135149),
        (2e-4, 4e-3, 0.05, 0.096675136039, 0.071606243605),
    ] {
        let pendulum =
            PendulumModel { friction_torque_n_m: c0, air_linear_n_m_s: c1, air_quadratic_n_m_s2: c2, ..pendulum() };
        let clock = Clock::Ideal { pendulum: &pendulum, ideal: Ideal::Free };
        let mut amplitude = 0.1;
        for cycle in 1..=10 {
            let PeriodOutcome::Returned(back) = clock.period_from(amplitude) else { panic!("stopped") };
            amplitude = back.right_rad;
            if cycle == 1 {
                assert!((amplitude - first).abs() < 1e-12, "{amplitude}");
            }
        }
        assert!((amplitude - tenth).abs() < 1e-12, "{amplitude}");
    }
}

// A single kick of 0.002 n a at phase phi: da/a and the time gained (Airy's theorem's first order, exact by hypot and
// atan2), T = 2 s.
#[test]
fn exact_kick_before_and_after_centre() {
    let n = PI;
    let pendulum = PendulumModel { stiffness_n_m_per_rad: n * n, ..pendulum() };
    let a = 0.05;
    for (phase_deg, growth, gained_s) in [
        (-60.0, 0.001001499, 5.507775676e-4),
        (-30.0, 0.001732550, 3.177594050e-4),
        (0.0, 0.002, 0.0),
        (30.0, 0.001732550, -3.177594050e-4),
        (60.0, 0.001001499, -5.507775676e-4),
    ] {
        let at_rad = a * f64::to_radians(phase_deg).sin();
        let ideal = Ideal::Kick(IdealKick { at_rad, size: KickSize::Speed(0.002 * n * a), sides: KickSides::Right });
        let clock = Clock::Ideal { pendulum: &pendulum, ideal };
        let PeriodOutcome::Returned(back) = clock.period_from(a) else { panic!("stopped") };
        assert!((back.right_rad / a - 1.0 - growth).abs() < 6e-10, "{phase_deg}");
        // The kick shifts the time of one swing only; measured over the period from a.
        let mut motion = beatwright::dynamics::ideal::IdealMotion::start(&pendulum, ideal, a).unwrap();
        let mut unwatched = beatwright::dynamics::observe::Unobserved;
        motion.run_to_turning(&mut unwatched).unwrap();
        let right = motion.run_to_turning(&mut unwatched).unwrap();
        assert!((2.0 - right.time_s - gained_s).abs() < 1e-12, "{phase_deg} {}", 2.0 - right.time_s);
    }
}

#[test]
fn exact_least_start_of_a_dead_beat_torque() {
    let pendulum = PendulumModel { air_linear_n_m_s: 1.0 / 200.0, ..pendulum() };
    let ideal = Ideal::Torque(IdealTorque {
        torque_n_m: 6.168502750681e-4,
        before_rad: 0.0174,
        after_rad: 0.0174,
        outside: Outside::None,
    });
    let clock = Clock::Ideal { pendulum: &pendulum, ideal };
    let probes = probe_starts(&clock);
    let point = stable_points(&clock, &probes)[0];
    let least = least_start_rad(&clock, &point, &probes);
    // From any start beyond the deflection that the torque itself holds, the pendulum gains.
    assert!(least < 0.0174, "{least}");
}
