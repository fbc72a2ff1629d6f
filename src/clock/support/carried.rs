//! Pendulum and weight of a clock as its support carries them.

use crate::clock::SECONDS_PER_DAY;
use crate::clock::design::{LumpedPendulum, Support, WeightDrive};
use crate::clock::mechanism::PendulumModel;
use crate::clock::pendulum::compound::PendulumReport;

use super::UNSTATED_WEIGHT;
use super::mode::{CarriedPendulum, PendulumMode, Springy, SwingingWeight, passing_length_m, pendulum_mode};

/// What a support carries, and the support where the scenario gives one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Carried {
    /// The pendulum's motion on a support that gives way to nothing.
    pub rigid: PendulumModel,
    /// The pendulum as the support feels it.
    pub pendulum: CarriedPendulum,
    /// The driving weight's mass, kg; `None` where no weight drives the clock.
    pub weight_kg: Option<f64>,
    /// Gravity, m/s^2.
    pub gravity_m_s2: f64,
    /// The support.
    pub support: Option<Support>,
}

impl Carried {
    /// A pendulum as it moves by itself and as its support feels it; `drive` and `support` where the clock has them.
    #[must_use]
    pub fn of(
        (rigid, pendulum): (PendulumModel, CarriedPendulum),
        drive: Option<&WeightDrive>,
        support: Option<Support>,
        gravity_m_s2: f64,
    ) -> Self {
        // A weight at which nothing pulls does not hang.
        let weight_kg = drive.map(|drive| drive.weight_kg).filter(|&kg| kg > 0.0 && gravity_m_s2 > 0.0);
        Self { rigid, pendulum, weight_kg, gravity_m_s2, support }
    }

    /// The same with another pendulum made of parts.
    #[must_use]
    pub fn with_pendulum(&self, rigid: PendulumModel, report: &PendulumReport) -> Self {
        Self { rigid, pendulum: CarriedPendulum::of_parts(&rigid, report), ..*self }
    }

    /// From the drum to the middle of the wound weight, m.
    #[must_use]
    pub fn hangs_m(&self) -> f64 {
        self.support.map_or(UNSTATED_WEIGHT, |support| support.weight).hangs_m
    }

    /// Length at which the weight swings in the pendulum's time, m; `None` without a weight.
    #[must_use]
    pub fn passing_length_m(&self) -> Option<f64> {
        self.weight_kg.map(|_| passing_length_m(&self.pendulum, self.gravity_m_s2))
    }

    /// The pendulum's mode on a support, its weight so far below the drum; `None` for no weight at all.
    #[must_use]
    pub fn mode(&self, support: &Support, hangs_m: Option<f64>) -> Option<PendulumMode> {
        let springy = Springy {
            stiffness_n_per_m: support.stiffness_n_per_m,
            loss_factor: support.loss_factor,
            moving_mass_kg: support.moving_mass_kg,
        };
        let weight = self.weight_kg.zip(hangs_m).map(|(mass_kg, length_m)| SwingingWeight {
            mass_kg,
            length_m,
            q: support.weight.q,
            gravity_m_s2: self.gravity_m_s2,
        });
        pendulum_mode(&self.pendulum, weight.as_ref(), &springy)
    }

    /// Rate that a mode has over a support that gives way to nothing, s/day; below 0 it loses.
    #[must_use]
    pub fn rate_shift_s_per_day(&self, mode: &PendulumMode) -> f64 {
        SECONDS_PER_DAY * mode.relative_shift(&self.pendulum)
    }

    /// The pendulum as the motion sees it in a mode: the mode's inertia, its stiffness beyond that of gravity, its losses beside the
    /// pendulum's own.
    #[must_use]
    pub fn model_in(&self, mode: &PendulumMode) -> PendulumModel {
        PendulumModel {
            inertia_kg_m2: mode.inertia_kg_m2,
            stiffness_n_m_per_rad: mode.stiffness_n_m_per_rad() - self.rigid.gravity_torque_n_m,
            suspension_linear_n_m_s: self.rigid.suspension_linear_n_m_s + mode.damping_linear_n_m_s(),
            ..self.rigid
        }
    }

    /// The pendulum on the scenario's support, the weight as it hangs when it is wound up; as it is where the scenario gives none.
    #[must_use]
    pub fn model(&self) -> PendulumModel {
        let mode = self.support.and_then(|support| self.mode(&support, Some(support.weight.hangs_m)));
        mode.map_or(self.rigid, |mode| self.model_in(&mode))
    }
}

impl CarriedPendulum {
    /// A pendulum made of parts. The air that swings along is in its inertia alone.
    #[must_use]
    pub fn of_parts(rigid: &PendulumModel, report: &PendulumReport) -> Self {
        Self::of(rigid, report.mass_kg, report.centre_of_mass_m - report.pivot_depth_m)
    }

    /// A pendulum of bare numbers.
    #[must_use]
    pub fn of_lumped(rigid: &PendulumModel, lumped: &LumpedPendulum) -> Self {
        Self::of(rigid, lumped.mass_kg, lumped.centre_of_mass_m)
    }

    /// A pendulum whose centre of mass is so far below its suspension's point.
    fn of(rigid: &PendulumModel, mass_kg: f64, depth_m: f64) -> Self {
        Self {
            mass_kg,
            static_moment_kg_m: mass_kg * depth_m,
            inertia_kg_m2: rigid.inertia_kg_m2,
            restoring_n_m_per_rad: rigid.small_swing_stiffness_n_m_per_rad(),
        }
    }
}
