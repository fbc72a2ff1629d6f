//! The air round the clock: density and viscosity.

use crate::clock::design::Place;

use super::site::{PlaceError, pressure_pa};

/// Ice point on the Kelvin scale, K.
const ICE_POINT_K: f64 = 273.15;
/// Molar gas constant that belongs to CIPM-2007 (CODATA 2006), J/(mol K).
const GAS_CONSTANT_J_PER_MOL_K: f64 = 8.314_472;
/// Molar mass of dry air with 400 ppm carbon dioxide, kg/mol.
const DRY_AIR_KG_PER_MOL: f64 = 28.965_46e-3;
/// Molar mass of water, kg/mol.
const WATER_KG_PER_MOL: f64 = 18.015_28e-3;

/// Viscosity of air at `ICE_POINT_K`, Pa s.
const SUTHERLAND_VISCOSITY_PA_S: f64 = 1.716e-5;
/// Sutherland's constant of air, K.
const SUTHERLAND_CONSTANT_K: f64 = 110.4;

/// Air at rest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Density, kg/m^3.
    pub density_kg_m3: f64,
    /// Dynamic viscosity, Pa s.
    pub viscosity_pa_s: f64,
}

impl Air {
    /// No air at all: no buoyancy, no added mass, no drag.
    pub const NONE: Self = Self { density_kg_m3: 0.0, viscosity_pa_s: 0.0 };

    /// Kinematic viscosity, m^2/s; 0 without air.
    #[must_use]
    pub fn kinematic_viscosity_m2_s(&self) -> f64 {
        if self.density_kg_m3 > 0.0 { self.viscosity_pa_s / self.density_kg_m3 } else { 0.0 }
    }
}

/// The air at the clock.
///
/// # Errors
/// Whatever `pressure_pa` and `moist_air_density_kg_m3` refuse.
pub fn air_at(place: &Place) -> Result<Air, PlaceError> {
    let pressure = pressure_pa(place)?;
    Ok(Air {
        density_kg_m3: moist_air_density_kg_m3(place.temperature_c, pressure, place.relative_humidity)?,
        viscosity_pa_s: air_viscosity_pa_s(place.temperature_c)?,
    })
}

/// Density of moist air with 400 ppm carbon dioxide, kg/m^3.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `temperature_c` | temperature `t`, -50 to 60 | degrees Celsius |
/// | `pressure_pa` | pressure `p`, 1e3 to 2e5 | Pa |
/// | `relative_humidity` | relative humidity `h` | 0 to 1 |
///
/// Accuracy: 2.2e-5 relative between 15 and 27 C, 60 to 110 kPa (the authors' range, from memory); beyond it an
/// extrapolation that no clock's rate notices.
/// Source: A. Picard, R. S. Davis, M. Glaeser, K. Fujii, "Revised formula for the density of moist air (CIPM-2007)",
/// Metrologia 45 (2008) 149-155; constants as public programs reproduce that table.
///
/// # Errors
/// `PlaceError::Temperature`, `Pressure`, `Humidity` outside the ranges; `Vapour` where the vapour would press more
/// than the whole.
pub fn moist_air_density_kg_m3(
    temperature_c: f64,
    pressure_pa: f64,
    relative_humidity: f64,
) -> Result<f64, PlaceError> {
    check_temperature(temperature_c)?;
    if !(1.0e3..=2.0e5).contains(&pressure_pa) {
        return Err(PlaceError::Pressure { pressure_pa });
    }
    if !(0.0..=1.0).contains(&relative_humidity) {
        return Err(PlaceError::Humidity { relative_humidity });
    }
    let (t, p) = (temperature_c, pressure_pa);
    let temperature_k = t + ICE_POINT_K;
    let saturation_pa = (1.237_884_7e-5 * temperature_k * temperature_k - 1.912_131_6e-2 * temperature_k
        + 33.937_110_47
        - 6.343_164_5e3 / temperature_k)
        .exp();
    let enhancement = 1.000_62 + 3.14e-8 * p + 5.6e-7 * t * t;
    let vapour = relative_humidity * enhancement * saturation_pa / p;
    if vapour > 1.0 {
        return Err(PlaceError::Vapour);
    }
    let p_over_t = p / temperature_k;
    let compressibility = 1.0
        - p_over_t
            * (1.581_23e-6 - 2.933_1e-8 * t
                + 1.104_3e-10 * t * t
                + (5.707e-6 - 2.051e-8 * t) * vapour
                + (1.989_8e-4 - 2.376e-6 * t) * vapour * vapour)
        + p_over_t * p_over_t * (1.83e-11 - 0.765e-8 * vapour * vapour);
    Ok(p * DRY_AIR_KG_PER_MOL / (compressibility * GAS_CONSTANT_J_PER_MOL_K * temperature_k)
        * (1.0 - vapour * (1.0 - WATER_KG_PER_MOL / DRY_AIR_KG_PER_MOL)))
}

/// Dynamic viscosity of dry air, Pa s, whatever its pressure; moisture lowers it by less than 1 % at room temperature.
///
/// Source: Sutherland's law with 1.716e-5 Pa s at 273.15 K and 110.4 K (F. M. White, "Viscous Fluid Flow", constants
/// from memory); within 0.2 % of tables between -20 and 60 C.
///
/// # Errors
/// `PlaceError::Temperature` outside -50 to 60 C.
pub fn air_viscosity_pa_s(temperature_c: f64) -> Result<f64, PlaceError> {
    check_temperature(temperature_c)?;
    let temperature_k = temperature_c + ICE_POINT_K;
    Ok(SUTHERLAND_VISCOSITY_PA_S * (temperature_k / ICE_POINT_K).powf(1.5) * (ICE_POINT_K + SUTHERLAND_CONSTANT_K)
        / (temperature_k + SUTHERLAND_CONSTANT_K))
}

fn check_temperature(temperature_c: f64) -> Result<(), PlaceError> {
    if (-50.0..=60.0).contains(&temperature_c) { Ok(()) } else { Err(PlaceError::Temperature { temperature_c }) }
}
