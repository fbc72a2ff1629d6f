//! Reads `[place]`: gravity and air.

use crate::clock::design::{Gravity, Place};
use crate::units::Kind;

use super::section::{Allowed, Section};

/// Latitude where the scenario gives none: half way between equator and pole.
const DEFAULT_LATITUDE_RAD: f64 = std::f64::consts::FRAC_PI_4;
/// Height where the scenario gives none.
const DEFAULT_HEIGHT_M: f64 = 0.0;
/// Temperature where the scenario gives none: a room.
pub(super) const DEFAULT_TEMPERATURE_C: f64 = 20.0;
/// Relative humidity where the scenario gives none: a room.
pub(super) const DEFAULT_RELATIVE_HUMIDITY: f64 = 0.5;

const GRAVITY: Allowed = Allowed::Between(0.0, 30.0, "from 0 m/s^2 to 30 m/s^2");
const LATITUDE: Allowed =
    Allowed::Between(-std::f64::consts::FRAC_PI_2, std::f64::consts::FRAC_PI_2, "from -90 deg to 90 deg");
const HEIGHT: Allowed = Allowed::Between(-500.0, 9000.0, "from -500 m to 9000 m");
pub(super) const TEMPERATURE: Allowed = Allowed::Between(-60.0, 80.0, "from -60 degC to 80 degC");
const PRESSURE: Allowed = Allowed::Between(0.0, 2e5, "from 0 Pa to 2000 hPa");
pub(super) const HUMIDITY: Allowed = Allowed::Between(0.0, 1.0, "from 0 % to 100 %");

/// The place; the defaults where `[place]` is absent.
pub(super) fn read_place(root: &mut Section<'_, '_>) -> Option<Place> {
    let by_default = Place {
        gravity: Gravity::ByPlace { latitude_rad: DEFAULT_LATITUDE_RAD, height_m: DEFAULT_HEIGHT_M },
        temperature_c: DEFAULT_TEMPERATURE_C,
        pressure_pa: None,
        relative_humidity: DEFAULT_RELATIVE_HUMIDITY,
    };
    if !root.has("place") {
        root.entry("place");
        return Some(by_default);
    }
    let mut place = root.section("place")?;
    let stated = place.optional_quantity("gravity", Kind::Acceleration, GRAVITY);
    let latitude = place.quantity_or("latitude", Kind::Angle, LATITUDE, DEFAULT_LATITUDE_RAD);
    let height = place.quantity_or("height", Kind::Length, HEIGHT, DEFAULT_HEIGHT_M);
    let temperature = place.quantity_or("temperature", Kind::Temperature, TEMPERATURE, DEFAULT_TEMPERATURE_C);
    let pressure = place.optional_quantity("pressure", Kind::Pressure, PRESSURE);
    let humidity = place.quantity_or("humidity", Kind::Fraction, HUMIDITY, DEFAULT_RELATIVE_HUMIDITY);
    if place.has("gravity") {
        for key in ["latitude", "height"] {
            if place.has(key) {
                let message = format!("`place.{key}` and `place.gravity` are both given");
                let help = "give gravity as a number, or latitude and height; delete the other".to_owned();
                place.report_key(key, "conflict", message, help);
            }
        }
    }
    place.finish();
    let gravity = match stated? {
        Some(gravity_m_s2) => Gravity::Stated(gravity_m_s2),
        None => Gravity::ByPlace { latitude_rad: latitude?, height_m: height? },
    };
    Some(Place { gravity, temperature_c: temperature?, pressure_pa: pressure?, relative_humidity: humidity? })
}
