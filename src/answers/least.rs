//! The least drive with which a clock keeps going.

use crate::numerics::root::solve_bracketed;

use super::clock::Clock;
use super::cycle::{FixedPoint, fixed_point_near};
use super::landscape::{best_gain, golden, landscape, scan};

/// Accuracy of the least drive, relative.
const DRIVE_TOLERANCE: f64 = 1e-5;

/// The best start and its gain at successive drives: a full scan at first and whenever the best start has moved away from
/// the last one's neighbourhood.
struct BestStart {
    last_rad: Option<f64>,
}

impl BestStart {
    fn gain(&mut self, clock: &Clock<'_>) -> f64 {
        const WINDOW: f64 = 0.12;
        if let Some(last) = self.last_rad {
            let (low, high) = (last * (1.0 - WINDOW), last * (1.0 + WINDOW));
            let probe = golden(clock, low, high);
            let inside = probe.start_rad > low * 1.01 && probe.start_rad < high * 0.99;
            if let (Some(gain), true) = (probe.gain_rad, inside) {
                self.last_rad = Some(probe.start_rad);
                return gain;
            }
        }
        let probe = best_gain(clock, &scan(clock));
        self.last_rad = probe.map(|probe| probe.start_rad);
        probe.and_then(|probe| probe.gain_rad).unwrap_or(f64::NEG_INFINITY)
    }
}

/// The least drive, by any measure of it (weight, torque), with which some start gains amplitude; `None` if none up to a
/// thousand times `around` does.
///
/// `with` makes the clock for a drive. Relative accuracy 1e-5.
#[must_use]
pub fn least_drive<'m>(with: &impl Fn(f64) -> Clock<'m>, around: f64) -> Option<f64> {
    let mut best = BestStart { last_rad: None };
    let mut top = |drive: f64| best.gain(&with(drive));
    let mut high = around;
    let mut gain_high = top(high);
    let mut steps = 0;
    while !(gain_high > 0.0) {
        high *= 1.5;
        gain_high = top(high);
        steps += 1;
        if steps > 17 {
            return None;
        }
    }
    let mut low = high;
    let mut gain_low = gain_high;
    steps = 0;
    while gain_low > 0.0 {
        (high, gain_high) = (low, gain_low);
        low /= 1.5;
        gain_low = top(low);
        steps += 1;
        if steps > 60 {
            return Some(low);
        }
    }
    zero_of(top, (low, gain_low), (high, gain_high))
}

/// The drive between `low` and `high` at which `excess` becomes positive, relative accuracy 1e-5; it may be infinitely
/// negative below some drive, where no start comes round at all.
fn zero_of(mut excess: impl FnMut(f64) -> f64, mut low: (f64, f64), mut high: (f64, f64)) -> Option<f64> {
    while !low.1.is_finite() && high.0 - low.0 > DRIVE_TOLERANCE * high.0 {
        let middle = (low.0 * high.0).sqrt();
        let value = excess(middle);
        if value > 0.0 {
            high = (middle, value);
        } else {
            low = (middle, value);
        }
    }
    if !low.1.is_finite() {
        return Some(high.0);
    }
    solve_bracketed(excess, low, high, DRIVE_TOLERANCE * high.0).ok()
}

/// The least drive with which the steady swing exceeds the escaping arcs by `margin_rad` on both sides.
///
/// `least` is the bare least drive, `going` a drive and its fixed point. `None` if up to a thousand times `least` is not
/// enough.
#[must_use]
pub fn least_drive_with_margin<'m>(
    with: &impl Fn(f64) -> Clock<'m>,
    least: f64,
    going: (f64, FixedPoint),
    margin_rad: f64,
) -> Option<f64> {
    let clearance = |point: &FixedPoint, clock: &Clock<'_>| {
        let (right, left) = clock.escaping_arcs_rad();
        (point.least_rad.0 - right).min(point.least_rad.1 - left) - margin_rad
    };
    let mut guess = going.1.right_rad;
    let mut excess = |drive: f64| {
        let clock = with(drive);
        match stable_point(&clock, guess) {
            Some(point) => {
                guess = point.right_rad;
                clearance(&point, &clock)
            }
            None => f64::NEG_INFINITY,
        }
    };
    let mut low = least * (1.0 + 2.0 * DRIVE_TOLERANCE);
    let mut at_low = excess(low);
    if at_low >= 0.0 {
        return Some(least);
    }
    let mut high = going.0.max(low);
    let mut at_high = excess(high);
    let mut steps = 0;
    while !(at_high > 0.0) {
        (low, at_low) = (high, at_high);
        high *= 1.3;
        at_high = excess(high);
        steps += 1;
        if steps > 26 {
            return None;
        }
    }
    zero_of(excess, (low, at_low), (high, at_high))
}

/// The stable fixed point near a guess, else the lowest one that a scan finds.
#[must_use]
pub fn stable_point(clock: &Clock<'_>, guess_rad: f64) -> Option<FixedPoint> {
    fixed_point_near(clock, guess_rad)
        .filter(|point| point.multiplier.abs() < 1.0)
        .or_else(|| landscape(clock).stable.into_iter().next())
}
