//! How long a free swing takes to halve.

use beatwright::answers::bench::free_decay_s;
use beatwright::clock::mechanism::PendulumModel;
use beatwright::dynamics::ideal::{Ideal, IdealMotion};
use beatwright::dynamics::observe::Unobserved;

const WITHOUT_LOSSES: PendulumModel = PendulumModel {
    inertia_kg_m2: 2.0,
    gravity_torque_n_m: 20.0,
    stiffness_n_m_per_rad: 0.0,
    air_linear_n_m_s: 0.0,
    suspension_linear_n_m_s: 0.0,
    air_quadratic_n_m_s2: 0.0,
    friction_torque_n_m: 0.0,
};

const FROM_RAD: f64 = 0.05;

/// Viscous damping alone halves the swing of a linear oscillator in `2 I ln 2 / c`.
#[test]
fn exact_viscous_decay() {
    let damped = PendulumModel {
        gravity_torque_n_m: 0.0,
        stiffness_n_m_per_rad: 20.0,
        air_linear_n_m_s: 4e-3,
        ..WITHOUT_LOSSES
    };
    let expected_s = 2.0 * damped.inertia_kg_m2 * std::f64::consts::LN_2 / damped.air_linear_n_m_s;
    let found_s = free_decay_s(&damped, FROM_RAD, 0.5 * FROM_RAD).unwrap();
    assert!((found_s / expected_s - 1.0).abs() < 1e-6, "{found_s} {expected_s}");
}

/// The same pendulum let go, swing by swing, with damping of every kind. The swing halves between two turning points: half a period is a
/// thousandth of the time here.
#[test]
fn crosscheck_decay_of_every_kind_with_the_motion() {
    for damped in [
        PendulumModel {
            air_linear_n_m_s: 4e-3,
            air_quadratic_n_m_s2: 0.05,
            friction_torque_n_m: 2e-4,
            ..WITHOUT_LOSSES
        },
        PendulumModel { friction_torque_n_m: 6e-4, ..WITHOUT_LOSSES },
        PendulumModel { suspension_linear_n_m_s: 2e-3, stiffness_n_m_per_rad: 1.0, ..WITHOUT_LOSSES },
    ] {
        let mut motion = IdealMotion::start(&damped, Ideal::Free, FROM_RAD).unwrap();
        let halved = loop {
            let state = motion.run_to_turning(&mut Unobserved).unwrap();
            if state.theta_rad.abs() <= 0.5 * FROM_RAD {
                break state;
            }
        };
        let found_s = free_decay_s(&damped, FROM_RAD, 0.5 * FROM_RAD).unwrap();
        assert!((found_s / halved.time_s - 1.0).abs() < 4e-3, "{found_s} {}", halved.time_s);
    }
}

#[test]
fn a_swing_without_losses_never_halves_and_one_held_by_friction_never_gets_there() {
    assert_eq!(free_decay_s(&WITHOUT_LOSSES, FROM_RAD, 0.5 * FROM_RAD), None);
    let held = PendulumModel { friction_torque_n_m: 0.6, ..WITHOUT_LOSSES };
    assert_eq!(free_decay_s(&held, FROM_RAD, 0.5 * FROM_RAD), None);
}
