//! The results of a clock driven by a motor: keys and tables.

use std::fmt::Write as _;

use serde::Serialize;

use crate::answers::motor::{MotorPrediction, Position};
use crate::answers::verdict::Reason;
use crate::clock::SECONDS_PER_DAY;
use crate::clock::cautions::motor_cautions;
use crate::clock::design::MotorClock;
use crate::clock::motor::rate::DAYS_PER_MONTH;
use crate::clock::motor::ratio::{ExactTrain, value};

use super::prediction::json::Results;
use super::prediction::text::{line, number, or_dash, reason_in_words};
use super::words::cautions::in_words;
use super::words::notes::notes_in_words;

/// What such clocks are commonly off by in a month, s: common practice, no source.
pub const USUAL_S_PER_MONTH: f64 = 30.0;

/// Reserve of torque below which a table advises more: common practice, no source.
const USUAL_RESERVE: f64 = 2.0;

/// What a motor adds to the results of all clocks.
#[derive(Debug, Clone, Serialize)]
pub struct MotorKeys {
    /// Pulses given in an hour at the nominal frequency, in whole numbers: "7200" or "14401/2".
    pub pulses_per_hour: String,
    /// Pulses that the counts need for a turn of the minute hand, likewise.
    pub pulses_per_minute_hand_turn: String,
    /// Whether both are the same.
    pub exact: bool,
    /// Rate by the counts alone, positive gains.
    pub drift_s_per_day: f64,
    /// Nearest trains that are exact.
    pub nearest_exact_trains: Vec<ExactKeys>,
    /// Divider that is exact with the scenario's train.
    pub exact_divider: Option<f64>,
    /// Rate of the mean clock, s a month of 30.4375 days, positive gains.
    pub mean_rate_s_per_month: f64,
    /// Spread of the rate, two standard deviations, s a month.
    pub rate_spread_s_per_month: SpreadPerMonth,
    /// Pulses a second.
    pub pulse_rate_hz: f64,
    /// Torque of the motor's output at the pulse rate.
    pub torque_available_n_m: f64,
    /// Largest torque asked of it.
    pub torque_needed_n_m: f64,
    /// Their ratio; `null` where none is asked.
    pub torque_reserve: Option<f64>,
    /// Where it is asked.
    pub worst_position: PositionKeys,
    /// Torque that holds the output between steps.
    pub torque_held_n_m: Option<f64>,
    /// Largest torque with which the resting hands push it.
    pub push_at_rest_n_m: f64,
    /// Their ratio.
    pub reserve_at_rest: Option<f64>,
    /// Inertia of train and hands at the rotor.
    pub inertia_at_rotor_kg_m2: f64,
    /// What one step is worth on the dial, s.
    pub step_on_dial_s: f64,
    /// What a slip costs, s late for good.
    pub slip_on_dial_s: f64,
    /// Share of the time under power.
    pub powered_share: f64,
    /// Mean current.
    pub mean_current_a: f64,
    /// Mean power.
    pub mean_power_w: f64,
    /// Energy of a step.
    pub energy_per_step_j: f64,
    /// Life of a fresh battery.
    pub battery_life_days: Option<f64>,
}

/// A train that would be exact.
#[derive(Debug, Clone, Serialize)]
pub struct ExactKeys {
    /// Pairs (wheel, pinion) from the minute hand's arbor to the motor's.
    pub wheel_and_pinion_teeth: Vec<(u32, u32)>,
    /// Sum of the changes.
    pub teeth_changed: u32,
}

impl From<&ExactTrain> for ExactKeys {
    fn from(train: &ExactTrain) -> Self {
        Self { wheel_and_pinion_teeth: train.pairs.clone(), teeth_changed: train.changed }
    }
}

/// Spread of the rate by cause.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct SpreadPerMonth {
    /// Tolerance of the oscillator.
    pub tolerance: f64,
    /// Its ageing.
    pub ageing: f64,
    /// Temperature.
    pub temperature: f64,
    /// All together.
    pub total: f64,
    /// What such clocks commonly have (common practice, no source).
    pub usual: f64,
}

/// A position of the hands.
#[derive(Debug, Clone, Serialize)]
pub struct PositionKeys {
    /// Time shown, "8:45".
    pub time: String,
    /// Minute hand, clockwise from the top.
    pub minute_hand_deg: f64,
    /// Hour hand, likewise.
    pub hour_hand_deg: f64,
}

impl From<&Position> for PositionKeys {
    fn from(position: &Position) -> Self {
        let [minute, hour] = position.hands_rad();
        Self {
            time: dial_time(position.time_s),
            minute_hand_deg: minute.to_degrees(),
            hour_hand_deg: hour.to_degrees(),
        }
    }
}

/// A time after twelve as a dial shows it, to the second where it is no whole minute.
#[must_use]
pub fn dial_time(time_s: f64) -> String {
    let seconds = time_s.round() as u64;
    let (hour, minute, second) = (seconds / 3600 % 12, seconds / 60 % 60, seconds % 60);
    let hour = if hour == 0 { 12 } else { hour };
    if second == 0 { format!("{hour}:{minute:02}") } else { format!("{hour}:{minute:02}:{second:02}") }
}

/// The results under the keys of all clocks: what only a pendulum, an escapement or a weight has is `null`, with a note.
#[must_use]
pub fn motor_results(clock: &MotorClock, found: &MotorPrediction) -> Results {
    Results {
        name: clock.name.clone(),
        verdict: if found.reason.is_some() { "stops" } else { "keeps_going" },
        reason: found.reason,
        rate_s_per_day: found.reason.is_none().then_some(found.rate_s_per_day),
        notes: notes(clock, found),
        cautions: in_words(&motor_cautions(clock)),
        ..Results::default()
    }
}

fn notes(clock: &MotorClock, found: &MotorPrediction) -> Vec<String> {
    let mut notes = notes_in_words(&found.notes);
    notes.push(
        "a clock driven by a motor has no pendulum, escapement or weight: the keys of swing, beat, action, weight, escape wheel \
         and energy of a beat are null; its own figures stand under `motor`"
            .to_owned(),
    );
    if found.torques.held_n_m.is_none() {
        let key = if found.draw.powered_share >= 1.0 { "holding_torque" } else { "detent_torque" };
        notes.push(format!("without motor.{key} nothing is said on whether the hands are held between the steps"));
    }
    if clock.motor.rotor_inertia_kg_m2.is_none() {
        notes.push(
            "without motor.rotor_inertia the inertia of train and hands takes nothing from the motor's torque"
                .to_owned(),
        );
    }
    if found.reason == Some(Reason::LosesSteps) {
        notes.push("rate_s_per_day is null: a clock that loses steps has none".to_owned());
    }
    notes
}

/// The keys of the motor.
#[must_use]
pub fn motor_keys(found: &MotorPrediction) -> MotorKeys {
    let month = |s_per_day: f64| s_per_day * DAYS_PER_MONTH;
    let (ratio, spread, draw) = (&found.ratio, &found.spread, &found.draw);
    MotorKeys {
        pulses_per_hour: ratio.pulses_per_hour.to_string(),
        pulses_per_minute_hand_turn: ratio.pulses_per_turn.to_string(),
        exact: ratio.is_exact(),
        drift_s_per_day: ratio.drift_s_per_day(),
        nearest_exact_trains: found.exact_trains.iter().map(Into::into).collect(),
        exact_divider: found.exact_divider.map(|divider| divider as f64),
        mean_rate_s_per_month: month(spread.mean_s_per_day),
        rate_spread_s_per_month: SpreadPerMonth {
            tolerance: month(spread.tolerance_s_per_day),
            ageing: month(spread.ageing_s_per_day),
            temperature: month(spread.temperature_s_per_day),
            total: month(spread.total_s_per_day()),
            usual: USUAL_S_PER_MONTH,
        },
        pulse_rate_hz: ratio.pulse_rate_hz(),
        torque_available_n_m: found.torques.available_n_m,
        torque_needed_n_m: found.torques.worst.needed_n_m,
        torque_reserve: found.torques.reserve(),
        worst_position: (&found.torques.worst).into(),
        torque_held_n_m: found.torques.held_n_m,
        push_at_rest_n_m: found.torques.worst_at_rest.push_at_rest_n_m,
        reserve_at_rest: found.torques.reserve_at_rest(),
        inertia_at_rotor_kg_m2: found.torques.inertia_at_rotor_kg_m2,
        step_on_dial_s: found.lost.step_s,
        slip_on_dial_s: found.lost.slip_s,
        powered_share: draw.powered_share,
        mean_current_a: draw.mean_current_a,
        mean_power_w: draw.mean_power_w,
        energy_per_step_j: draw.energy_per_step_j,
        battery_life_days: draw.battery_life_s.map(|life_s| life_s / SECONDS_PER_DAY),
    }
}

/// Verdict, counts, rate, torque and draw as a table.
#[must_use]
pub fn motor_table(clock: &MotorClock, found: &MotorPrediction) -> String {
    let keys = motor_keys(found);
    let reason = found.reason.map(|reason| format!(": {}", reason_in_words(reason))).unwrap_or_default();
    let verdict = if found.reason.is_some() { "STOPS" } else { "KEEPS GOING" };
    let mut out = format!("{}: {verdict}{reason}\n\n", clock.name);
    counts(&mut out, &keys);
    rate(&mut out, clock, found, &keys);
    torque(&mut out, &keys);
    power(&mut out, &keys);
    out
}

fn counts(out: &mut String, keys: &MotorKeys) {
    out.push_str("Counts\n");
    line(out, "pulses in an hour", &keys.pulses_per_hour);
    line(out, "pulses that the minute hand needs", &keys.pulses_per_minute_hand_turn);
    if keys.exact {
        line(out, "the ratio", "exact");
        return;
    }
    let drift = keys.drift_s_per_day;
    let direction = if drift > 0.0 { "gains" } else { "loses" };
    line(out, "the ratio", &format!("not exact: the clock {direction} {} s/day by it", number(drift.abs(), 2)));
    for train in &keys.nearest_exact_trains {
        let pairs: Vec<String> =
            train.wheel_and_pinion_teeth.iter().map(|(wheel, pinion)| format!("{wheel}/{pinion}")).collect();
        let changed = match train.teeth_changed {
            1 => "1 tooth".to_owned(),
            teeth => format!("{teeth} teeth"),
        };
        line(out, "exact with wheels/pinions", &format!("{} ({changed} changed)", pairs.join(", ")));
    }
    if keys.nearest_exact_trains.is_empty() {
        line(out, "exact with wheels/pinions", "none within a change of 16 teeth");
    }
    if let Some(divider) = keys.exact_divider {
        line(out, "exact with the divider", &number(divider, 0));
    }
}

fn rate(out: &mut String, clock: &MotorClock, found: &MotorPrediction, keys: &MotorKeys) {
    let spread = &keys.rate_spread_s_per_month;
    let _ = writeln!(
        out,
        "\nRate at {} years (a month is {} days; +/- holds for 95 % of such clocks)",
        number(clock.oscillator.age_years, 1),
        number(DAYS_PER_MONTH, 2)
    );
    let steady = format!(
        "{} s/day, {} s/month",
        number(found.rate_s_per_day, 3),
        number(found.rate_s_per_day * DAYS_PER_MONTH, 1)
    );
    line(out, &format!("steadily at {} degC", number(clock.place.temperature_c, 1)), &steady);
    let total = format!("{} s/month +/- {}", number(keys.mean_rate_s_per_month, 1), number(spread.total, 1));
    line(out, "mean of many such clocks", &total);
    line(out, "  by tolerance of the oscillator", &format!("+/- {} s/month", number(spread.tolerance, 1)));
    line(out, "  by its ageing", &format!("+/- {} s/month", number(spread.ageing, 1)));
    line(out, "  by temperature", &format!("+/- {} s/month", number(spread.temperature, 1)));
    let usual = format!("+/- {} s/month (common practice, no source)", number(spread.usual, 0));
    line(out, "usual of such clocks", &usual);
}

fn torque(out: &mut String, keys: &MotorKeys) {
    let milli = |n_m: f64| format!("{} mN m", number(1e3 * n_m, 4));
    out.push_str("\nTorque at the motor's output\n");
    let rate = format!("{} at {} pulses a second", milli(keys.torque_available_n_m), number(keys.pulse_rate_hz, 3));
    line(out, "the motor has", &rate);
    let worst = &keys.worst_position;
    line(out, "the hands ask at most", &format!("{}, at {}", milli(keys.torque_needed_n_m), worst.time));
    let advice = match keys.torque_reserve {
        Some(reserve) if reserve <= 1.0 => ": it loses steps there",
        Some(reserve) if reserve < USUAL_RESERVE => " (2 and more is usual: common practice, no source)",
        _ => "",
    };
    line(out, "reserve", &format!("{}{advice}", or_dash(keys.torque_reserve, 2, "times")));
    line(out, "at rest the hands push with", &milli(keys.push_at_rest_n_m));
    line(out, "held between the steps by", &keys.torque_held_n_m.map_or_else(|| "-".to_owned(), milli));
    let slip = format!(
        "{} s of the dial; the rotor falls back by {} s at a time, late for good",
        number(keys.step_on_dial_s, 3),
        number(keys.slip_on_dial_s, 3)
    );
    line(out, "a lost step costs", &slip);
}

fn power(out: &mut String, keys: &MotorKeys) {
    out.push_str("\nDraw\n");
    let mean = format!(
        "{} mA, {} mW, powered for {} % of the time",
        number(1e3 * keys.mean_current_a, 3),
        number(1e3 * keys.mean_power_w, 3),
        number(1e2 * keys.powered_share, 1)
    );
    line(out, "on average", &mean);
    line(out, "a step takes", &format!("{} mJ", number(1e3 * keys.energy_per_step_j, 3)));
    line(out, "fresh cells last", &or_dash(keys.battery_life_days, 0, "days"));
}

/// The train as a table: turns, and torque and loads where most is asked.
#[must_use]
pub fn motor_train_table(clock: &MotorClock, found: &MotorPrediction) -> String {
    let mut out =
        format!("Train (torque up to each arbor where most is asked, at {})\n", dial_time(found.torques.worst.time_s));
    let _ = writeln!(
        out,
        "  {:<14} {:>6} {:>6} {:>11} {:>12} {:>10}",
        "arbor", "pinion", "wheel", "turns/h", "torque mN m", "load N"
    );
    let teeth = |count: Option<u32>| count.map_or_else(|| "-".to_owned(), |count| count.to_string());
    for ((arbor, load), turns) in clock.train.arbors.iter().zip(&found.arbors).zip(&found.turns_per_hour) {
        let _ = writeln!(
            out,
            "  {:<14} {:>6} {:>6} {:>11} {:>12} {:>10}",
            arbor.name,
            teeth(arbor.pinion_teeth),
            teeth(arbor.wheel_teeth),
            number(*turns, 4),
            number(1e3 * load.torque_n_m, 4),
            number(load.bearing_load_n, 3)
        );
    }
    line(&mut out, "rotor turns for one of the output", &number(value(found.ratio.inner_ratio), 4));
    if !clock.train.motion_work.is_empty() {
        line(&mut out, "minute hand to hour hand", "12 to 1");
    }
    out
}
