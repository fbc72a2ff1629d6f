//! The way through the rooms of a season: the air, and what rod, wood and cord make of it.

use crate::clock::design::Conditions;
use crate::clock::environment::weather::{SeasonPlan, WeatherMoment, lagged};

use super::error::mean;
use super::fall::WeightFall;

/// Everything outside that the rate hangs on, at one time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// Temperature of the air and of all parts but the rod, degrees Celsius.
    pub temperature_c: f64,
    /// Temperature of the rod, degrees Celsius.
    pub rod_temperature_c: f64,
    /// Relative humidity of the air, 0 to 1.
    pub air_humidity: f64,
    /// Relative humidity in balance with the parts, 0 to 1.
    pub wood_humidity: f64,
    /// Pressure, Pa.
    pub pressure_pa: f64,
    /// Share of its way that the weight has come down, 0 to 1; 0 where that changes nothing.
    pub fallen: f64,
}

impl Room {
    /// How many numbers there are.
    pub const COUNT: usize = 6;

    /// The numbers in the order of the fields.
    #[must_use]
    pub const fn numbers(&self) -> [f64; Self::COUNT] {
        [
            self.temperature_c,
            self.rod_temperature_c,
            self.air_humidity,
            self.wood_humidity,
            self.pressure_pa,
            self.fallen,
        ]
    }

    /// The room of these numbers.
    #[must_use]
    pub const fn of(numbers: [f64; Self::COUNT]) -> Self {
        let [temperature_c, rod_temperature_c, air_humidity, wood_humidity, pressure_pa, fallen] = numbers;
        Self { temperature_c, rod_temperature_c, air_humidity, wood_humidity, pressure_pa, fallen }
    }

    /// What the parts have come to terms with.
    #[must_use]
    pub const fn conditions(&self) -> Conditions {
        Conditions {
            temperature_c: self.temperature_c,
            rod_temperature_c: self.rod_temperature_c,
            relative_humidity: self.wood_humidity,
        }
    }

    /// The air, at time 0.
    #[must_use]
    pub const fn air(&self) -> WeatherMoment {
        WeatherMoment {
            time_s: 0.0,
            temperature_c: self.temperature_c,
            relative_humidity: self.air_humidity,
            pressure_pa: self.pressure_pa,
        }
    }
}

/// The rooms of a season.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    /// Times, s, rising.
    pub times_s: Vec<f64>,
    /// The rooms at these times.
    pub rooms: Vec<Room>,
}

impl Path {
    /// The way through `moments`: rod and wood follow with their lags, the weight falls at the clock's own speed and is wound
    /// when it is down.
    #[must_use]
    pub fn of(plan: &SeasonPlan, fall: Option<&WeightFall>, moments: &[WeatherMoment]) -> Self {
        let times_s: Vec<f64> = moments.iter().map(|moment| moment.time_s).collect();
        let column = |of: fn(&WeatherMoment) -> f64| moments.iter().map(of).collect::<Vec<f64>>();
        let rod = lagged(&times_s, &column(|moment| moment.temperature_c), plan.rod_lag_s);
        let wood = lagged(&times_s, &column(|moment| moment.relative_humidity), plan.wood_lag_s);
        let rooms = moments
            .iter()
            .zip(rod.iter().zip(&wood))
            .map(|(moment, (&rod_temperature_c, &wood_humidity))| Room {
                temperature_c: moment.temperature_c,
                rod_temperature_c,
                air_humidity: moment.relative_humidity,
                wood_humidity,
                pressure_pa: moment.pressure_pa,
                fallen: fall.map_or(0.0, |fall| fall.fallen(moment.time_s)),
            })
            .collect();
        Self { times_s, rooms }
    }

    /// The mean of every number over time.
    #[must_use]
    pub fn mean_room(&self) -> Room {
        let mut numbers = [0.0; Room::COUNT];
        for (index, number) in numbers.iter_mut().enumerate() {
            let column: Vec<f64> = self.rooms.iter().map(|room| room.numbers()[index]).collect();
            *number = mean(&self.times_s, &column).unwrap_or_default();
        }
        Room::of(numbers)
    }
}
