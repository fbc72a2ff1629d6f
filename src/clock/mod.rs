//! The clock: design, parts and surroundings, and what they come to at the escape arbor.

pub mod ageing;
pub mod build;
mod built;
pub mod cautions;
pub mod crutch_curves;
pub mod design;
pub mod drive_level;
pub mod environment;
pub mod escapement;
pub mod friction_notes;
pub mod frictions;
pub mod materials;
pub mod mechanism;
pub mod motor;
pub mod notes;
pub mod other_frictions;
pub mod pendulum;
pub mod printing;
pub mod side;
pub mod strength;
pub mod support;
pub mod train;
pub mod transform;
pub mod workshop;

/// Seconds in an hour, in which the minute hand turns once.
pub const SECONDS_PER_HOUR: f64 = 3600.0;

/// Seconds in a day, to which rates refer.
pub const SECONDS_PER_DAY: f64 = 86_400.0;

/// Seconds in a year, the Julian one of 365.25 days.
pub const SECONDS_PER_YEAR: f64 = environment::weather::DAYS_PER_YEAR * SECONDS_PER_DAY;

/// Rate of a clock with the full period `period_s` whose train requires `required_s`, s/day; positive gains.
#[must_use]
pub fn rate_s_per_day(required_s: f64, period_s: f64) -> f64 {
    SECONDS_PER_DAY * (required_s / period_s - 1.0)
}
