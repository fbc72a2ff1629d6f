//! Reads `[motor]` and `[supply]`.

use crate::clock::design::{Motor, PullIn, Supply};
use crate::scenario::toml::numbers::Allowed;
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::section::Section;
use crate::units::Kind;

use super::train::read_tooth_pairs;

/// Most steps in a turn; more is a slip.
const MOST_STEPS: u32 = 1_000_000;

/// Difference of a turn from a whole number of step angles that is only the rounding of what was written, in steps.
const WHOLE_STEPS: f64 = 1e-6;

/// Steps in a cycle of the coils where the scenario gives none: two coils driven both ways, in full steps (common practice, no
/// source).
const DEFAULT_STEPS_PER_CYCLE: u32 = 4;

const STEP_ANGLE: Allowed = Allowed::Between(1e-6, std::f64::consts::TAU, "above 0 deg and up to 360 deg");
const RATE: Allowed = Allowed::Between(1e-6, 1e6, "above 0 Hz and up to 1 MHz");
const TORQUE: Allowed = Allowed::Between(0.0, 1e3, "from 0 N m to 1000 N m");
const PULSE: Allowed = Allowed::Between(1e-6, 1e5, "above 0 s and up to 100000 s");
const VOLTAGE: Allowed = Allowed::Between(1e-3, 1e3, "from 1 mV to 1000 V");
const RESISTANCE: Allowed = Allowed::Between(1e-3, 1e9, "from 1 mohm to 1000 Mohm");
const CURRENT: Allowed = Allowed::Between(0.0, 100.0, "from 0 A to 100 A");

/// The motor of a scenario that has one; `interval_s`: time from one pulse to the next, where it is known.
pub(in crate::scenario) fn read_motor(root: &mut Section<'_, '_>, interval_s: Option<f64>) -> Option<Motor> {
    let mut motor = root.section("motor")?;
    let steps = read_steps(&mut motor);
    let gears = read_tooth_pairs(&mut motor, "gears", "[[9, 32], [10, 30]]");
    let pull_in = read_pull_in(&mut motor);
    let detent = motor.optional_quantity("detent_torque", Kind::Torque, TORQUE);
    let holding = motor.optional_quantity("holding_torque", Kind::Torque, TORQUE);
    let rotor = motor.optional_quantity("rotor_inertia", Kind::Inertia, Allowed::Positive);
    let cycle = motor.optional_count("steps_per_cycle", 1, 1000);
    let pulse = motor.quantity("pulse", Kind::Time, PULSE);
    // The rounding of what was written is no overlap.
    if let (Some(pulse_s), Some(interval_s)) = (pulse, interval_s)
        && pulse_s > interval_s * (1.0 + 1e-9)
    {
        let message = format!("a step is powered for {pulse_s} s, but the next comes after {interval_s:.6} s");
        let help = "shorten it, or divide the frequency by more".to_owned();
        motor.report_at("pulse", ProblemCode::ImpossibleValue, message, help);
    }
    motor.finish();
    Some(Motor {
        steps_per_turn: steps?,
        gears: gears?,
        pull_in: pull_in?,
        detent_torque_n_m: detent?,
        holding_torque_n_m: holding?,
        rotor_inertia_kg_m2: rotor?,
        steps_per_cycle: cycle?.unwrap_or(DEFAULT_STEPS_PER_CYCLE),
        pulse_s: pulse?,
    })
}

/// `steps = 48` or `step_angle = "7.5 deg"`.
fn read_steps(motor: &mut Section<'_, '_>) -> Option<u32> {
    if !motor.has("step_angle") {
        motor.entry("step_angle");
        return motor.count("steps", 1, MOST_STEPS);
    }
    motor.refuse_beside("step_angle", &["steps"], "give the steps of a turn, or the angle of one");
    let angle_rad = motor.quantity("step_angle", Kind::Angle, STEP_ANGLE)?;
    let steps = std::f64::consts::TAU / angle_rad;
    let whole = steps.round();
    if (steps - whole).abs() > WHOLE_STEPS || whole > f64::from(MOST_STEPS) {
        let message = format!("a turn is {steps:.6} such steps, not a whole number");
        let help =
            format!("write the steps of a turn, for example steps = {}", whole.clamp(1.0, f64::from(MOST_STEPS)));
        motor.report_at("step_angle", ProblemCode::ImpossibleValue, message, help);
        return None;
    }
    Some(whole as u32)
}

/// `pull_in_torque = "0.5 mN m"`, at the pulse rate of the clock, or a list of them over the rate, rising.
fn read_pull_in(motor: &mut Section<'_, '_>) -> Option<Vec<PullIn>> {
    let is_list = motor
        .entry("pull_in_torque")
        .is_some_and(|entry| matches!(entry.node.value, crate::scenario::toml::tree::Value::Array(_)));
    if !is_list {
        let torque_n_m = motor.quantity("pull_in_torque", Kind::Torque, TORQUE)?;
        return Some(vec![PullIn { rate_hz: 0.0, torque_n_m }]);
    }
    let sections = motor.list("pull_in_torque");
    let count = sections.len();
    let mut table: Vec<PullIn> = Vec::new();
    let mut complete = true;
    for mut row in sections {
        let rate = row.quantity("rate", Kind::Frequency, RATE);
        let torque = row.quantity("torque", Kind::Torque, TORQUE);
        if let (Some(rate_hz), Some(last)) = (rate, table.last())
            && rate_hz <= last.rate_hz
        {
            let message = "the pulse rates of the torques are not in rising order".to_owned();
            row.report_at(
                "rate",
                ProblemCode::ImpossibleValue,
                message,
                "list them from the lowest rate to the highest".to_owned(),
            );
            complete = false;
        }
        row.finish();
        match rate.zip(torque) {
            Some((rate_hz, torque_n_m)) => table.push(PullIn { rate_hz, torque_n_m }),
            None => complete = false,
        }
    }
    if count < 2 {
        let message = format!("`motor.pull_in_torque` is a list of {count}");
        let help = "give the torque at two pulse rates at least, or one torque without a list".to_owned();
        motor.report_at("pull_in_torque", ProblemCode::ImpossibleValue, message, help);
        return None;
    }
    complete.then_some(table)
}

/// What feeds the clock; it has to be there.
pub(in crate::scenario) fn read_supply(root: &mut Section<'_, '_>) -> Option<Supply> {
    let help = "add [supply] with voltage = \"1.5 V\" and coil_resistance = \"200 ohm\"";
    let mut supply = root.required_section("supply", help)?;
    let voltage = supply.quantity("voltage", Kind::Voltage, VOLTAGE);
    let resistance = supply.optional_quantity("coil_resistance", Kind::Resistance, RESISTANCE);
    let current = supply.optional_quantity("coil_current", Kind::Current, CURRENT);
    let standing = supply.quantity_or("standing_current", Kind::Current, CURRENT, 0.0);
    let capacity = supply.optional_quantity("capacity", Kind::Charge, Allowed::Positive);
    let (voltage_v, resistance, current) = (voltage, resistance?, current?);
    let by_ohm = voltage_v.zip(resistance).map(|(voltage, resistance)| voltage / resistance);
    let pulse_current_a = match (current, by_ohm) {
        (Some(current), Some(most)) if current > most * (1.0 + 1e-9) => {
            let message = format!("the coil cannot draw that much: voltage over resistance is {:.4} mA", 1e3 * most);
            let help = "delete coil_current or coil_resistance, or raise the voltage".to_owned();
            supply.report_at("coil_current", ProblemCode::ImpossibleValue, message, help);
            None
        }
        (Some(current), _) => Some(current),
        (None, by_ohm) => by_ohm,
    };
    if resistance.is_none() && current.is_none() {
        let message = "neither `supply.coil_resistance` nor `supply.coil_current` is given".to_owned();
        let help = "add coil_resistance = \"200 ohm\" (of all that is powered at once), or coil_current".to_owned();
        supply.report_at("coil_resistance", ProblemCode::MissingKey, message, help);
    }
    supply.finish();
    Some(Supply {
        voltage_v: voltage_v?,
        pulse_current_a: pulse_current_a?,
        standing_current_a: standing?,
        capacity_a_s: capacity?,
    })
}
