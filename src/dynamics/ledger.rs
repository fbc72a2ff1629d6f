//! Where the energy goes: every loss integrated along the motion's own series.

use crate::clock::mechanism::PendulumModel;
use crate::numerics::series::{Series, integral, product, value};

use super::observe::{Jump, JumpKind, Observer, TakenSegment, WheelWay};

/// Energies since the start, J; losses positive.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Ledger {
    /// Air, linear and quadratic.
    pub air_j: f64,
    /// Suspension, pivots of the pallet arbor, stated extras.
    pub suspension_j: f64,
    /// Square of the pendulum's speed over the time, rad^2/s: what a linear damping takes, over that damping.
    pub squared_speed_rad2_per_s: f64,
    /// Sliding of teeth on pallets.
    pub faces_j: f64,
    /// Impacts.
    pub impact_j: f64,
    /// Impacts at the end of the crutch's play.
    pub play_j: f64,
    /// Work of an ideal torque or kicks on the pendulum (an input).
    pub ideal_input_j: f64,
    /// Wheel advance under forward resistance, rad (signed).
    pub forward_rad: f64,
    /// Wheel pushed back, rad (positive).
    pub backward_rad: f64,
}

impl Ledger {
    /// Every entry times `factor`.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        Self {
            air_j: factor * self.air_j,
            suspension_j: factor * self.suspension_j,
            squared_speed_rad2_per_s: factor * self.squared_speed_rad2_per_s,
            faces_j: factor * self.faces_j,
            impact_j: factor * self.impact_j,
            play_j: factor * self.play_j,
            ideal_input_j: factor * self.ideal_input_j,
            forward_rad: factor * self.forward_rad,
            backward_rad: factor * self.backward_rad,
        }
    }
}

/// Keeps the ledger.
#[derive(Debug, Clone)]
pub struct LedgerKeeper {
    pendulum: PendulumModel,
    /// The ledger so far.
    pub ledger: Ledger,
}

impl LedgerKeeper {
    /// An empty ledger for a pendulum.
    #[must_use]
    pub fn new(pendulum: PendulumModel) -> Self {
        Self { pendulum, ledger: Ledger::default() }
    }
}

impl Observer for LedgerKeeper {
    fn segment(&mut self, taken: &TakenSegment<'_>) {
        let TakenSegment { series, duration_s: t, direction, .. } = *taken;
        let ledger = &mut self.ledger;
        let pendulum = &self.pendulum;
        let speed_squared = product(&series.omega, &series.omega);
        let square_time = integral(&speed_squared, t);
        ledger.squared_speed_rad2_per_s += square_time;
        ledger.air_j += pendulum.air_linear_n_m_s * square_time;
        if pendulum.air_quadratic_n_m_s2 != 0.0 {
            ledger.air_j +=
                pendulum.air_quadratic_n_m_s2 * direction * integral(&product(&speed_squared, &series.omega), t);
        }
        let swing = (value(&series.theta, t) - series.theta[0]).abs();
        ledger.suspension_j += pendulum.suspension_linear_n_m_s * square_time + pendulum.friction_torque_n_m * swing;
        match taken.way {
            WheelWay::Forward => ledger.forward_rad += value(&series.phi, t) - series.phi[0],
            WheelWay::Backward => ledger.backward_rad -= value(&series.phi, t) - series.phi[0],
            WheelWay::Still => {}
        }
        if series.torque_on_pendulum[0] != 0.0 || series.force[0] != 0.0 {
            let on_pendulum = integral(&product(&series.torque_on_pendulum, &series.omega), t);
            if taken.mode == super::observe::Mode::Driven {
                ledger.ideal_input_j += on_pendulum;
            } else {
                let by_wheel = if taken.way == WheelWay::Still {
                    0.0
                } else {
                    let wheel: &Series = &series.torque_on_wheel;
                    integral(&product(wheel, &series.nu), t)
                };
                ledger.faces_j += by_wheel - on_pendulum;
            }
        }
    }

    fn jump(&mut self, jump: &Jump) {
        match jump.kind {
            JumpKind::Impact(_) => self.ledger.impact_j -= jump.energy_j,
            JumpKind::PlayTaken(_) => self.ledger.play_j -= jump.energy_j,
            JumpKind::Kick => self.ledger.ideal_input_j += jump.energy_j,
        }
    }
}
