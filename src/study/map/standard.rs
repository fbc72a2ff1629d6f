//! The map that needs no flags: the drive against the start arc.

use crate::answers::prediction::Prediction;
use crate::answers::return_map::Clock;
use crate::scenario::Scenario;
use crate::units::{Kind, number_and_unit, quantity_in_si};

use super::axis::Axis;
use super::{START, drive_path};

/// Values of each axis.
pub const STANDARD_COUNT: u64 = 200;

/// The drive reaches from this share of the least one ...
const FROM_LEAST: f64 = 0.5;

/// ... to this many times today's, or the least one where that is more.
const TO_TODAY: f64 = 2.0;

/// Starts reach from this share of the arc that lets a tooth escape ...
const FROM_ESCAPING: f64 = 0.5;

/// ... to this many times today's start, twice the escaping arc or the steady swing, whichever is largest.
const TO_START: f64 = 1.3;

/// Drive and start arc, each with 200 even values; `None` for a clock without a drive to vary, or that no drive keeps going.
#[must_use]
pub fn standard_axes(scenario: &Scenario, prediction: &Prediction) -> Option<(Axis, Axis)> {
    let path = drive_path(&scenario.design)?;
    let leaves = scenario.leaves();
    let unit_of = |path: &str| {
        let text = &leaves.iter().find(|(leaf, _)| leaf == path)?.1;
        Some(number_and_unit(text)?.1.to_owned())
    };
    let drive_unit = unit_of(path)?;
    let per_unit = si_per_unit(&drive_unit)?;
    let least = prediction.least?.bare.value() / per_unit;
    let today = prediction.built.own_drive()?.value() / per_unit;
    let drive = Axis::linear(
        path,
        Some(&drive_unit),
        rounded(FROM_LEAST * least, f64::floor),
        rounded(TO_TODAY * today.max(least), f64::ceil),
        STANDARD_COUNT,
    );
    let arc_unit = unit_of(START).unwrap_or_else(|| "deg".to_owned());
    let per_unit = si_per_unit(&arc_unit)?;
    let clock = Clock::of(&prediction.built.mechanism)?;
    let (right, left) = clock.escaping_arcs_rad();
    let escaping = right.max(left);
    let swing = prediction.scan.stable.first().map_or(0.0, |point| point.right_rad);
    let largest = TO_START * scenario.design.start_arc_rad.unwrap_or(0.0).max(2.0 * escaping).max(swing);
    let largest = largest.min(clock.largest_arc_rad());
    let smallest = if escaping > 0.0 { FROM_ESCAPING * escaping } else { 0.1 * largest };
    let start = Axis::linear(
        START,
        Some(&arc_unit),
        rounded(smallest / per_unit, f64::floor),
        rounded(largest / per_unit, f64::ceil),
        STANDARD_COUNT,
    );
    Some((drive, start))
}

fn si_per_unit(unit: &str) -> Option<f64> {
    quantity_in_si(&format!("1 {unit}"), Kind::of_unit(unit)?).ok()
}

/// A value with two significant digits.
fn rounded(value: f64, way: fn(f64) -> f64) -> f64 {
    let digit = value.abs().log10().floor() - 1.0;
    if !digit.is_finite() {
        return value;
    }
    // Dividing by a whole power of ten gives the number that its digits read as.
    if digit < 0.0 {
        let power = 10f64.powf(-digit).round();
        way(value * power) / power
    } else {
        let power = 10f64.powf(digit).round();
        way(value / power) * power
    }
}
