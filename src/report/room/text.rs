//! What a clock's room does to it, as tables and in words.

use std::fmt::Write as _;

use crate::clock::environment::expansion::RoomGroup;
use crate::clock::environment::site::pressure_pa;
use crate::report::towns;
use crate::report::words::numbers::number;
use crate::report::words::reasons::{headline, reason_with_meshes};
use crate::report::words::room_limits::room_limit_words;
use crate::study::room::limits::RoomLimit;
use crate::study::room::{Mover, RoomQuantity, Rooms};

use super::RoomView;
use super::view::{shown_in, unit};

/// What a small change does to the rate: one sentence a quantity that has a coefficient.
#[must_use]
pub fn coefficients_in_words(rooms: &Rooms) -> Vec<String> {
    rooms
        .coefficients
        .iter()
        .filter_map(|coefficient| {
            let (unit, size) = unit(coefficient.quantity);
            let (name, ..) = shown_in(coefficient.quantity);
            let rate = size * coefficient.whole?;
            let way = if rate < 0.0 { "loses" } else { "gains" };
            let more = match coefficient.quantity {
                RoomQuantity::Temperature => format!("1 {unit} warmer"),
                RoomQuantity::Humidity => format!("{unit} more"),
                RoomQuantity::Pressure => format!("1 {unit} more {name}"),
            };
            Some(format!("{more}: the clock {way} {} s/day.", number(rate.abs(), 3)))
        })
        .collect()
}

const fn mover_name(mover: Mover) -> &'static str {
    match mover {
        Mover::Parts(RoomGroup::Rod) => "rod",
        Mover::Parts(RoomGroup::Bob) => "bob",
        Mover::Parts(RoomGroup::Suspension) => "suspension",
        Mover::Parts(RoomGroup::Works) => "works",
        Mover::Air => "air",
    }
}

/// Tables of all points, what a small change does and by what, and the humidities at which trouble begins.
#[must_use]
pub fn table(view: &RoomView<'_>) -> String {
    let place = view.place;
    let pressure = pressure_pa(place).map_or_else(|_| "-".to_owned(), |pressure| number(0.01 * pressure, 1));
    let mut out = format!(
        "{} in its room: {} degC, {} % humidity, {pressure} hPa\n",
        view.name,
        number(place.temperature_c, 1),
        number(100.0 * place.relative_humidity, 0)
    );
    for quantity in RoomQuantity::ALL {
        let (name, unit, factor) = shown_in(quantity);
        let least = if view.by_weight { "least kg" } else { "least mN m" };
        let _ = writeln!(
            out,
            "\n  {:>16} {:>11} {:>9} {:>11} {:>9}  verdict",
            format!("{name} {unit}"),
            "rate s/day",
            "arc deg",
            least,
            "lock deg"
        );
        for point in view.rooms.points.iter().filter(|point| point.quantity == quantity) {
            let value = number(factor * point.value, 1);
            match &point.found {
                Ok(answer) => {
                    let cell = |value: Option<f64>, decimals| {
                        value.map_or_else(|| "-".to_owned(), |value| number(value, decimals))
                    };
                    let least = if view.by_weight { 1.0 } else { 1e3 };
                    let verdict = answer.reason.map_or_else(
                        || headline(None, answer.meets_margin).to_owned(),
                        |reason| format!("stops: {}", reason_with_meshes(reason, &answer.jammed)),
                    );
                    let _ = writeln!(
                        out,
                        "  {value:>16} {:>11} {:>9} {:>11} {:>9}  {verdict}",
                        cell(answer.rate_s_per_day, 2),
                        cell(answer.semi_arc_rad.map(f64::to_degrees), 3),
                        cell(answer.least.map(|drive| least * drive.value()), 3),
                        cell(answer.lock_rad.map(f64::to_degrees), 3),
                    );
                }
                Err(error) => {
                    let _ = writeln!(out, "  {value:>16}  no clock: {error}");
                }
            }
        }
    }
    out.push_str("\nWhat a small change does to the rate, s/day (positive: gains), in total and through each part\n");
    let _ = write!(out, "  {:<24} {:>9}", "change", "total");
    for mover in Mover::ALL {
        let _ = write!(out, " {:>10}", mover_name(mover));
    }
    out.push('\n');
    for coefficient in &view.rooms.coefficients {
        let (unit, size) = unit(coefficient.quantity);
        let cell = |value: Option<f64>| value.map_or_else(|| "-".to_owned(), |value| number(size * value, 4));
        let (name, ..) = shown_in(coefficient.quantity);
        let label = if coefficient.quantity == RoomQuantity::Humidity {
            unit.to_owned()
        } else {
            format!("1 {unit} of {name}")
        };
        let _ = write!(out, "  {label:<24} {:>9}", cell(coefficient.whole));
        for (_, value) in &coefficient.by_mover {
            let _ = write!(out, " {:>10}", cell(*value));
        }
        out.push('\n');
    }
    out.push('\n');
    if view.rooms.limits.is_empty() {
        out.push_str("  The clock does not stop, jam or lose its lock at any humidity.\n");
    }
    for limit in &view.rooms.limits {
        let _ = writeln!(out, "  {}", limit_of_humidity(limit));
    }
    if !view.towns.is_empty() {
        let _ = write!(out, "\n{}", towns::text::table(view.towns));
    }
    out
}

/// "Above 61.2 % humidity: the great wheel jams in the centre pinion; the clock stops."
pub(in crate::report) fn limit_of_humidity(limit: &RoomLimit) -> String {
    let side = if limit.rising { "Above" } else { "Below" };
    let what = room_limit_words(limit);
    format!("{side} {} % humidity: {what}.", number(100.0 * limit.at, 1))
}
