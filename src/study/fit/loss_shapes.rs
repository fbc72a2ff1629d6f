//! What each kind of loss takes of the amplitude in a period, and how long a period is, both over the amplitude.

use std::f64::consts::{FRAC_PI_2, TAU};

use crate::clock::mechanism::PendulumModel;

/// Number of kinds of loss: constant, linear and quadratic in the amplitude or the speed.
pub const LOSSES: usize = 3;

/// Points of the quarter swing for its integrals. The integrands are smooth and even in their angle, so the rule is good to rounding long
/// before.
const QUARTER_POINTS: usize = 48;

/// Points of the table of integrals over the amplitude.
const TABLE_POINTS: usize = 200;

/// Loss of amplitude in a period by each kind of loss for a coefficient of 1, the gain of amplitude from an energy of 1, and the period.
#[derive(Debug, Clone, PartialEq)]
pub struct LossShapes {
    form: Form,
}

#[derive(Debug, Clone, PartialEq)]
enum Form {
    /// Loss of 1, A and A^2 (rad); the energy counts as half the square of the amplitude.
    Powers {
        /// Period of a small swing, s; `None` where rows count periods.
        small_period_s: Option<f64>,
    },
    /// Loss by a torque of 1 N m, 1 N m s and 1 N m s^2 on a pendulum: table over the amplitude from 0 to `most_rad` of the loss over its
    /// power of the amplitude, of the gain from 1 J times the amplitude, and of the period.
    Pendulum {
        most_rad: f64,
        table: Vec<[f64; LOSSES + 2]>,
        /// Whether rows count periods.
        in_periods: bool,
    },
}

impl LossShapes {
    /// Powers of the amplitude. The period grows with the amplitude as that of a pendulum under gravity does.
    #[must_use]
    pub const fn powers(small_period_s: Option<f64>) -> Self {
        Self { form: Form::Powers { small_period_s } }
    }

    /// The losses of a pendulum by its torques, for amplitudes up to `most_rad`.
    ///
    /// For small amplitudes the three are `4 / k`, `pi A omega / k` and `(8/3) A^2 omega^2 / k`, k the restoring stiffness: the work
    /// of each torque over an undamped swing, divided by the restoring torque at its end (derived). The table has the integrals of the swing
    /// as it is, sine law and suspension included.
    #[must_use]
    pub fn of_pendulum(pendulum: &PendulumModel, most_rad: f64, in_periods: bool) -> Self {
        let most_rad = most_rad.clamp(1e-6, 3.0);
        let step = most_rad / (TABLE_POINTS - 1) as f64;
        let least = 1e-3 * step;
        let table = (0..TABLE_POINTS).map(|point| over_swing(pendulum, (step * point as f64).max(least))).collect();
        Self { form: Form::Pendulum { most_rad, table, in_periods } }
    }

    /// Loss of amplitude in a period, rad, for a coefficient of 1 each.
    #[must_use]
    pub fn losses_rad(&self, amplitude_rad: f64) -> [f64; LOSSES] {
        let a = amplitude_rad.max(0.0);
        match &self.form {
            Form::Powers { .. } => [1.0, a, a * a],
            Form::Pendulum { .. } => {
                let row = self.row(a);
                [row[0], row[1] * a, row[2] * a * a]
            }
        }
    }

    /// Gain of amplitude in a period from an energy of 1, rad.
    #[must_use]
    pub fn gain_rad(&self, amplitude_rad: f64) -> f64 {
        match &self.form {
            Form::Powers { .. } => 1.0 / amplitude_rad.max(1e-9),
            Form::Pendulum { .. } => self.row(amplitude_rad)[LOSSES] / amplitude_rad.max(1e-9),
        }
    }

    /// Full period, s; 1 where rows count periods.
    #[must_use]
    pub fn period_s(&self, amplitude_rad: f64) -> f64 {
        match &self.form {
            Form::Powers { small_period_s: None } => 1.0,
            Form::Powers { small_period_s: Some(small_s) } => small_s * circular_factor(amplitude_rad),
            Form::Pendulum { in_periods: true, .. } => 1.0,
            Form::Pendulum { .. } => self.row(amplitude_rad)[LOSSES + 1],
        }
    }

    fn row(&self, amplitude_rad: f64) -> [f64; LOSSES + 2] {
        let Form::Pendulum { most_rad, table, .. } = &self.form else { return [0.0; LOSSES + 2] };
        let place = (amplitude_rad / most_rad * (TABLE_POINTS - 1) as f64).clamp(0.0, (TABLE_POINTS - 1) as f64);
        let below = (place.floor() as usize).min(TABLE_POINTS - 2);
        let share = place - below as f64;
        std::array::from_fn(|number| table[below][number] + share * (table[below + 1][number] - table[below][number]))
    }
}

/// Period of a pendulum under gravity over that of a small swing: `1 / agm(1, cos(A/2))` (Gauss's closed form of the elliptic integral).
#[must_use]
pub fn circular_factor(amplitude_rad: f64) -> f64 {
    let (mut mean, mut geometric) = (1.0_f64, (0.5 * amplitude_rad.abs().min(3.0)).cos());
    for _ in 0..5 {
        (mean, geometric) = (0.5 * (mean + geometric), (mean * geometric).sqrt());
    }
    1.0 / mean
}

/// Row of the table at an amplitude above zero.
fn over_swing(pendulum: &PendulumModel, amplitude_rad: f64) -> [f64; LOSSES + 2] {
    let a = amplitude_rad;
    let top_j = pendulum.potential_j(a);
    let step = FRAC_PI_2 / QUARTER_POINTS as f64;
    let (mut by_speed, mut by_square, mut quarter_s) = (0.0, 0.0, 0.0);
    for point in 0..QUARTER_POINTS {
        let (sine, cosine) = (step * (point as f64 + 0.5)).sin_cos();
        let square = 2.0 * (top_j - pendulum.potential_j(a * sine)) / pendulum.inertia_kg_m2;
        let speed = square.max(0.0).sqrt();
        let way = a * cosine * step;
        by_speed += speed * way;
        by_square += square * way;
        quarter_s += way / speed;
    }
    let restoring_n_m = pendulum.restoring_torque_n_m(a);
    let losses =
        [4.0 * a / restoring_n_m, 4.0 * by_speed / restoring_n_m / a, 4.0 * by_square / restoring_n_m / (a * a)];
    [losses[0], losses[1], losses[2], a / restoring_n_m, 4.0 * quarter_s]
}

/// Quality factor at an amplitude with a loss of amplitude in a period: `2 pi` times energy over energy lost, for a swing whose energy
/// goes with the square of its amplitude.
#[must_use]
pub fn quality(amplitude_rad: f64, loss_rad: f64) -> f64 {
    0.5 * TAU * amplitude_rad / loss_rad
}
