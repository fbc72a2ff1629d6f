//! How fast a clock runs whose pulses come from an oscillator, and by how much copies of it differ.

use crate::clock::SECONDS_PER_DAY;
use crate::clock::design::{Oscillator, TemperatureCurve};
use crate::clock::printing::printer::Spread;

use super::ratio::PulseRatio;

/// Days in a month: a twelfth of 365.25.
pub const DAYS_PER_MONTH: f64 = 365.25 / 12.0;

/// Standard deviations that a spread states: `clock::printer`.
pub const DEVIATIONS: f64 = 2.0;

/// Relative offset of the frequency of an oscillator as its numbers stand, positive fast.
///
/// `tolerance + ageing age + coefficient (T - turnover)^2`. The parabola is that of tuning-fork crystals; usual numbers are
/// -0.034 ppm/K^2 and 25 degC (from memory; data sheets seen give -0.030 +/- 0.01 ppm/K^2 and 25 degC).
#[must_use]
pub fn relative_offset(oscillator: &Oscillator, temperature_c: f64, age_years: f64) -> f64 {
    relative_offsets(oscillator, temperature_c, age_years).iter().sum()
}

/// Its parts by tolerance, ageing and temperature, in this order.
#[must_use]
pub fn relative_offsets(oscillator: &Oscillator, temperature_c: f64, age_years: f64) -> [f64; 3] {
    let by_temperature = match oscillator.temperature {
        TemperatureCurve::Flat | TemperatureCurve::Band(_) => 0.0,
        TemperatureCurve::Parabola { turnover_c, per_k2 } => per_k2.value * (temperature_c - turnover_c.value).powi(2),
    };
    [oscillator.tolerance.value, oscillator.ageing_per_year.value * age_years, by_temperature]
}

/// Rate at a temperature and an age of the oscillator, s/day, positive gains; counts that are not exact are in it.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `ratio` | pulses given and needed, [`super::ratio::pulse_ratio`] | |
/// | `temperature_c` | of the oscillator, at which no heat lags | degC |
/// | `age_years` | since it was made | years of 365.25 days |
#[must_use]
pub fn rate_s_per_day(oscillator: &Oscillator, ratio: &PulseRatio, temperature_c: f64, age_years: f64) -> f64 {
    let drift = ratio.drift_s_per_day();
    drift + (SECONDS_PER_DAY + drift) * relative_offset(oscillator, temperature_c, age_years)
}

/// Spread of the rate by cause, each two standard deviations, s/day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RateSpread {
    /// Mean rate at the age and in the room of the scenario, the room's swing included.
    pub mean_s_per_day: f64,
    /// By the tolerance of the oscillator.
    pub tolerance_s_per_day: f64,
    /// By its ageing up to the age.
    pub ageing_s_per_day: f64,
    /// By the room's temperature and by how the curve differs from one oscillator to the next.
    pub temperature_s_per_day: f64,
}

impl RateSpread {
    /// All causes together, independent of one another: root of the sum of squares, s/day.
    #[must_use]
    pub fn total_s_per_day(&self) -> f64 {
        self.tolerance_s_per_day.hypot(self.ageing_s_per_day).hypot(self.temperature_s_per_day)
    }
}

/// Mean and standard deviation over many oscillators of the relative offset by temperature, averaged over time.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `room_c` | mean temperature of the room over time | degC |
/// | `known_k2` | variance over time of a temperature whose course is known | K^2 |
/// | `unknown_k2` | variance of what the room may be off from `room_c` | K^2 |
///
/// With `c` and `d` normal and independent (coefficient; distance from the turnover), `v` the variance of `d` and `a` the known
/// one, `c (a + d^2)` has the mean `E(c) (a + d0^2 + v)` and the mean square
/// `E(c^2) (a^2 + 2 a (d0^2 + v) + d0^4 + 6 d0^2 v + 3 v^2)`: moments of the normal distribution (derived).
#[must_use]
pub fn offset_by_temperature(oscillator: &Oscillator, room_c: f64, known_k2: f64, unknown_k2: f64) -> (f64, f64) {
    match oscillator.temperature {
        TemperatureCurve::Flat => (0.0, 0.0),
        TemperatureCurve::Band(band) => (0.0, band / DEVIATIONS),
        TemperatureCurve::Parabola { turnover_c, per_k2 } => {
            let distance = room_c - turnover_c.value;
            let variance = unknown_k2 + (turnover_c.spread / DEVIATIONS).powi(2);
            let square = distance.powi(2) + variance;
            let fourth = distance.powi(4) + 6.0 * distance.powi(2) * variance + 3.0 * variance.powi(2);
            let mean = per_k2.value * (known_k2 + square);
            let mean_square = (per_k2.value.powi(2) + (per_k2.spread / DEVIATIONS).powi(2))
                * (known_k2.powi(2) + 2.0 * known_k2 * square + fourth);
            (mean, (mean_square - mean * mean).max(0.0).sqrt())
        }
    }
}

/// Spread of the rate in a room at `room_c` on average, off from it by the scenario's swing.
#[must_use]
pub fn rate_spread(oscillator: &Oscillator, ratio: &PulseRatio, room_c: f64) -> RateSpread {
    let swing_k2 = (oscillator.room_swing_k / DEVIATIONS).powi(2);
    let (mean_by_temperature, deviation_by_temperature) = offset_by_temperature(oscillator, room_c, 0.0, swing_k2);
    let drift = ratio.drift_s_per_day();
    let day_s = SECONDS_PER_DAY + drift;
    let age_years = oscillator.age_years;
    let known = oscillator.tolerance.value + oscillator.ageing_per_year.value * age_years;
    let two = |spread: Spread| spread.spread * day_s;
    RateSpread {
        mean_s_per_day: drift + day_s * (known + mean_by_temperature),
        tolerance_s_per_day: two(oscillator.tolerance),
        ageing_s_per_day: two(oscillator.ageing_per_year) * age_years,
        temperature_s_per_day: DEVIATIONS * deviation_by_temperature * day_s,
    }
}
