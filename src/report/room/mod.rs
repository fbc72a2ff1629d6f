//! What a clock's room does to it, as text, CSV and JSON.

use std::fmt::Write as _;

use serde::Serialize;

use crate::answers::verdict::Reason;
use crate::clock::design::Place;
use crate::clock::drive_level::DriveLevel;
use crate::clock::environment::InRoom;
use crate::clock::environment::expansion::Group;
use crate::clock::environment::site::pressure_pa;
use crate::study::room::limits::{Failing, RoomLimit};
use crate::study::room::{Coefficient, Mover, Point, RoomQuantity, Rooms};

use super::prediction::csv::{CsvTable, number as exact, optional, written};
use super::prediction::text::{number, reason_in_words};
use super::provenance::Provenance;
use super::regulation::{TownKeys, towns_table};
use super::words::room_limits::room_limit_words;

/// What a small change does to the rate: one sentence a quantity that has a coefficient.
#[must_use]
pub fn coefficients_in_words(rooms: &Rooms) -> Vec<String> {
    rooms
        .coefficients
        .iter()
        .filter_map(|coefficient| {
            let (unit, size) = unit(coefficient.quantity);
            let (name, ..) = told(coefficient.quantity);
            let rate = size * coefficient.whole?;
            let way = if rate < 0.0 { "loses" } else { "gains" };
            let more = if coefficient.quantity == RoomQuantity::Humidity {
                unit.to_owned()
            } else {
                format!("1 {unit} of {name}")
            };
            Some(format!("{more} more: the clock {way} {} s/day.", number(rate.abs(), 3)))
        })
        .collect()
}

/// What rooms are told with.
#[derive(Debug, Clone, Copy)]
pub struct ToldRooms<'t> {
    /// The clock's name.
    pub name: &'t str,
    /// Its place.
    pub place: &'t Place,
    /// Whether its drive is a weight; else a torque.
    pub by_weight: bool,
    /// Its rooms.
    pub rooms: &'t Rooms,
    /// Other towns.
    pub towns: &'t [TownKeys],
}

impl<'t> ToldRooms<'t> {
    /// Rooms of a clock, and its towns.
    #[must_use]
    pub fn of(design: &'t InRoom, rooms: &'t Rooms, towns: &'t [TownKeys]) -> Self {
        Self { name: &design.name, place: &design.place, by_weight: design.has_weight(), rooms, towns }
    }
}

/// A quantity with its unit as it is told: name, unit, told units per SI unit.
const fn told(quantity: RoomQuantity) -> (&'static str, &'static str, f64) {
    match quantity {
        RoomQuantity::Temperature => ("temperature", "degC", 1.0),
        RoomQuantity::Humidity => ("humidity", "%", 100.0),
        RoomQuantity::Pressure => ("pressure", "hPa", 0.01),
    }
}

/// Unit of a quantity's coefficient and how many SI units it is.
const fn unit(quantity: RoomQuantity) -> (&'static str, f64) {
    match quantity {
        RoomQuantity::Temperature => ("K", 1.0),
        RoomQuantity::Humidity => ("10 % of humidity", 0.1),
        RoomQuantity::Pressure => ("hPa", 100.0),
    }
}

const fn mover_name(mover: Mover) -> &'static str {
    match mover {
        Mover::Parts(Group::Rod) => "rod",
        Mover::Parts(Group::Bob) => "bob",
        Mover::Parts(Group::Suspension) => "suspension",
        Mover::Parts(Group::Works) => "works",
        Mover::Air => "air",
    }
}

/// Tables of all points, what a small change does and by what, and the humidities at which trouble begins.
#[must_use]
pub fn rooms_table(told_rooms: &ToldRooms<'_>) -> String {
    let place = told_rooms.place;
    let pressure = pressure_pa(place).map_or_else(|_| "-".to_owned(), |pressure| number(0.01 * pressure, 1));
    let mut out = format!(
        "{} in its room: {} degC, {} % of humidity, {pressure} hPa\n",
        told_rooms.name,
        number(place.temperature_c, 1),
        number(100.0 * place.relative_humidity, 0)
    );
    for quantity in RoomQuantity::ALL {
        let (name, unit, factor) = told(quantity);
        let least = if told_rooms.by_weight { "least kg" } else { "least mN m" };
        let _ = writeln!(
            out,
            "\n  {:>16} {:>11} {:>9} {:>11} {:>9}  verdict",
            format!("{name} {unit}"),
            "rate s/day",
            "arc deg",
            least,
            "lock deg"
        );
        for point in told_rooms.rooms.points.iter().filter(|point| point.quantity == quantity) {
            let value = number(factor * point.value, 1);
            match &point.found {
                Ok(answer) => {
                    let cell = |value: Option<f64>, decimals| {
                        value.map_or_else(|| "-".to_owned(), |value| number(value, decimals))
                    };
                    let least = if told_rooms.by_weight { 1.0 } else { 1e3 };
                    let verdict = answer.reason.map_or_else(
                        || "keeps going".to_owned(),
                        |reason| format!("stops: {}", reason_in_words(reason)),
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
    out.push_str("\nWhat a small change does to the rate, s/day (positive gains), and the share of what moves\n");
    let _ = write!(out, "  {:<24} {:>9}", "for a change of", "in all");
    for mover in Mover::ALL {
        let _ = write!(out, " {:>10}", mover_name(mover));
    }
    out.push('\n');
    for coefficient in &told_rooms.rooms.coefficients {
        let (unit, size) = unit(coefficient.quantity);
        let cell = |value: Option<f64>| value.map_or_else(|| "-".to_owned(), |value| number(size * value, 4));
        let (name, ..) = told(coefficient.quantity);
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
    if told_rooms.rooms.limits.is_empty() {
        out.push_str("  No humidity makes it stop, jam or lose a lock that it has.\n");
    }
    for limit in &told_rooms.rooms.limits {
        let _ = writeln!(out, "  {}", limit_of_humidity(limit));
    }
    if !told_rooms.towns.is_empty() {
        let _ = write!(out, "\n{}", towns_table(told_rooms.towns));
    }
    out
}

/// "Damper than 61.2 %: the great wheel jams in the centre pinion; the clock stops."
pub(super) fn limit_of_humidity(limit: &RoomLimit) -> String {
    let side = if limit.rising { "Damper" } else { "Drier" };
    let what = room_limit_words(limit);
    format!("{side} than {} %: {what}.", number(100.0 * limit.at, 1))
}

const fn failing_name(failing: Failing) -> &'static str {
    match failing {
        Failing::MeshJams => "mesh_jams",
        Failing::MeshLeaves => "mesh_leaves",
        Failing::Hold(_) => "no_lock",
        Failing::Drop(_) => "no_drop",
        Failing::Clearance(_) => "no_clearance",
        Failing::Action => "no_action",
        Failing::Clock(_) => "stops",
    }
}

/// A row of room.csv and room.json.
#[derive(Debug, Clone, Serialize)]
struct PointKeys {
    quantity: RoomQuantity,
    value: f64,
    unit: &'static str,
    verdict: Option<&'static str>,
    reason: Option<Reason>,
    no_clock: Option<String>,
    rate_s_per_day: Option<f64>,
    semi_arc_deg: Option<f64>,
    least_weight_kg: Option<f64>,
    least_torque_n_m: Option<f64>,
    lock_deg: Option<f64>,
}

impl PointKeys {
    fn of(point: &Point) -> Self {
        let (_, unit, factor) = told(point.quantity);
        let answer = point.found.as_ref().ok();
        let least = answer.and_then(|answer| answer.least);
        Self {
            quantity: point.quantity,
            value: factor * point.value,
            unit,
            verdict: answer.map(|answer| if answer.reason.is_some() { "stops" } else { "keeps_going" }),
            reason: answer.and_then(|answer| answer.reason),
            no_clock: point.found.as_ref().err().cloned(),
            rate_s_per_day: answer.and_then(|answer| answer.rate_s_per_day),
            semi_arc_deg: answer.and_then(|answer| answer.semi_arc_rad).map(f64::to_degrees),
            least_weight_kg: least.and_then(DriveLevel::kg),
            least_torque_n_m: least.and_then(DriveLevel::torque_n_m),
            lock_deg: answer.and_then(|answer| answer.lock_rad).map(f64::to_degrees),
        }
    }
}

#[derive(Debug, Clone, Serialize)]
struct CoefficientKeys {
    quantity: RoomQuantity,
    per: &'static str,
    rate_s_per_day: Option<f64>,
    rod: Option<f64>,
    bob: Option<f64>,
    suspension: Option<f64>,
    works: Option<f64>,
    air: Option<f64>,
}

impl CoefficientKeys {
    fn of(coefficient: &Coefficient) -> Self {
        let (per, size) = unit(coefficient.quantity);
        let by = |wanted: Mover| {
            let found = coefficient.by_mover.iter().find(|(mover, _)| *mover == wanted);
            found.and_then(|(_, value)| *value).map(|value| size * value)
        };
        Self {
            quantity: coefficient.quantity,
            per,
            rate_s_per_day: coefficient.whole.map(|value| size * value),
            rod: by(Mover::Parts(Group::Rod)),
            bob: by(Mover::Parts(Group::Bob)),
            suspension: by(Mover::Parts(Group::Suspension)),
            works: by(Mover::Parts(Group::Works)),
            air: by(Mover::Air),
        }
    }
}

/// A limit of humidity in room.json and family.json.
#[derive(Debug, Clone, Serialize)]
pub(super) struct LimitKeys {
    gives_way: &'static str,
    side: &'static str,
    relative_humidity: f64,
    stops: bool,
    reason: Option<Reason>,
    in_words: String,
}

impl LimitKeys {
    pub(super) fn of(limit: &RoomLimit) -> Self {
        Self {
            gives_way: failing_name(limit.failing),
            side: if limit.rising { "damper" } else { "drier" },
            relative_humidity: limit.at,
            stops: limit.stops,
            reason: if let Failing::Clock(reason) = limit.failing { reason } else { None },
            in_words: limit_of_humidity(limit),
        }
    }
}

/// What is in room.json.
#[derive(Debug, Clone, Serialize)]
pub struct RoomFile {
    #[serde(flatten)]
    provenance: Provenance,
    name: String,
    temperature_c: f64,
    relative_humidity: f64,
    pressure_hpa: Option<f64>,
    points: Vec<PointKeys>,
    coefficients: Vec<CoefficientKeys>,
    humidity_limits: Vec<LimitKeys>,
    towns: Vec<TownKeys>,
}

/// The rooms for room.json.
#[must_use]
pub fn room_keys(told_rooms: &ToldRooms<'_>, provenance: Provenance) -> RoomFile {
    let rooms = told_rooms.rooms;
    RoomFile {
        provenance,
        name: told_rooms.name.to_owned(),
        temperature_c: told_rooms.place.temperature_c,
        relative_humidity: told_rooms.place.relative_humidity,
        pressure_hpa: pressure_pa(told_rooms.place).ok().map(|pressure| 0.01 * pressure),
        points: rooms.points.iter().map(PointKeys::of).collect(),
        coefficients: rooms.coefficients.iter().map(CoefficientKeys::of).collect(),
        humidity_limits: rooms.limits.iter().map(LimitKeys::of).collect(),
        towns: told_rooms.towns.to_vec(),
    }
}

/// The points as a table.
#[must_use]
pub fn room_csv(told_rooms: &ToldRooms<'_>) -> Option<CsvTable> {
    let columns = [
        "quantity",
        "value",
        "unit",
        "verdict",
        "rate_s_per_day",
        "semi_arc_deg",
        "least_weight_kg",
        "least_torque_n_m",
        "lock_deg",
        "why_not",
    ];
    let row = |point: &Point| {
        let keys = PointKeys::of(point);
        let (name, ..) = told(point.quantity);
        vec![
            name.to_owned(),
            exact(keys.value),
            keys.unit.to_owned(),
            keys.verdict.unwrap_or_default().to_owned(),
            optional(keys.rate_s_per_day),
            optional(keys.semi_arc_deg),
            optional(keys.least_weight_kg),
            optional(keys.least_torque_n_m),
            optional(keys.lock_deg),
            keys.no_clock.or_else(|| keys.reason.map(|reason| reason_in_words(reason).to_owned())).unwrap_or_default(),
        ]
    };
    written("room", &columns, told_rooms.rooms.points.iter().map(row))
}
