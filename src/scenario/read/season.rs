//! Reads `[season]`: the year in the room, or the log of it, and how slowly rod and wood follow.

use crate::clock::design::Place;
use crate::clock::environment::site::PlaceError;
use crate::clock::environment::weather::{SeasonPlan, Year};
use crate::scenario::load::Scenario;
use crate::scenario::toml::numbers::Allowed;
use crate::scenario::toml::problem::Problem;
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::section::Section;
use crate::units::Kind;

use super::place::{HUMIDITY, TEMPERATURE};

const SWING_K: Allowed = Allowed::Between(0.0, 60.0, "from 0 K to 60 K");
const PRESSURE: Allowed = Allowed::Between(1e3, 2e5, "from 10 hPa to 2000 hPa");
const PRESSURE_SWING: Allowed = Allowed::Between(0.0, 2e4, "from 0 hPa to 200 hPa");
const PERIOD: Allowed = Allowed::Between(7200.0, 3.2e7, "from 2 h to 370 days");
const LAG: Allowed = Allowed::Between(0.0, 3.2e7, "from 0 s to 370 days");
const CORD: Allowed = Allowed::Between(0.0, 100.0, "from 0 g to 100 kg");

/// The season; the usual year of the place where `[season]` is absent. `None` after problems only, and without a place.
pub(in crate::scenario) fn read_season(root: &mut Section<'_, '_>, place: Option<&Place>) -> Option<SeasonPlan> {
    let written = root.has("season");
    let has_motor = root.has("motor");
    let section = root.section("season");
    let place = place?;
    let year = Year::usual(place).ok()?;
    match section {
        Some(season) => read(season, place, year, has_motor),
        None if written => None,
        None => Some(SeasonPlan { year, log: None, rod_lag_s: 0.0, wood_lag_s: 0.0, cord_mass_kg: None }),
    }
}

/// Keys about parts that a clock with a motor has not.
const OF_PENDULUM_CLOCKS: [&str; 3] = ["rod_lag", "wood_lag", "cord_mass"];

fn read(mut season: Section<'_, '_>, place: &Place, usual: Year, has_motor: bool) -> Option<SeasonPlan> {
    for key in OF_PENDULUM_CLOCKS {
        if has_motor && season.has(key) {
            let message = format!("`{}` has no meaning for a clock with a motor", season.path_of(key));
            let help = "it has no rod, no cord and no wooden part that would change its rate; delete the key";
            season.report_key(key, ProblemCode::Conflict, message, help.to_owned());
        }
    }
    let span = season.span();
    let log = season.optional_text("log");
    let mut kelvin = |key, default| season.quantity_or(key, Kind::TemperatureDifference, SWING_K, default);
    let temperature_yearly = kelvin("temperature_yearly", usual.temperature_yearly_k);
    let temperature_daily = kelvin("temperature_daily", usual.temperature_daily_k);
    let temperature = season.quantity_or("temperature", Kind::Temperature, TEMPERATURE, usual.temperature_c);
    let warmest_day = season.optional_count("warmest_day", 1, 366).map(|day| day.unwrap_or(usual.warmest_day));
    let mut share = |key, default| season.quantity_or(key, Kind::Fraction, HUMIDITY, default);
    let humidity = share("humidity", usual.relative_humidity);
    let humidity_yearly = share("humidity_yearly", usual.humidity_yearly);
    let humidity_daily = share("humidity_daily", usual.humidity_daily);
    let most_humid_day = season.optional_count("most_humid_day", 1, 366);
    let pressure = season.quantity_or("pressure", Kind::Pressure, PRESSURE, usual.pressure_pa);
    let pressure_weather =
        season.quantity_or("pressure_weather", Kind::Pressure, PRESSURE_SWING, usual.pressure_weather_pa);
    let pressure_period = season.quantity_or("pressure_period", Kind::Time, PERIOD, usual.pressure_period_s);
    let rod_lag = season.quantity_or("rod_lag", Kind::Time, LAG, 0.0);
    let wood_lag = season.quantity_or("wood_lag", Kind::Time, LAG, 0.0);
    let cord_mass = season.optional_quantity("cord_mass", Kind::Mass, CORD);
    let reader = season.reader;
    season.finish();
    let year = Year {
        temperature_c: temperature?,
        temperature_yearly_k: temperature_yearly?,
        temperature_daily_k: temperature_daily?,
        warmest_day: warmest_day?,
        relative_humidity: humidity?,
        humidity_yearly: humidity_yearly?,
        humidity_daily: humidity_daily?,
        most_humid_day: most_humid_day?.or(warmest_day).unwrap_or(usual.most_humid_day),
        pressure_pa: pressure?,
        pressure_weather_pa: pressure_weather?,
        pressure_period_s: pressure_period?,
    };
    let plan = SeasonPlan { year, log: log?, rod_lag_s: rod_lag?, wood_lag_s: wood_lag?, cord_mass_kg: cord_mass? };
    // Another place by an override is no fault of a season that nobody asks for: who does, checks it.
    if !reader.is_overridden()
        && let Err(error) = plan.check(place)
    {
        let (message, help) = beyond_air(&error);
        reader.report(ProblemCode::ImpossibleValue, message, help, span);
        return None;
    }
    Some(plan)
}

/// What is wrong with a year that leads out of the formulas of the air, and what would be right.
fn beyond_air(error: &PlaceError) -> (String, String) {
    let message = format!("the swings go beyond what can be computed for air: {error}");
    (message, "use smaller swings, or a mean further from the end of its range".to_owned())
}

impl<D> Scenario<D> {
    /// The season of the scenario in which the clock's `place` has air; `Ok(None)` where the place has none at all.
    ///
    /// # Errors
    /// The problem of a year that leads out of the formulas of the air.
    pub fn checked_season(&self, place: &Place) -> Result<Option<&SeasonPlan>, Problem> {
        let Some(plan) = &self.season else { return Ok(None) };
        plan.check(place).map_err(|error| {
            let (message, help) = beyond_air(&error);
            self.problem_at("season", ProblemCode::ImpossibleValue, message, help)
        })?;
        Ok(Some(plan))
    }
}
