//! A swing that goes on without settling on one amplitude: what it comes to on the mean, and between what.

use crate::clock::build::Built;
use crate::clock::rate_s_per_day;

use super::lasting_swing::LastingSwing;
use super::measure::{Measured, TurnExtremes, measure_returns};
use super::return_map::Clock;
use super::steady::{EnergyPerBeat, energy_per_beat, q_factor};

/// Periods over which it is measured.
const MEASURED_PERIODS: usize = 600;

/// Means and extremes of a swing that wanders.
#[derive(Debug, Clone)]
pub struct WanderingSwing {
    /// Its mean period.
    pub measured: Measured,
    /// Extremes over the periods measured.
    pub extremes: TurnExtremes,
    /// Rate of the mean period, s/day, positive gains; `None` without a train.
    pub rate_s_per_day: Option<f64>,
    /// Rates of the slowest and the fastest period, s/day; `None` likewise.
    pub rate_range_s_per_day: Option<(f64, f64)>,
    /// `2 pi` stored over lost per period at the mean amplitude, the pendulum alone.
    pub q_factor: Option<f64>,
    /// Energies of the mean beat.
    pub energy: EnergyPerBeat,
}

impl WanderingSwing {
    /// The swing as its least arcs are needed.
    #[must_use]
    pub fn lasting(&self) -> LastingSwing {
        let TurnExtremes { right_rad, left_rad, .. } = self.extremes;
        LastingSwing { right_rad: self.measured.right_rad, least_rad: (right_rad.0, left_rad.0), wanders: true }
    }

    /// That of a built clock about an amplitude on the right, rad; `None` where it does not go on there.
    #[must_use]
    pub fn of(built: &Built, clock: &Clock<'_>, about_rad: f64) -> Option<Self> {
        let returns = MEASURED_PERIODS.div_ceil(clock.periods_per_return());
        let measured = measure_returns(clock, about_rad, returns, None).ok()?;
        let extremes = measured.turn?;
        let rate = |period_s: f64| built.train_period_s().map(|required_s| rate_s_per_day(required_s, period_s));
        let (shortest_s, longest_s) = extremes.period_s;
        Some(Self {
            extremes,
            rate_s_per_day: rate(measured.period_s),
            rate_range_s_per_day: rate(longest_s).zip(rate(shortest_s)),
            q_factor: q_factor(&built.mechanism.pendulum, measured.semi_arc_rad()),
            energy: energy_per_beat(built, &measured.ledger, measured.stored_gain_j),
            measured,
        })
    }
}
