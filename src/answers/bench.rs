//! What a maker can check on the bench: grams at a tooth's tip, and how long a free swing takes to halve.

use crate::clock::build::Built;
use crate::clock::mechanism::PendulumModel;
use crate::geometry::Point;

use super::steady::UndampedPeriod;

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
    pub fn of(built: &Built) -> Self {
        let tip_m = built.outlines.as_ref().map(|outlines| outlines.tooth.farthest_m(Point::zeros()));
        Self {
            tip_mass_kg_per_n_m: tip_m
                .filter(|_| built.gravity_m_s2 > 0.0)
                .map(|tip_m| 1.0 / (tip_m * built.gravity_m_s2)),
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
/// | `W` | energy lost in the period `T`, at `A` | J |
///
/// `dE/dt = -W / T`, integrated over `ln A`. The losses are those along the undamped swing (as for the Q), so that the time is in error by
/// about `1/Q` of itself.
#[must_use]
pub fn free_decay_s(pendulum: &PendulumModel, from_rad: f64, to_rad: f64) -> Option<f64> {
    if pendulum.restoring_torque_n_m(to_rad) <= pendulum.friction_torque_n_m {
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

/// `-dt / d ln A` of a free swing at the amplitude `A`, s; `dE / d ln A` is `A` times the restoring torque there.
fn seconds_per_log(pendulum: &PendulumModel, amplitude_rad: f64) -> Option<f64> {
    let UndampedPeriod { period_s, lost_j } = UndampedPeriod::of(pendulum, amplitude_rad)?;
    (lost_j > 0.0).then(|| amplitude_rad * pendulum.restoring_torque_n_m(amplitude_rad) * period_s / lost_j)
}
