//! The clock: design, parts and surroundings, and what they come to at the escape arbor.

pub mod action;
pub mod air;
pub mod bearing;
pub mod bed;
pub mod bob;
pub mod build;
pub mod cautions;
pub mod conditions;
pub mod depthing;
pub mod design;
pub mod drive;
pub mod drive_report;
pub mod escapement;
pub mod margin_warnings;
pub mod margins;
pub mod materials;
pub mod mechanism;
pub mod mesh;
pub mod motor;
mod notes;
pub mod out_of_true;
pub mod part_sizes;
pub mod pendulum;
pub mod place;
pub mod places;
pub mod port;
pub mod printer;
pub mod printing;
pub mod reprint;
mod root;
pub mod scale;
pub mod standing;
pub mod stokes;
pub mod surroundings;
pub mod suspension;
mod swing;
pub mod train;
pub mod weather;

/// Seconds in a day, to which rates refer.
pub const SECONDS_PER_DAY: f64 = 86_400.0;

/// Rate of a clock with the full period `period_s` whose train requires `required_s`, s/day; positive gains.
#[must_use]
pub fn rate_s_per_day(required_s: f64, period_s: f64) -> f64 {
    SECONDS_PER_DAY * (required_s / period_s - 1.0)
}
