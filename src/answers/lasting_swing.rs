//! The swing that a drive keeps up, steady or wandering.

use super::cycle::{FixedPoint, fixed_point_near};
use super::gain_scan::{GainScan, Probe, gain_scan};
use super::return_map::{Clock, PeriodOutcome, Return};

/// Halvings of the interval between a start that gains and one that loses: 1e-12 of it is left.
const HALVINGS: usize = 40;

/// Difference of the gains on both sides of what is left, rad, that is no jump of the map.
const NO_JUMP_RAD: f64 = 1e-9;

/// Periods that a wandering swing is let go on before it is watched, and periods for which it is.
const SETTLING_PERIODS: usize = 50;
const WATCHED_PERIODS: usize = 300;

/// A swing that goes on, as its least arcs are needed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LastingSwing {
    /// Amplitude on the right, rad; the mean one of a swing that wanders.
    pub right_rad: f64,
    /// Smallest amplitudes, right and left, rad.
    pub least_rad: (f64, f64),
    /// Whether it does not settle on one amplitude.
    pub wanders: bool,
}

impl LastingSwing {
    /// The steady swing near a guess, else the lowest that a scan finds, else the swing that wanders where the map jumps from
    /// gain to loss without a fixed point between.
    #[must_use]
    pub fn near(clock: &Clock<'_>, guess_rad: f64) -> Option<Self> {
        if let Some(point) = stable_near(clock, guess_rad) {
            return Some(Self::steady(&point));
        }
        let GainScan { probes, stable } = gain_scan(clock);
        stable.first().map(Self::steady).or_else(|| wandering(clock, &probes))
    }

    /// A limit cycle.
    #[must_use]
    pub const fn steady(point: &FixedPoint) -> Self {
        Self { right_rad: point.right_rad, least_rad: point.least_rad, wanders: false }
    }

    /// By how much the least swing exceeds the escaping arcs, rad: the lesser of both sides.
    #[must_use]
    pub fn beyond_escaping_rad(&self, clock: &Clock<'_>) -> f64 {
        let (right, left) = clock.escaping_arcs_rad();
        (self.least_rad.0 - right).min(self.least_rad.1 - left)
    }
}

/// The stable fixed point near a guess, else the lowest one that a scan finds.
#[must_use]
pub fn stable_point(clock: &Clock<'_>, guess_rad: f64) -> Option<FixedPoint> {
    stable_near(clock, guess_rad).or_else(|| gain_scan(clock).stable.into_iter().next())
}

fn stable_near(clock: &Clock<'_>, guess_rad: f64) -> Option<FixedPoint> {
    fixed_point_near(clock, guess_rad).filter(|point| point.multiplier.abs() < 1.0)
}

/// The swing about the lowest place at which gain turns to loss, by iterating the map from there; `None` where there is none, or
/// where it fails on the way.
fn wandering(clock: &Clock<'_>, probes: &[Probe]) -> Option<LastingSwing> {
    let gains = |probe: &Probe| probe.gain_rad.is_some_and(|gain| gain >= 0.0);
    let loses = |probe: &Probe| probe.gain_rad.is_some_and(|gain| gain < 0.0);
    let pair = probes.windows(2).find(|pair| gains(&pair[0]) && loses(&pair[1]))?;
    let (mut low, mut high) = (Probed::of(clock, pair[0].start_rad)?, Probed::of(clock, pair[1].start_rad)?);
    for _ in 0..HALVINGS {
        let middle = Probed::of(clock, 0.5 * (low.start_rad + high.start_rad))?;
        if middle.gain_rad() >= 0.0 { low = middle } else { high = middle }
    }
    // No jump, but a fixed point at the very edge of the starts that come round: the least disturbance ends such a swing.
    if low.gain_rad() - high.gain_rad() < NO_JUMP_RAD {
        return None;
    }
    let per_return = clock.periods_per_return();
    let (settling, watched) = (SETTLING_PERIODS.div_ceil(per_return), WATCHED_PERIODS.div_ceil(per_return));
    let (mut here, mut sum) = (low.start_rad, 0.0);
    let mut least_rad = (f64::INFINITY, f64::INFINITY);
    for number in 0..settling + watched {
        let PeriodOutcome::Returned(back) = clock.period_from(here) else { return None };
        here = back.right_rad;
        if number >= settling {
            sum += here;
            least_rad = (least_rad.0.min(back.least_rad.0), least_rad.1.min(back.least_rad.1));
        }
    }
    Some(LastingSwing { right_rad: sum / watched as f64, least_rad, wanders: true })
}

/// A start that comes round.
#[derive(Clone, Copy)]
struct Probed {
    start_rad: f64,
    back: Return,
}

impl Probed {
    fn of(clock: &Clock<'_>, start_rad: f64) -> Option<Self> {
        match clock.period_from(start_rad) {
            PeriodOutcome::Returned(back) => Some(Self { start_rad, back }),
            PeriodOutcome::Failed(_) => None,
        }
    }

    fn gain_rad(&self) -> f64 {
        self.back.right_rad - self.start_rad
    }
}
