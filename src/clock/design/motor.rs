//! A clock driven by a stepping motor, as designed.

use crate::clock::printing::printer::Spread;

use super::{Hands, Place, Train};

/// A whole clock without pendulum and escapement: pulses, a stepping motor, a train, hands.
#[derive(Debug, Clone, PartialEq)]
pub struct MotorClock {
    /// The clock's name.
    pub name: String,
    /// Where the clock stands.
    pub place: Place,
    /// What times the pulses.
    pub oscillator: Oscillator,
    /// The motor.
    pub motor: Motor,
    /// What feeds it.
    pub supply: Supply,
    /// Wheels from the slowest arbor to the motor's, which stands where other clocks have the escape wheel. The minute hand's
    /// arbor is always given.
    pub train: Train,
    /// The hands.
    pub hands: Hands,
}

/// A stepping motor. Torques and gears are those of its own output shaft, which carries the train's last pinion.
#[derive(Debug, Clone, PartialEq)]
pub struct Motor {
    /// Steps in a turn of the rotor, at least 1.
    pub steps_per_turn: u32,
    /// Gears inside the motor, from the rotor to its output: pairs (driver teeth, driven teeth); empty where there are none.
    pub gears: Vec<(u32, u32)>,
    /// Torque against which it starts and steps in time, over the pulse rate; rising rates, at least one entry.
    pub pull_in: Vec<PullIn>,
    /// Torque that holds the output while no coil is powered; `None` where it is not known.
    pub detent_torque_n_m: Option<f64>,
    /// Torque that holds the output under power; `None` where it is not known.
    pub holding_torque_n_m: Option<f64>,
    /// Inertia of the rotor; `None` where it is not known.
    pub rotor_inertia_kg_m2: Option<f64>,
    /// Steps after which the coils are powered as before: what the rotor falls back by where it cannot follow.
    pub steps_per_cycle: u32,
    /// Time for which each step is powered.
    pub pulse_s: f64,
}

/// Torque that a motor has at one pulse rate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PullIn {
    /// Pulses a second.
    pub rate_hz: f64,
    /// Torque at the output shaft.
    pub torque_n_m: f64,
}

/// What feeds motor and oscillator.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Supply {
    /// Voltage.
    pub voltage_v: f64,
    /// Current drawn while a step is powered.
    pub pulse_current_a: f64,
    /// Current drawn all the time, by oscillator and divider.
    pub standing_current_a: f64,
    /// Charge of a fresh battery; `None` on mains.
    pub capacity_a_s: Option<f64>,
}

/// What times the pulses. Spreads are two standard deviations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Oscillator {
    /// Nominal frequency; counts to a millionth of a hertz.
    pub frequency_hz: f64,
    /// Oscillations for one pulse, at least 1.
    pub divider: u32,
    /// Relative offset of the frequency as bought, positive fast.
    pub tolerance: Spread,
    /// Relative change of the frequency in a year, positive faster.
    pub ageing_per_year: Spread,
    /// Age for which the rate is told.
    pub age_years: f64,
    /// What the temperature does.
    pub temperature: TemperatureCurve,
    /// The room keeps within so much of the place's temperature (two standard deviations).
    pub room_swing_k: f64,
}

/// How a frequency depends on the temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TemperatureCurve {
    /// Not at all.
    Flat,
    /// A parabola, as with crystals cut like a tuning fork.
    Parabola {
        /// Temperature of its vertex, degrees Celsius.
        turnover_c: Spread,
        /// Relative change per square of the distance from it, 1/K^2; negative where the vertex is the fastest point.
        per_k2: Spread,
    },
    /// Only a band that the frequency stays within is known, as with ceramic resonators: relative, two standard deviations.
    Band(f64),
}
