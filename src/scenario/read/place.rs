//! Reads `[place]`: gravity and air.

use crate::clock::design::{Gravity, Place, Town};
use crate::scenario::toml::numbers::Allowed;
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::section::Section;
use crate::units::Kind;

/// Latitude where the scenario gives none: half way between equator and pole.
const DEFAULT_LATITUDE_RAD: f64 = std::f64::consts::FRAC_PI_4;
/// Height where the scenario gives none.
const DEFAULT_HEIGHT_M: f64 = 0.0;
/// Temperature where the scenario gives none: a room.
pub(in crate::scenario) const DEFAULT_TEMPERATURE_C: f64 = 20.0;
/// Relative humidity where the scenario gives none: a room.
pub(in crate::scenario) const DEFAULT_RELATIVE_HUMIDITY: f64 = 0.5;

const GRAVITY: Allowed = Allowed::Between(0.0, 30.0, "from 0 m/s^2 to 30 m/s^2");
const LATITUDE: Allowed =
    Allowed::Between(-std::f64::consts::FRAC_PI_2, std::f64::consts::FRAC_PI_2, "from -90 deg to 90 deg");
const HEIGHT: Allowed = Allowed::Between(-500.0, 9000.0, "from -500 m to 9000 m");
pub(in crate::scenario) const TEMPERATURE: Allowed = Allowed::Between(-60.0, 80.0, "from -60 degC to 80 degC");
const PRESSURE: Allowed = Allowed::Between(0.0, 2e5, "from 0 Pa to 2000 hPa");
pub(in crate::scenario) const HUMIDITY: Allowed = Allowed::Between(0.0, 1.0, "from 0 % to 100 %");

/// The place; the defaults where `[place]` is absent.
pub(in crate::scenario) fn read_place(root: &mut Section<'_, '_>) -> Option<Place> {
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
    let mut section = root.section("place")?;
    let place = read_keys(&mut section, &by_default);
    section.finish();
    place
}

/// `[[town]]`: other places, which have what they do not say from `home`. Their air pressure does not come from home, but from
/// their own height where they give one.
pub(in crate::scenario) fn read_towns(root: &mut Section<'_, '_>, home: Option<&Place>) -> Option<Vec<Town>> {
    let is_list = root.has("town");
    let sections = root.list("town");
    let wanted = sections.len();
    let mut towns: Vec<Town> = Vec::new();
    for mut section in sections {
        let name = section.text("name");
        let place = home.and_then(|home| {
            let moves = section.has("height") || section.has("gravity");
            let from = Place { pressure_pa: home.pressure_pa.filter(|_| !moves), ..*home };
            read_keys(&mut section, &from)
        });
        if let Some(name) = &name
            && towns.iter().any(|town| town.name == *name)
        {
            let message = format!("two towns are named \"{name}\"");
            section.report_at(
                "name",
                ProblemCode::DuplicateName,
                message,
                "give each town a name of its own".to_owned(),
            );
        }
        if home.is_some() {
            section.finish();
        }
        if let (Some(name), Some(place)) = (name, place) {
            towns.push(Town { name, place });
        }
    }
    (towns.len() == wanted && (wanted > 0 || !is_list)).then_some(towns)
}

/// The keys of a place, as in `from` where they are absent.
fn read_keys(place: &mut Section<'_, '_>, from: &Place) -> Option<Place> {
    let (latitude_rad, height_m) = match from.gravity {
        Gravity::ByPlace { latitude_rad, height_m } => (latitude_rad, height_m),
        Gravity::Stated(_) => (DEFAULT_LATITUDE_RAD, DEFAULT_HEIGHT_M),
    };
    let stated = place.optional_quantity("gravity", Kind::Acceleration, GRAVITY);
    let latitude = place.quantity_or("latitude", Kind::Angle, LATITUDE, latitude_rad);
    let height = place.quantity_or("height", Kind::Length, HEIGHT, height_m);
    let temperature = place.quantity_or("temperature", Kind::Temperature, TEMPERATURE, from.temperature_c);
    let pressure = place.optional_quantity("pressure", Kind::Pressure, PRESSURE);
    let humidity = place.quantity_or("humidity", Kind::Fraction, HUMIDITY, from.relative_humidity);
    let moves = place.has("latitude") || place.has("height");
    if place.has("gravity") {
        for key in ["latitude", "height"] {
            if place.has(key) {
                let message = format!("`{}` and `{}` are both given", place.path_of(key), place.path_of("gravity"));
                let help = "give gravity as a number, or latitude and height; delete the other".to_owned();
                place.report_key(key, ProblemCode::Conflict, message, help);
            }
        }
    }
    let gravity = match (stated?, from.gravity) {
        (Some(gravity_m_s2), _) => Gravity::Stated(gravity_m_s2),
        (None, Gravity::Stated(gravity_m_s2)) if !moves => Gravity::Stated(gravity_m_s2),
        (None, _) => Gravity::ByPlace { latitude_rad: latitude?, height_m: height? },
    };
    let pressure_pa = pressure?.or(from.pressure_pa);
    Some(Place { gravity, temperature_c: temperature?, pressure_pa, relative_humidity: humidity? })
}
