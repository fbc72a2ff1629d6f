//! What a clock's room does to it: temperature, humidity and pressure of the air, always through the limit cycle.

pub mod limits;

use crate::answers::prediction::{Prediction, predict_only};
use crate::answers::solve::Wanted;
use crate::answers::verdict::Reason;
use crate::clock::design::{Conditions, Design, Place};
use crate::clock::drive_level::DriveLevel;
use crate::clock::environment::InRoom;
use crate::clock::environment::expansion::RoomGroup;
use crate::clock::environment::site::{PlaceError, pressure_pa};
use crate::clock::train::mesh_name::MeshName;

use super::jobs::{Watch, each};
use super::room::limits::{RoomLimit, limits_of_humidity_going};

/// Temperatures beside the place's own, K.
const KELVINS: [f64; 9] = [-10.0, -7.5, -5.0, -2.5, 0.0, 2.5, 5.0, 7.5, 10.0];
/// Relative humidities.
const HUMIDITIES: [f64; 8] = [0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9];
/// Pressures beside the place's own, Pa.
const PASCALS: [f64; 9] = [-5000.0, -3750.0, -2500.0, -1250.0, 0.0, 1250.0, 2500.0, 3750.0, 5000.0];

/// What is changed of the room.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum RoomQuantity {
    /// Temperature, degrees Celsius.
    Temperature,
    /// Relative humidity, 0 to 1.
    Humidity,
    /// Air pressure, Pa.
    Pressure,
}

impl RoomQuantity {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Temperature, Self::Humidity, Self::Pressure];

    /// Its value at a place.
    fn of(self, place: &Place) -> Result<f64, PlaceError> {
        match self {
            Self::Temperature => Ok(place.temperature_c),
            Self::Humidity => Ok(place.relative_humidity),
            Self::Pressure => pressure_pa(place),
        }
    }

    /// A place with another value of it.
    fn at(self, place: &Place, value: f64) -> Place {
        match self {
            Self::Temperature => Place { temperature_c: value, ..*place },
            Self::Humidity => Place { relative_humidity: value, ..*place },
            Self::Pressure => Place { pressure_pa: Some(value), ..*place },
        }
    }

    /// Half the span over which its local coefficient is taken: 1 K, 5 % of relative humidity, 5 hPa.
    const fn half_span(self) -> f64 {
        match self {
            Self::Temperature => 1.0,
            Self::Humidity => 0.05,
            Self::Pressure => 500.0,
        }
    }

    fn values(self, own: f64) -> Vec<f64> {
        match self {
            Self::Temperature => KELVINS.iter().map(|kelvin| own + kelvin).collect(),
            Self::Humidity => HUMIDITIES.to_vec(),
            Self::Pressure => PASCALS.iter().map(|pascal| own + pascal).collect(),
        }
    }
}

/// What the clock does in one room.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomAnswer {
    /// Why it stops, if it does.
    pub reason: Option<Reason>,
    /// Meshes of the train that jam.
    pub jammed: Vec<MeshName>,
    /// Whether the swing has the margin asked for; `None` where it stops.
    pub meets_margin: Option<bool>,
    /// Rate, s/day, positive gains.
    pub rate_s_per_day: Option<f64>,
    /// Mean semi-arc, rad.
    pub semi_arc_rad: Option<f64>,
    /// Least drive.
    pub least: Option<DriveLevel>,
    /// The lesser lock of both pallets, rad.
    pub lock_rad: Option<f64>,
}

impl RoomAnswer {
    fn of(prediction: &Prediction) -> Self {
        let steady = prediction.steady.as_ref();
        Self {
            reason: prediction.reason(),
            jammed: prediction.built.jammed_meshes(),
            meets_margin: prediction.meets_margin(),
            rate_s_per_day: steady.and_then(|steady| steady.rate_s_per_day),
            semi_arc_rad: steady.map(|steady| steady.measured.semi_arc_rad()),
            least: prediction.least.map(|least| least.bare),
            lock_rad: prediction.action().map(|action| action.entry.lock_rad.min(action.exit.lock_rad)),
        }
    }
}

/// A room and the clock in it.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomPoint {
    /// What differs from the place.
    pub quantity: RoomQuantity,
    /// Its value.
    pub value: f64,
    /// The clock, or why there is none.
    pub found: Result<RoomAnswer, String>,
}

/// What moves in a room.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mover {
    /// A group of parts.
    Parts(RoomGroup),
    /// The air itself.
    Air,
}

impl Mover {
    /// All of them.
    pub const ALL: [Self; 5] = [
        Self::Parts(RoomGroup::Rod),
        Self::Parts(RoomGroup::Bob),
        Self::Parts(RoomGroup::Suspension),
        Self::Parts(RoomGroup::Works),
        Self::Air,
    ];
}

/// What a small change of the room does to the rate.
#[derive(Debug, Clone, PartialEq)]
pub struct Coefficient {
    /// What is changed.
    pub quantity: RoomQuantity,
    /// Rate per unit of it (K, whole of humidity, Pa), s/day; `None` where the clock has no rate.
    pub whole: Option<f64>,
    /// The same if only one thing moves.
    pub by_mover: Vec<(Mover, Option<f64>)>,
}

/// The rooms of a clock.
#[derive(Debug, Clone, PartialEq)]
pub struct Rooms {
    /// Points by quantity, in rising order.
    pub points: Vec<RoomPoint>,
    /// Local coefficients at the place.
    pub coefficients: Vec<Coefficient>,
    /// Humidities at which something gives way at the place's temperature, as [`limits_of_humidity_going`] tells.
    pub limits: Vec<RoomLimit>,
}

/// The clock of `made` at a place, every part in balance with it.
#[must_use]
pub fn at_place(made: &Design, place: Place) -> InRoom {
    InRoom::at_home(&Design { place, ..made.clone() })
}

/// What the room does to a clock whose sizes are those of `made`, about its place. Points not reached when `watch` stops are missing.
///
/// # Errors
/// [`PlaceError`] where the place's own pressure cannot be had.
pub fn rooms(made: &Design, watch: &dyn Watch) -> Result<Rooms, PlaceError> {
    let place = made.place;
    let mut jobs = Vec::new();
    for quantity in RoomQuantity::ALL {
        let own = quantity.of(&place)?;
        jobs.extend(quantity.values(own).into_iter().map(|value| (quantity, value)));
    }
    let points = each(&jobs, "rooms", watch, |&(quantity, value)| {
        let design = at_place(made, quantity.at(&place, value));
        let found =
            predict_only(&design, Wanted::LEAST).map(|found| RoomAnswer::of(&found)).map_err(|error| error.to_string());
        RoomPoint { quantity, value, found }
    });
    let changes: Vec<(RoomQuantity, Option<Mover>)> = RoomQuantity::ALL
        .into_iter()
        .flat_map(|quantity| std::iter::once(None).chain(Mover::ALL.map(Some)).map(move |mover| (quantity, mover)))
        .collect();
    let home = at_place(made, place);
    let rates = each(&changes, "changes", watch, |&(quantity, mover)| by_unit(&home, quantity, mover));
    let rates: Vec<Option<f64>> = rates.into_iter().map(Option::flatten).collect();
    let movers = 1 + Mover::ALL.len();
    let coefficients = RoomQuantity::ALL
        .into_iter()
        .zip(rates.chunks(movers))
        .map(|(quantity, rates)| Coefficient {
            quantity,
            whole: rates.first().copied().flatten(),
            by_mover: Mover::ALL.into_iter().zip(rates.iter().skip(1).copied()).collect(),
        })
        .collect();
    let limits = each(&[place.temperature_c], "limits of humidity", watch, |&temperature| {
        limits_of_humidity_going(made, temperature)
    });
    Ok(Rooms {
        points: points.into_iter().flatten().collect(),
        coefficients,
        limits: limits.into_iter().flatten().flatten().collect(),
    })
}

/// What a small change of each quantity does to the rate by itself, as [`Coefficient::whole`] has it, in the order of
/// [`RoomQuantity::ALL`]; `None` where `watch` stopped.
///
/// # Errors
/// As [`rooms`].
pub fn rate_slopes(made: &Design, watch: &dyn Watch) -> Result<Option<[Option<f64>; 3]>, PlaceError> {
    let home = at_place(made, made.place);
    pressure_pa(&home.place)?;
    let slopes = each(&RoomQuantity::ALL, "changes", watch, |&quantity| by_unit(&home, quantity, None));
    let slopes: Option<Vec<Option<f64>>> = slopes.into_iter().collect();
    Ok(slopes.and_then(|slopes| slopes.try_into().ok()))
}

/// Rate per unit of a quantity around the place of `home`, whose parts are in balance with it; `mover`: if only that moves.
fn by_unit(home: &InRoom, quantity: RoomQuantity, mover: Option<Mover>) -> Option<f64> {
    let own = quantity.of(&home.place).ok()?;
    let rate = |value: f64| {
        let place = quantity.at(&home.place, value);
        let design = match mover {
            None => InRoom { place, ..home.clone() }.moved_to(&Conditions::of(&place)),
            Some(Mover::Air) => InRoom { place, ..home.clone() },
            Some(Mover::Parts(group)) => home.moved_to_by(&Conditions::of(&place), group),
        };
        RoomAnswer::of(&predict_only(&design, Wanted::NOTHING).ok()?).rate_s_per_day
    };
    // Air holds between nothing and all of its vapour.
    let (low, high) = match quantity {
        RoomQuantity::Humidity => ((own - quantity.half_span()).max(0.0), (own + quantity.half_span()).min(1.0)),
        _ => (own - quantity.half_span(), own + quantity.half_span()),
    };
    Some((rate(high)? - rate(low)?) / (high - low))
}
