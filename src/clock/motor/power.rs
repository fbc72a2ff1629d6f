//! What a stepping motor and its oscillator draw.

use crate::clock::design::{Motor, Supply};

/// Draw of a clock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurrentDraw {
    /// Share of the time for which a step is powered, 0 to 1.
    pub powered_share: f64,
    /// Mean current, A.
    pub mean_current_a: f64,
    /// Mean power taken from the supply, W.
    pub mean_power_w: f64,
    /// Energy that one step takes, W s.
    pub energy_per_step_j: f64,
    /// How long a fresh battery lasts, s; `None` on mains, or where nothing is drawn.
    pub battery_life_s: Option<f64>,
}

/// The draw at a pulse rate.
///
/// Mean current = pulse current times the powered share, plus the standing current; a battery lasts its charge over that.
/// Self-discharge and the voltage at which the motor gives up are left out.
#[must_use]
pub fn draw(motor: &Motor, supply: &Supply, pulse_rate_hz: f64) -> CurrentDraw {
    let powered_share = (motor.pulse_s * pulse_rate_hz).clamp(0.0, 1.0);
    let mean_current_a = supply.pulse_current_a * powered_share + supply.standing_current_a;
    CurrentDraw {
        powered_share,
        mean_current_a,
        mean_power_w: supply.voltage_v * mean_current_a,
        energy_per_step_j: supply.voltage_v * supply.pulse_current_a * motor.pulse_s,
        battery_life_s: supply.capacity_a_s.filter(|_| mean_current_a > 0.0).map(|charge| charge / mean_current_a),
    }
}
