//! The lumped clock that other integrators run, too: sine law, Q = 200, constant torque within a degree of the centre.

use beatwright::answers::return_map::Clock;
use beatwright::clock::design::{IdealTorque, Outside};
use beatwright::clock::mechanism::PendulumModel;
use beatwright::dynamics::ideal::Ideal;

const PENDULUM: PendulumModel = PendulumModel {
    inertia_kg_m2: 1.0,
    gravity_torque_n_m: 1.0,
    stiffness_n_m_per_rad: 0.0,
    air_linear_n_m_s: 1.0 / 200.0,
    suspension_linear_n_m_s: 0.0,
    air_quadratic_n_m_s2: 0.0,
    friction_torque_n_m: 0.0,
};

/// One degree.
pub const DEGREE: f64 = std::f64::consts::PI / 180.0;

/// The clock.
pub fn clock() -> Clock<'static> {
    let torque = IdealTorque { torque_n_m: 6.17e-4, before_rad: DEGREE, after_rad: DEGREE, outside: Outside::None };
    Clock::Ideal { pendulum: &PENDULUM, ideal: Ideal::Torque(torque) }
}
