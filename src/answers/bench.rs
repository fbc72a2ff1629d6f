//! What a maker can check on the bench: grams at a tooth's tip, and how long a free swing takes to halve.

use crate::clock::build::Built;
use crate::clock::environment::InRoom;
use crate::clock::environment::site::gravity_m_s2;
use crate::clock::mechanism::PendulumModel;
use crate::dynamics::ideal::{Ideal, IdealMotion};
use crate::dynamics::observe::Unobserved;
use crate::geometry::Point;

use super::steady::q_factor;

/// Swing from which the free decay is given, rad: 3 degrees, a usual swing.
pub const DECAY_FROM_RAD: f64 = 3.0 * std::f64::consts::PI / 180.0;

/// Intervals of Simpson's rule over a halving. The integrand changes by less than its own size, smoothly: four give 1e-4 of it even where friction
/// alone acts.
const INTERVALS: usize = 8;

/// Numbers for checks on the bench.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BenchChecks {
    /// Mass at the tip of a horizontal tooth that gives one newton metre, kg; `None` without outlines or without gravity.
    pub tip_mass_kg_per_n_m: Option<f64>,
    /// Time in which a swing of [`DECAY_FROM_RAD`] falls to half with the escapement off, s; `None` where it never does.
    pub halving_s: Option<f64>,
}

impl BenchChecks {
    /// Those of a built clock.
    #[must_use]
    pub fn of(design: &InRoom, built: &Built) -> Self {
        let tip_m = built.outlines.as_ref().map(|outlines| outlines.tooth.farthest_m(Point::zeros()));
        let gravity = gravity_m_s2(&design.place).ok().filter(|&gravity| gravity > 0.0);
        Self {
            tip_mass_kg_per_n_m: tip_m.zip(gravity).map(|(tip_m, gravity)| 1.0 / (tip_m * gravity)),
            halving_s: free_decay_s(&built.mechanism.pendulum, DECAY_FROM_RAD, 0.5 * DECAY_FROM_RAD),
        }
    }
}

/// Time in which the swing of a pendulum alone dies away from `from_rad` to `to_rad`, s. `None` without damping, and where friction holds
/// the pendulum before.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `A` | amplitude | rad |
/// | `E` | energy stored at it | J |
/// | `Q` | `2 pi` stored over lost in the period `T`, at `A` | - |
///
/// `dE/dt = -2 pi E / (Q T)`, integrated over `ln A`. The losses are those along the undamped swing (as for the Q itself), so that the time is
/// in error by about `1/Q` of itself.
#[must_use]
pub fn free_decay_s(pendulum: &PendulumModel, from_rad: f64, to_rad: f64) -> Option<f64> {
    if restoring_torque_n_m(pendulum, to_rad) <= pendulum.friction_torque_n_m {
        return None;
    }
    let step = (from_rad / to_rad).ln() / INTERVALS as f64;
    let mut sum = 0.0;
    for number in 0..=INTERVALS {
        let weight = match number {
            0 | INTERVALS => 1.0,
            odd if odd % 2 == 1 => 4.0,
            _ => 2.0,
        };
        sum += weight * seconds_per_log(pendulum, to_rad * (step * number as f64).exp())?;
    }
    Some(sum * step / 3.0)
}

/// `-dt / d ln A` of a free swing at the amplitude `A`, s.
fn seconds_per_log(pendulum: &PendulumModel, amplitude_rad: f64) -> Option<f64> {
    let undamped = pendulum.without_losses();
    let half_s =
        IdealMotion::start(&undamped, Ideal::Free, amplitude_rad).ok()?.run_to_turning(&mut Unobserved).ok()?.time_s;
    let lost_share_per_s = std::f64::consts::TAU / (q_factor(pendulum, amplitude_rad)? * 2.0 * half_s);
    let energy_per_log = amplitude_rad * restoring_torque_n_m(pendulum, amplitude_rad);
    Some(energy_per_log / (pendulum.potential_j(amplitude_rad) * lost_share_per_s))
}

fn restoring_torque_n_m(pendulum: &PendulumModel, theta_rad: f64) -> f64 {
    pendulum.gravity_torque_n_m * theta_rad.sin() + pendulum.stiffness_n_m_per_rad * theta_rad
}
