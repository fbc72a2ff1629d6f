//! The results of a clock driven by a motor as tables.

use std::fmt::Write as _;

use crate::answers::motor::MotorPrediction;
use crate::clock::design::MotorClock;
use crate::clock::motor::rate::DAYS_PER_MONTH;
use crate::clock::motor::ratio::value;
use crate::report::motor;
use crate::report::words::dial_time::dial_time;
use crate::report::words::numbers::{line, number, or_dash};
use crate::report::words::reasons::reason_in_words;

use super::json::MotorRecord;

/// Reserve of torque below which a table advises more: common practice, no source.
const USUAL_RESERVE: f64 = 2.0;

/// Verdict, counts, rate, torque and draw as a table.
#[must_use]
pub fn table(clock: &MotorClock, found: &MotorPrediction) -> String {
    let record = motor::json::record(found);
    let reason = found.reason.map(|reason| format!(": {}", reason_in_words(reason))).unwrap_or_default();
    let verdict = if found.reason.is_some() { "STOPS" } else { "KEEPS GOING" };
    let mut out = format!("{}: {verdict}{reason}\n\n", clock.name);
    counts(&mut out, &record);
    rate(&mut out, clock, found, &record);
    torque(&mut out, &record, found);
    power(&mut out, &record);
    out
}

fn counts(out: &mut String, record: &MotorRecord) {
    out.push_str("Counts\n");
    line(out, "pulses an hour", &record.pulses_per_hour);
    line(out, "pulses per turn of the minute hand", &record.pulses_per_minute_hand_turn);
    if record.exact {
        line(out, "ratio", "exact");
        return;
    }
    let drift = record.drift_s_per_day;
    let direction = if drift > 0.0 { "gains" } else { "loses" };
    line(out, "ratio", &format!("not exact: the clock {direction} {} s/day from this alone", number(drift.abs(), 2)));
    for train in &record.nearest_exact_trains {
        let pairs: Vec<String> =
            train.wheel_and_pinion_teeth.iter().map(|(wheel, pinion)| format!("{wheel}/{pinion}")).collect();
        let changed = match train.teeth_changed {
            1 => "1 tooth".to_owned(),
            teeth => format!("{teeth} teeth"),
        };
        line(out, "exact with wheels/pinions", &format!("{} ({changed} changed)", pairs.join(", ")));
    }
    if record.nearest_exact_trains.is_empty() {
        line(out, "exact with wheels/pinions", "none within 16 teeth of these");
    }
    if let Some(divider) = record.exact_divider {
        line(out, "exact with the divider", &number(divider, 0));
    }
}

fn rate(out: &mut String, clock: &MotorClock, found: &MotorPrediction, record: &MotorRecord) {
    let spread = &record.rate_spread_s_per_month;
    let _ = writeln!(
        out,
        "\nRate at an age of {} years (a month is {} days; +/- holds for 95 % of such clocks)",
        number(clock.oscillator.age_years, 1),
        number(DAYS_PER_MONTH, 2)
    );
    let steady = format!(
        "{} s/day, {} s/month",
        number(found.rate_s_per_day, 3),
        number(found.rate_s_per_day * DAYS_PER_MONTH, 1)
    );
    line(out, &format!("at a steady {} degC", number(clock.place.temperature_c, 1)), &steady);
    let total = format!("{} s/month +/- {}", number(record.mean_rate_s_per_month, 1), number(spread.total, 1));
    line(out, "mean of many such clocks", &total);
    line(out, "  tolerance of the oscillator", &format!("+/- {} s/month", number(spread.tolerance, 1)));
    line(out, "  ageing", &format!("+/- {} s/month", number(spread.ageing, 1)));
    line(out, "  temperature", &format!("+/- {} s/month", number(spread.temperature, 1)));
    let usual = format!("+/- {} s/month (common practice, no source)", number(spread.usual, 0));
    line(out, "usual for such clocks", &usual);
}

fn torque(out: &mut String, record: &MotorRecord, found: &MotorPrediction) {
    let milli = |n_m: f64| format!("{} mN m", number(1e3 * n_m, 4));
    out.push_str("\nTorque at the motor's output\n");
    let rate = format!("{} at {} pulses a second", milli(record.torque_available_n_m), number(record.pulse_rate_hz, 3));
    line(out, "available from the motor", &rate);
    let worst = &record.worst_position;
    line(out, "needed by the hands, at most", &format!("{}, at {}", milli(record.torque_needed_n_m), worst.time));
    let advice = match record.torque_reserve {
        Some(reserve) if reserve <= 1.0 => ": it loses steps there",
        Some(reserve) if reserve < USUAL_RESERVE => " (2 or more is usual: common practice, no source)",
        _ => "",
    };
    line(out, "torque reserve", &format!("{}{advice}", or_dash(record.torque_reserve, 2, "times")));
    let reserve = found.friction_reserve.and_then(|reserve| reserve.factor());
    line(out, "friction reserve", &or_dash(reserve, 2, "times all frictions"));
    line(out, "torque of the hands at rest", &milli(record.push_at_rest_n_m));
    line(out, "holding torque between steps", &record.torque_held_n_m.map_or_else(|| "-".to_owned(), milli));
    let slip = format!(
        "{} s on the dial; the rotor slips back {} s at a time, and that time stays lost",
        number(record.step_on_dial_s, 3),
        number(record.slip_on_dial_s, 3)
    );
    line(out, "a lost step costs", &slip);
}

fn power(out: &mut String, record: &MotorRecord) {
    out.push_str("\nCurrent\n");
    let mean = format!(
        "{} mA, {} mW, powered for {} % of the time",
        number(1e3 * record.mean_current_a, 3),
        number(1e3 * record.mean_power_w, 3),
        number(1e2 * record.powered_share, 1)
    );
    line(out, "on average", &mean);
    line(out, "energy of a step", &format!("{} mJ", number(1e3 * record.energy_per_step_j, 3)));
    line(out, "fresh cells last", &or_dash(record.battery_life_days, 0, "days"));
}

/// The train as a table: turns, and torque and loads where most is asked.
#[must_use]
pub fn train_table(clock: &MotorClock, found: &MotorPrediction) -> String {
    let mut out = format!(
        "Train (torque at each arbor where the demand is greatest, at {})\n",
        dial_time(found.torques.worst.time_s)
    );
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
    line(&mut out, "rotor turns per turn of the output", &number(value(found.ratio.inner_ratio), 4));
    if !clock.train.motion_work.is_empty() {
        line(&mut out, "minute hand to hour hand", "12 to 1");
    }
    out
}
