//! Whether a clock driven by a stepping motor keeps going, how fast it runs and what it draws.

use crate::clock::design::MotorClock;
use crate::clock::environment::site::gravity_m_s2;
use crate::clock::friction_notes::tooth_friction_note;
use crate::clock::motor::error::MotorError;
use crate::clock::motor::load::{ArborLoad, HandLoad, pull_in_torque_n_m};
use crate::clock::motor::power::{CurrentDraw, draw};
use crate::clock::motor::rate::{RateSpread, rate_s_per_day, rate_spread};
use crate::clock::motor::ratio::{ExactTrain, PulseRatio, exact_divider, nearest_exact_trains, pulse_ratio, value};
use crate::clock::notes::Note;
use crate::clock::train::hands::{POSITIONS, Turning, hour_angle_rad, minute_angle_rad, position_time_s};
use crate::clock::train::train_notes::motor_train_notes;

use super::friction_reserve::FrictionReserve;
use super::motor_friction_reserve::motor_friction_reserve;
use super::verdict::Reason;

/// Steps of a motor that are lost at once and what they cost.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LostSteps {
    /// Time on the dial that one step is worth, s.
    pub step_s: f64,
    /// Time by which the hands are late after a slip: all steps up to where the coils are powered alike again, s.
    pub slip_s: f64,
}

/// Torques at one position of the hands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HandPosition {
    /// Time after twelve that the hands show, s.
    pub time_s: f64,
    /// Torque asked of the motor's output for the next step, N m; below 0 where the hands drive it.
    pub needed_n_m: f64,
    /// Torque with which the resting hands push the output, N m, at least 0.
    pub push_at_rest_n_m: f64,
}

impl HandPosition {
    /// Angles of minute and hour hand, clockwise from the top, rad.
    #[must_use]
    pub fn hands_rad(&self) -> [f64; 2] {
        [minute_angle_rad(self.time_s), hour_angle_rad(self.time_s)]
    }
}

/// Torque that the motor has, and what is asked of it, over the twelve hours of the dial.
#[derive(Debug, Clone, PartialEq)]
pub struct Torques {
    /// Torque of the motor's output at the pulse rate.
    pub available_n_m: f64,
    /// Every position of the hands, from twelve on.
    pub positions: Vec<HandPosition>,
    /// Where most is asked.
    pub worst: HandPosition,
    /// Where the resting hands push hardest.
    pub worst_at_rest: HandPosition,
    /// Torque that holds the output between the steps; `None` where the scenario does not say.
    pub held_n_m: Option<f64>,
    /// Inertia of train and hands at the rotor.
    pub inertia_at_rotor_kg_m2: f64,
}

impl Torques {
    /// Torque available over the largest asked for; `None` where nothing is asked.
    #[must_use]
    pub fn reserve(&self) -> Option<f64> {
        over(self.available_n_m, self.worst.needed_n_m)
    }

    /// Torque that holds the resting hands over what they push with; `None` where they do not push or nothing is known.
    #[must_use]
    pub fn reserve_at_rest(&self) -> Option<f64> {
        over(self.held_n_m?, self.worst_at_rest.push_at_rest_n_m)
    }

    /// Why the clock stops; `None`: it keeps going, for the motor has more than is asked at every position and, where the
    /// scenario says what holds them, the hands are held between the steps.
    #[must_use]
    pub fn reason(&self) -> Option<Reason> {
        let follows = self.available_n_m > self.worst.needed_n_m;
        let held = self.held_n_m.is_none_or(|held| held >= self.worst_at_rest.push_at_rest_n_m);
        (!(follows && held)).then_some(Reason::LosesSteps)
    }
}

fn over(available_n_m: f64, needed_n_m: f64) -> Option<f64> {
    (needed_n_m > 0.0).then(|| available_n_m / needed_n_m).filter(|reserve| reserve.is_finite())
}

/// All that is found of a clock driven by a motor.
#[derive(Debug, Clone, PartialEq)]
pub struct MotorPrediction {
    /// Why it stops; `None`: it keeps going.
    pub reason: Option<Reason>,
    /// Pulses given and needed.
    pub ratio: PulseRatio,
    /// Trains nearest to the scenario's by which the minute hand would turn exactly once an hour; empty where its own does.
    pub exact_trains: Vec<ExactTrain>,
    /// Divider with which the scenario's own train would be exact, where another one would.
    pub exact_divider: Option<u128>,
    /// Rate at the place's temperature and the scenario's age, no swing of the room, s/day.
    pub rate_s_per_day: f64,
    /// Mean and spread of the rate over many such clocks.
    pub spread: RateSpread,
    /// Torque over the dial.
    pub torques: Torques,
    /// By how much all frictions may grow before it loses steps; `None` where it does already.
    pub friction_reserve: Option<FrictionReserve>,
    /// Loads of all arbors where most is asked.
    pub arbors: Vec<ArborLoad>,
    /// Turns of all arbors in an hour of the dial.
    pub turns_per_hour: Vec<f64>,
    /// A slip.
    pub lost: LostSteps,
    /// Draw.
    pub draw: CurrentDraw,
    /// Remarks on the train.
    pub notes: Vec<Note>,
}

/// The torques of a clock driven by a motor.
///
/// # Errors
/// [`MotorError`].
pub fn torques(clock: &MotorClock, ratio: &PulseRatio) -> Result<Torques, MotorError> {
    let load = HandLoad::new(clock, gravity_m_s2(&clock.place)?)?;
    torques_of(clock, ratio, &load)
}

fn torques_of(clock: &MotorClock, ratio: &PulseRatio, load: &HandLoad<'_>) -> Result<Torques, MotorError> {
    let motor = &clock.motor;
    let rate_hz = ratio.pulse_rate_hz();
    let inertia_at_rotor_kg_m2 = load.inertia_at_rotor_kg_m2(value(ratio.inner_ratio));
    let positions: Vec<HandPosition> = (0..POSITIONS).map(|number| position(load, number)).collect();
    if !positions.iter().all(|position| position.needed_n_m.is_finite() && position.push_at_rest_n_m.is_finite()) {
        return Err(MotorError::NotFinite);
    }
    let first = position(load, 0);
    let most = |by: fn(&HandPosition) -> f64| {
        positions.iter().copied().fold(first, |a, b| if by(&b) > by(&a) { b } else { a })
    };
    let always_powered = draw(motor, &clock.supply, rate_hz).powered_share >= 1.0;
    Ok(Torques {
        available_n_m: pull_in_torque_n_m(motor, rate_hz, inertia_at_rotor_kg_m2),
        worst: most(|position| position.needed_n_m),
        worst_at_rest: most(|position| position.push_at_rest_n_m),
        held_n_m: if always_powered { motor.holding_torque_n_m } else { motor.detent_torque_n_m },
        inertia_at_rotor_kg_m2,
        positions,
    })
}

/// The prediction of a clock driven by a motor.
///
/// # Errors
/// [`MotorError`].
pub fn predict_motor(clock: &MotorClock) -> Result<MotorPrediction, MotorError> {
    let mut notes = motor_train_notes(&clock.train)?;
    notes.extend(tooth_friction_note(&clock.train));
    let ratio = pulse_ratio(clock)?;
    let load = HandLoad::new(clock, gravity_m_s2(&clock.place)?)?;
    let torques = torques_of(clock, &ratio, &load)?;
    let mut arbors = Vec::new();
    load.torque_n_m(torques.worst.time_s, Turning::Forward, |_, arbor| arbors.push(arbor));
    let (temperature_c, age_years) = (clock.place.temperature_c, clock.oscillator.age_years);
    let step_s = ratio.step_on_dial_s();
    Ok(MotorPrediction {
        reason: torques.reason(),
        exact_trains: if ratio.is_exact() { Vec::new() } else { nearest_exact_trains(clock, &ratio) },
        exact_divider: if ratio.is_exact() { None } else { exact_divider(clock, &ratio) },
        rate_s_per_day: rate_s_per_day(&clock.oscillator, &ratio, temperature_c, age_years),
        spread: rate_spread(&clock.oscillator, &ratio, temperature_c),
        torques,
        friction_reserve: motor_friction_reserve(clock, &ratio),
        arbors,
        turns_per_hour: load.turns_per_hour(),
        lost: LostSteps { step_s, slip_s: step_s * f64::from(clock.motor.steps_per_cycle) },
        draw: draw(&clock.motor, &clock.supply, ratio.pulse_rate_hz()),
        notes,
        ratio,
    })
}

fn position(load: &HandLoad<'_>, number: u32) -> HandPosition {
    let time_s = position_time_s(number);
    HandPosition {
        time_s,
        needed_n_m: load.torque_n_m(time_s, Turning::Forward, |_, _| {}),
        push_at_rest_n_m: load.push_at_rest_n_m(time_s),
    }
}
