//! Wood and water.

/// Moisture content of wood in balance with the air: mass of water over mass of dry wood.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `temperature_c` | temperature `T` | degrees Celsius |
/// | `relative_humidity` | relative humidity `h` | 0 to 1 |
///
/// `M = 18/W (K h/(1 - K h) + (K1 K h + 2 K1 K2 K^2 h^2)/(1 + K1 K h + K1 K2 K^2 h^2))`, for wood of any species.
/// Source: S. V. Glass and S. L. Zelinka in "Wood Handbook", FPL-GTR-190 (2010), equation 4-5 (coefficients by public copies of
/// it). Real boards differ by 1 to 2 percent of moisture: the data behind it do not tell drying from wetting (Glass, Zelinka
/// and Johnson, FPL-GTR-229, 2014).
#[must_use]
pub fn moisture_content(temperature_c: f64, relative_humidity: f64) -> f64 {
    let t = temperature_c;
    let w = 349.0 + 1.29 * t + 0.0135 * t * t;
    let k = 0.805 + 0.000_736 * t - 0.000_002_73 * t * t;
    let k1 = 6.27 - 0.009_38 * t - 0.000_303 * t * t;
    let k2 = 1.91 + 0.0407 * t - 0.000_293 * t * t;
    let kh = k * relative_humidity;
    18.0 / w * (kh / (1.0 - kh) + (k1 * kh + 2.0 * k1 * k2 * kh * kh) / (1.0 + k1 * kh + k1 * k2 * kh * kh))
}
