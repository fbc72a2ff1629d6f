//! The weather in a room over time, and how slowly rod and wood follow it.

use std::f64::consts::TAU;

use crate::clock::design::{Design, Place};
use crate::clock::train::cord::cord_on_drum;
use crate::clock::{SECONDS_PER_DAY, SECONDS_PER_HOUR};

use super::air::air_at;
use super::site::{PlaceError, pressure_pa};

/// Days of a year.
pub const DAYS_PER_YEAR: f64 = 365.25;

/// Hours of a year.
pub const HOURS_PER_YEAR: u32 = 8766;

/// Hour of the day at which the sinusoid of a day is warmest and driest: common practice, no source.
pub const WARMEST_HOUR: f64 = 16.0;

/// The air of the room at one time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeatherMoment {
    /// Time since the beginning, s.
    pub time_s: f64,
    /// Temperature, degrees Celsius.
    pub temperature_c: f64,
    /// Relative humidity, 0 to 1.
    pub relative_humidity: f64,
    /// Pressure, Pa.
    pub pressure_pa: f64,
}

/// A year of sinusoids that begins at midnight before 1 January. Swings count from the mean, up and down alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Year {
    /// Mean temperature, degrees Celsius.
    pub temperature_c: f64,
    /// Swing of the temperature over the year, K.
    pub temperature_yearly_k: f64,
    /// Swing of the temperature over the day, K; the warmest hour is [`WARMEST_HOUR`].
    pub temperature_daily_k: f64,
    /// Day of the year that is warmest, from 1.
    pub warmest_day: u32,
    /// Mean relative humidity, 0 to 1.
    pub relative_humidity: f64,
    /// Swing of the relative humidity over the year, 0 to 1.
    pub humidity_yearly: f64,
    /// Swing of the relative humidity over the day, driest when warmest, 0 to 1.
    pub humidity_daily: f64,
    /// Day of the year that is most humid, from 1.
    pub most_humid_day: u32,
    /// Mean pressure, Pa.
    pub pressure_pa: f64,
    /// Swing of the pressure with the weather, Pa.
    pub pressure_weather_pa: f64,
    /// Time from one high of the weather to the next, s.
    pub pressure_period_s: f64,
}

impl Year {
    /// The year where the scenario says nothing: mean values of the place, and the swings of a heated room in a temperate
    /// climate (common practice, no source): 4 K over the year, warmest in the middle of July (north of the equator) or of January,
    /// 1 K over the day, 10 % of relative humidity over the year, most humid when warmest, 2 % over the day, 10 hPa from high to
    /// low in half of five days.
    ///
    /// # Errors
    /// [`PlaceError`] where the place has no pressure.
    pub fn usual(place: &Place) -> Result<Self, PlaceError> {
        let south =
            matches!(place.gravity, crate::clock::design::Gravity::ByPlace { latitude_rad, .. } if latitude_rad < 0.0);
        let warmest_day = if south { 15 } else { 196 };
        Ok(Self {
            temperature_c: place.temperature_c,
            temperature_yearly_k: 4.0,
            temperature_daily_k: 1.0,
            warmest_day,
            relative_humidity: place.relative_humidity,
            humidity_yearly: 0.1,
            humidity_daily: 0.02,
            most_humid_day: warmest_day,
            pressure_pa: pressure_pa(place)?,
            pressure_weather_pa: 1000.0,
            pressure_period_s: 5.0 * SECONDS_PER_DAY,
        })
    }

    /// The air at a time since the beginning of the year, s; later years are as the first, the weather's highs aside.
    ///
    /// The middle of the named day is warmest or most humid.
    #[must_use]
    pub fn at(&self, time_s: f64) -> WeatherMoment {
        let days = time_s / SECONDS_PER_DAY;
        let yearly = |day: u32| (TAU * (days - (f64::from(day) - 0.5)) / DAYS_PER_YEAR).cos();
        let daily = (TAU * (days - WARMEST_HOUR / 24.0)).cos();
        WeatherMoment {
            time_s,
            temperature_c: self.temperature_c
                + self.temperature_yearly_k * yearly(self.warmest_day)
                + self.temperature_daily_k * daily,
            relative_humidity: self.relative_humidity + self.humidity_yearly * yearly(self.most_humid_day)
                - self.humidity_daily * daily,
            pressure_pa: self.pressure_pa + self.pressure_weather_pa * (TAU * time_s / self.pressure_period_s).sin(),
        }
    }

    /// Every hour of so many years, first and last included.
    #[must_use]
    pub fn hours(&self, years: u32) -> Vec<WeatherMoment> {
        (0..=years * HOURS_PER_YEAR).map(|hour| self.at(f64::from(hour) * SECONDS_PER_HOUR)).collect()
    }
}

/// What the scenario says of the seasons.
#[derive(Debug, Clone, PartialEq)]
pub struct SeasonPlan {
    /// The year of sinusoids, for want of a log.
    pub year: Year,
    /// Log of the room, as named in the scenario: from the scenario's folder.
    pub log: Option<String>,
    /// Time constant with which the rod's temperature follows the air's, s.
    pub rod_lag_s: f64,
    /// Time constant with which the humidity in balance with the parts follows the air's, s.
    pub wood_lag_s: f64,
    /// Mass of all parts of the cord that hang when the weight is down, kg; `None` where the season does not say: that of the drive's cord.
    pub cord_mass_kg: Option<f64>,
}

impl SeasonPlan {
    /// Mass of all parts of a clock's cord that hang when the weight is down, kg; 0 where neither season nor drive says.
    #[must_use]
    pub fn hanging_cord_kg(&self, design: &Design) -> f64 {
        let of_drive = || design.weight_drive().and_then(|drive| cord_on_drum(drive).hanging_kg);
        self.cord_mass_kg.or_else(of_drive).unwrap_or(0.0)
    }

    /// Whether the formulas of the air carry the year. A log takes the year's place, and is checked row by row.
    ///
    /// # Errors
    /// [`PlaceError`] of the first hour that they do not carry.
    pub fn check(&self, place: &Place) -> Result<(), PlaceError> {
        if self.log.is_some() {
            return Ok(());
        }
        self.year.hours(1).iter().try_for_each(|moment| check_air(place, moment))
    }
}

impl Place {
    /// The same place in the air of a moment.
    #[must_use]
    pub fn in_air_of(&self, moment: &WeatherMoment) -> Self {
        Self {
            gravity: self.gravity,
            temperature_c: moment.temperature_c,
            pressure_pa: Some(moment.pressure_pa),
            relative_humidity: moment.relative_humidity,
        }
    }
}

/// Whether the formulas of the air carry a moment.
///
/// # Errors
/// [`PlaceError`] names the quantity.
pub fn check_air(place: &Place, moment: &WeatherMoment) -> Result<(), PlaceError> {
    air_at(&place.in_air_of(moment)).map(|_| ())
}

/// Time over which the mean of the input is taken to begin with, s.
pub const BALANCED_OVER_S: f64 = SECONDS_PER_DAY;

/// What follows `inputs` with a time constant, at the same times: `lag y' = input - y`, input linear from sample to sample.
///
/// | symbol | meaning | unit | shape |
/// |---|---|---|---|
/// | `times_s` | times, rising | s | n |
/// | `inputs` | input at these times | any | n |
/// | `lag_s` | time constant, 0: the input itself | s | |
///
/// It begins in balance with the mean of the inputs of the first [`BALANCED_OVER_S`]. Each step is exact for an input that is
/// linear within it.
#[must_use]
pub fn lagged(times_s: &[f64], inputs: &[f64], lag_s: f64) -> Vec<f64> {
    if !(lag_s > 0.0) {
        return inputs.to_vec();
    }
    let Some(&began_s) = times_s.first() else { return Vec::new() };
    let first = times_s.iter().take_while(|&&time_s| time_s - began_s < BALANCED_OVER_S).count().max(1);
    let mut follows = inputs.iter().take(first).sum::<f64>() / first as f64;
    let mut out = vec![follows];
    for (times, values) in times_s.windows(2).zip(inputs.windows(2)) {
        let step_s = times[1] - times[0];
        let behind = lag_s * (values[1] - values[0]) / step_s;
        // Moving along with the slope, it lags by `behind`; what it is off from there dies away.
        follows = values[1] - behind + (follows - values[0] + behind) * (-step_s / lag_s).exp();
        out.push(follows);
    }
    out
}
