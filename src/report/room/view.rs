//! What a report on a clock's room needs, and the units in which it is printed.

use crate::clock::design::Place;
use crate::clock::environment::InRoom;
use crate::report::towns::json::TownRecord;
use crate::study::room::{RoomQuantity, Rooms};

/// What a report on rooms is made of.
#[derive(Debug, Clone, Copy)]
pub struct RoomView<'t> {
    /// The clock's name.
    pub name: &'t str,
    /// Its place.
    pub place: &'t Place,
    /// Whether its drive is a weight; else a torque.
    pub by_weight: bool,
    /// Its rooms.
    pub rooms: &'t Rooms,
    /// Other towns.
    pub towns: &'t [TownRecord],
}

impl<'t> RoomView<'t> {
    /// Rooms of a clock, and its towns.
    #[must_use]
    pub fn of(design: &'t InRoom, rooms: &'t Rooms, towns: &'t [TownRecord]) -> Self {
        Self { name: &design.name, place: &design.place, by_weight: design.has_weight(), rooms, towns }
    }
}

/// A quantity with its unit as printed: name, unit, printed units per SI unit.
pub(super) const fn shown_in(quantity: RoomQuantity) -> (&'static str, &'static str, f64) {
    match quantity {
        RoomQuantity::Temperature => ("temperature", "degC", 1.0),
        RoomQuantity::Humidity => ("humidity", "%", 100.0),
        RoomQuantity::Pressure => ("pressure", "hPa", 0.01),
    }
}

/// Unit of a quantity's coefficient and how many SI units it is.
pub(super) const fn unit(quantity: RoomQuantity) -> (&'static str, f64) {
    match quantity {
        RoomQuantity::Temperature => ("K", 1.0),
        RoomQuantity::Humidity => ("10 % humidity", 0.1),
        RoomQuantity::Pressure => ("hPa", 100.0),
    }
}
