//! The length of a column at which temperature leaves the rate alone.

use crate::clock::build::{BuildError, build};
use crate::clock::design::{Design, PendulumDesign, PendulumParts, Place, Suspension};
use crate::clock::environment::InRoom;
use crate::numerics::root::solve_bracketed;

use super::no_answer::NoAnswer;
use super::solve::Solver;

/// Half the span of temperature over which the period is to stay the same, K.
pub const SPAN_K: f64 = 5.0;

/// Longest column tried, in depths of the bob.
const LONGEST: f64 = 3.0;

/// Shortest rod that a column may leave, as a share of the bob's depth.
const LEAST_ROD: f64 = 0.02;

/// Accuracy of the length, m.
const TOLERANCE_M: f64 = 1e-7;

/// Why a column has no compensating length.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NotCompensated {
    /// The clock cannot be built.
    #[error(transparent)]
    Build(BuildError),
    /// There is no steady swing whose period could be kept.
    #[error("the clock does not keep going, so it has no rate to compensate")]
    Stops,
    /// No length does it.
    #[error(
        "no length between {:.1} mm and {:.1} mm compensates: the rate changes by {} s/day/K at the first and {} s/day/K at the second",
        1e3 * .lengths_m[0], 1e3 * .lengths_m[1], shown(.s_per_day_per_k[0]), shown(.s_per_day_per_k[1])
    )]
    NoLength {
        /// Lengths tried.
        lengths_m: [f64; 2],
        /// What a kelvin does to the rate there.
        s_per_day_per_k: [f64; 2],
    },
}

fn shown(rate: f64) -> String {
    format!("{rate:+.3}")
}

/// The design, as made, with its compensating column given the length at which the steady period is the same [`SPAN_K`] below and above the
/// temperature of `made`; the same design where no column is to compensate.
///
/// All that temperature moves counts, the air among it, through the limit cycle. The bob stays at its depth, so that the column takes its length
/// from the rod.
///
/// # Errors
/// [`NotCompensated`].
pub fn compensated(made: &Design) -> Result<Design, NotCompensated> {
    let PendulumDesign::Parts(parts) = &made.pendulum else { return Ok(made.clone()) };
    let Some(number) = parts.columns.iter().position(|column| column.compensates) else { return Ok(made.clone()) };
    let longest_m = if parts.columns[number].up { LONGEST * parts.bob.centre_m } else { longest_down_m(parts) };
    let mut failure = None;
    let mut by_kelvin = |length_m: f64| match rate_by_kelvin(&with_length(made, number, length_m)) {
        Ok(rate) => rate,
        Err(error) => {
            failure.get_or_insert(error);
            f64::NAN
        }
    };
    let ends = (by_kelvin(0.0), by_kelvin(longest_m));
    let found = solve_bracketed(by_kelvin, (0.0, ends.0), (longest_m, ends.1), TOLERANCE_M);
    if let Some(failure) = failure {
        return Err(failure);
    }
    match found {
        Ok(length_m) => Ok(with_length(made, number, length_m)),
        Err(_) => Err(NotCompensated::NoLength { lengths_m: [0.0, longest_m], s_per_day_per_k: [ends.0, ends.1] }),
    }
}

/// The longest that a column which leads down can be before no rod is left.
fn longest_down_m(parts: &PendulumParts) -> f64 {
    let hangs_from_m = match parts.suspension {
        Suspension::StripSpring { length_m, .. } => length_m,
        _ => 0.0,
    };
    let rod_m = parts.first_column_begins_m() - hangs_from_m;
    (rod_m - LEAST_ROD * parts.bob.centre_m).max(0.0)
}

fn with_length(made: &Design, number: usize, length_m: f64) -> Design {
    let mut design = made.clone();
    if let PendulumDesign::Parts(parts) = &mut design.pendulum
        && let Some(column) = parts.columns.get_mut(number)
    {
        column.length_m = Some(length_m);
    }
    design
}

/// What a kelvin does to the rate of a design around the temperature at which it was made, s/day/K, positive gains.
///
/// # Errors
/// [`NotCompensated::Build`], [`NotCompensated::Stops`].
pub fn rate_by_kelvin(made: &Design) -> Result<f64, NotCompensated> {
    let period = |kelvin: f64| {
        let temperature_c = made.sizes.under.temperature_c + kelvin;
        let place = Place { temperature_c, relative_humidity: made.sizes.under.relative_humidity, ..made.place };
        let design = InRoom::at_home(&Design { place, ..made.clone() });
        let built = build(&design).map_err(NotCompensated::Build)?;
        match Solver::new(&built).any_swing() {
            Ok(swing) => Ok(swing.measured.period_s),
            Err(NoAnswer::Build(error)) => Err(NotCompensated::Build(error)),
            Err(_) => Err(NotCompensated::Stops),
        }
    };
    let (cold, warm) = (period(-SPAN_K)?, period(SPAN_K)?);
    Ok(crate::clock::rate_s_per_day(cold, warm) / (2.0 * SPAN_K))
}
