//! Gravity and air pressure at the place where the clock hangs.

use std::f64::consts::FRAC_PI_2;

use crate::clock::design::{Gravity, Place};

/// Semi-major axis of GRS80, m.
const GRS80_SEMI_MAJOR_AXIS_M: f64 = 6_378_137.0;
/// Normal gravity at the equator, GRS80, m/s^2.
const GRS80_EQUATOR_GRAVITY_M_S2: f64 = 9.780_326_771_5;
/// Somigliana's constant `k` of GRS80.
const GRS80_SOMIGLIANA: f64 = 0.001_931_851_353;
/// First eccentricity squared of GRS80.
const GRS80_ECCENTRICITY_SQUARED: f64 = 0.006_694_380_022_90;
/// Flattening `f` of GRS80.
const GRS80_FLATTENING: f64 = 1.0 / 298.257_222_101;
/// `m = omega^2 a^2 b / GM` of GRS80.
const GRS80_M: f64 = 0.003_449_786_003_08;

/// Pressure at sea level of the standard atmosphere, Pa.
const STANDARD_PRESSURE_PA: f64 = 101_325.0;
/// Temperature at sea level of the standard atmosphere, K.
const STANDARD_TEMPERATURE_K: f64 = 288.15;
/// Lapse rate of the standard atmosphere up to 11 km, K/m.
const STANDARD_LAPSE_K_PER_M: f64 = 0.0065;
/// Exponent `g_n M / (R L)` of the standard atmosphere.
const STANDARD_EXPONENT: f64 = 5.255_88;
/// Radius that turns geometric into geopotential height, m.
const STANDARD_EARTH_RADIUS_M: f64 = 6_356_766.0;

/// Heights between which gravity and pressure are computed, m: the troposphere of the standard atmosphere.
pub const HEIGHT_RANGE_M: std::ops::RangeInclusive<f64> = -1000.0..=11_000.0;

/// What is wrong with a place.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum PlaceError {
    /// The latitude is not between the poles.
    #[error("latitude {} deg is not between \u{2212}90 deg and 90 deg", shown(latitude_rad.to_degrees()))]
    Latitude {
        /// Latitude given.
        latitude_rad: f64,
    },
    /// The height is outside `HEIGHT_RANGE_M`.
    #[error("height {} m is outside \u{2212}1000 m to 11000 m", shown(*height_m))]
    Height {
        /// Height given.
        height_m: f64,
    },
    /// Gravity is negative or not finite.
    #[error("gravity {} m/s^2 is negative or not a number", shown(*gravity_m_s2))]
    Gravity {
        /// Gravity given.
        gravity_m_s2: f64,
    },
    /// The temperature is outside what the air formulas carry.
    #[error("air temperature {} degC is outside \u{2212}50 degC to 60 degC", shown(*temperature_c))]
    Temperature {
        /// Temperature given.
        temperature_c: f64,
    },
    /// The pressure is outside what the air formulas carry.
    #[error("air pressure {} hPa is outside 10 hPa to 2000 hPa", shown(0.01 * pressure_pa))]
    Pressure {
        /// Pressure given.
        pressure_pa: f64,
    },
    /// The relative humidity is not between 0 and 1.
    #[error("relative humidity {} % is not between 0 % and 100 %", shown(100.0 * relative_humidity))]
    Humidity {
        /// Relative humidity given.
        relative_humidity: f64,
    },
    /// The air would be more than all vapour.
    #[error(
        "the pressure of the vapour alone would exceed that of the whole air: lower the humidity or raise the pressure"
    )]
    Vapour,
}

/// To four decimals, without the zeros after them, and with a true minus sign.
fn shown(value: f64) -> String {
    ((value * 1e4).round() / 1e4).to_string().replace('-', "\u{2212}")
}

/// Normal gravity on the ellipsoid and above it, m/s^2, positive downward.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `latitude_rad` | geographic latitude, north positive | rad |
/// | `height_m` | height above the ellipsoid, taken as the height above sea level | m |
///
/// Accuracy: 1e-9 m/s^2 of GRS80 on the ellipsoid, 3e-7 m/s^2 up to 2 km; true gravity differs from normal gravity by
/// up to some 5e-4 m/s^2 (2 s/day).
/// Source: H. Moritz, "Geodetic Reference System 1980", Geodesist's Handbook: Somigliana's closed form and the height
/// series to the second order.
///
/// # Errors
/// `PlaceError::Latitude`, `PlaceError::Height` outside their ranges.
pub fn normal_gravity_m_s2(latitude_rad: f64, height_m: f64) -> Result<f64, PlaceError> {
    if !(-FRAC_PI_2..=FRAC_PI_2).contains(&latitude_rad) {
        return Err(PlaceError::Latitude { latitude_rad });
    }
    check_height(height_m)?;
    let sine_squared = latitude_rad.sin().powi(2);
    let on_ellipsoid = GRS80_EQUATOR_GRAVITY_M_S2 * (1.0 + GRS80_SOMIGLIANA * sine_squared)
        / (1.0 - GRS80_ECCENTRICITY_SQUARED * sine_squared).sqrt();
    let height = height_m / GRS80_SEMI_MAJOR_AXIS_M;
    let first_order = 2.0 * (1.0 + GRS80_FLATTENING + GRS80_M - 2.0 * GRS80_FLATTENING * sine_squared);
    Ok(on_ellipsoid * (1.0 - first_order * height + 3.0 * height * height))
}

/// Gravity at the clock, m/s^2, positive downward; 0 is allowed where it is stated so.
///
/// # Errors
/// `PlaceError::Gravity` where the stated number is negative or not finite; otherwise as `normal_gravity_m_s2`.
pub fn gravity_m_s2(place: &Place) -> Result<f64, PlaceError> {
    match place.gravity {
        Gravity::Stated(gravity_m_s2) if gravity_m_s2.is_finite() && gravity_m_s2 >= 0.0 => Ok(gravity_m_s2),
        Gravity::Stated(gravity_m_s2) => Err(PlaceError::Gravity { gravity_m_s2 }),
        Gravity::ByPlace { latitude_rad, height_m } => normal_gravity_m_s2(latitude_rad, height_m),
    }
}

/// Pressure of the standard atmosphere at a geometric height, Pa.
///
/// Source: ISO 2533 / ICAO standard atmosphere (1993), troposphere; the height is first made geopotential, which at
/// 2 km matters by 6 Pa. Equation from memory, values agree with tables to 0.01 Pa. Weather moves pressure by some 3 %.
///
/// # Errors
/// `PlaceError::Height` outside `HEIGHT_RANGE_M`.
pub fn standard_pressure_pa(height_m: f64) -> Result<f64, PlaceError> {
    check_height(height_m)?;
    let geopotential_m = STANDARD_EARTH_RADIUS_M * height_m / (STANDARD_EARTH_RADIUS_M + height_m);
    let temperature_ratio = 1.0 - STANDARD_LAPSE_K_PER_M * geopotential_m / STANDARD_TEMPERATURE_K;
    Ok(STANDARD_PRESSURE_PA * temperature_ratio.powf(STANDARD_EXPONENT))
}

/// Air pressure at the clock, Pa: the stated one, or that of the standard atmosphere at its height (0 m where gravity
/// is given as a number).
///
/// # Errors
/// As `standard_pressure_pa`.
pub fn pressure_pa(place: &Place) -> Result<f64, PlaceError> {
    match (place.pressure_pa, place.gravity) {
        (Some(pressure_pa), _) => Ok(pressure_pa),
        (None, Gravity::ByPlace { height_m, .. }) => standard_pressure_pa(height_m),
        (None, Gravity::Stated(_)) => standard_pressure_pa(0.0),
    }
}

fn check_height(height_m: f64) -> Result<(), PlaceError> {
    if HEIGHT_RANGE_M.contains(&height_m) { Ok(()) } else { Err(PlaceError::Height { height_m }) }
}
