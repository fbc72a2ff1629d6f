//! The limit cycle: the fixed point of the return map, its slope and the starts that are drawn to it.

use crate::numerics::root::solve_bracketed;

use super::clock::{Clock, Passage, Return};
use super::landscape::Probe;

/// A fixed point of the return map.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FixedPoint {
    /// Amplitude on the right, rad.
    pub right_rad: f64,
    /// Amplitude on the left, rad.
    pub left_rad: f64,
    /// Smallest amplitudes over the return, right and left, rad: those above, unless the teeth differ.
    pub least_rad: (f64, f64),
    /// Slope of the return map there (over a whole turn of a wheel whose teeth differ).
    pub multiplier: f64,
}

/// Accuracy of a fixed point's amplitude, rad; the map itself is good to about 1e-15.
const AMPLITUDE_TOLERANCE_RAD: f64 = 1e-14;

/// Gain of amplitude in one period that counts as none, rad.
const NO_GAIN_RAD: f64 = 1e-11;

/// Half the span over which the map's slope is taken, relative to the amplitude: error of order 1e-10 both from the
/// map's bend and from its rounding.
const SLOPE_SPAN: f64 = 1e-5;

/// Slope of the return map at an amplitude, by central difference.
#[must_use]
pub fn slope_at(clock: &Clock<'_>, amplitude_rad: f64) -> Option<f64> {
    let span = SLOPE_SPAN * amplitude_rad;
    let value = |at: f64| clock.passage(at).gain_rad(at);
    let (high, low) = (value(amplitude_rad + span)?, value(amplitude_rad - span)?);
    Some(1.0 + (high - low) / (2.0 * span))
}

/// Step, relative, after which the secant's next error is below the map's rounding.
const LAST_STEP: f64 = 1e-9;

/// Most that one step changes the amplitude, relative.
const LONGEST_STEP: f64 = 0.3;

/// The fixed point that a secant method finds from `guess_rad`; `None` if it leaves the starts that come round, or finds
/// none. Stable and unstable ones alike.
#[must_use]
pub fn fixed_point_near(clock: &Clock<'_>, guess_rad: f64) -> Option<FixedPoint> {
    let here = Place::at(clock, guess_rad)?;
    // The first slope: the loss per period of a free pendulum would do; a difference costs one more period and is safe.
    let before = Place::at(clock, guess_rad * (1.0 - 1e-4))?;
    settle(clock, before, here)
}

/// An amplitude and its gain in one period.
#[derive(Clone, Copy)]
struct Place {
    at_rad: f64,
    gain_rad: f64,
    /// The period itself, where it is known.
    back: Option<Return>,
}

impl Place {
    /// The period from an amplitude; `None` if it is not completed.
    fn at(clock: &Clock<'_>, at_rad: f64) -> Option<Self> {
        let Passage::Returned(back) = clock.passage(at_rad) else { return None };
        Some(Self { at_rad, gain_rad: back.right_rad - at_rad, back: Some(back) })
    }

    /// The amplitude squared, which is as the swing's energy, and the gain times the amplitude, which is as the energy's gain.
    /// Work of the drive and losses in proportion to the speed make the second linear in the first.
    fn as_energy(&self) -> (f64, f64) {
        (self.at_rad * self.at_rad, self.at_rad * self.gain_rad)
    }
}

/// The fixed point by secants of the energy's gain over the energy.
fn settle(clock: &Clock<'_>, mut before: Place, mut here: Place) -> Option<FixedPoint> {
    for _ in 0..40 {
        let ((x, y), (x_before, y_before)) = (here.as_energy(), before.as_energy());
        let slope = (y - y_before) / (x - x_before);
        if here.gain_rad == 0.0 {
            return finish(clock, here);
        }
        if slope == 0.0 || !slope.is_finite() {
            return None;
        }
        let far = here.at_rad * LONGEST_STEP;
        let root = (x - y / slope).max(0.0).sqrt();
        let mut next = root.clamp(here.at_rad - far, here.at_rad + far);
        let mut found = Place::at(clock, next);
        let mut tries = 0;
        while found.is_none() && tries < 12 {
            next = 0.5 * (here.at_rad + next);
            found = Place::at(clock, next);
            tries += 1;
        }
        let there = found?;
        let moved = (next - here.at_rad).abs();
        if moved <= AMPLITUDE_TOLERANCE_RAD || moved <= LAST_STEP * next && there.gain_rad.abs() <= NO_GAIN_RAD {
            return finish(clock, there);
        }
        (before, here) = (here, there);
    }
    finish(clock, here)
}

fn finish(clock: &Clock<'_>, place: Place) -> Option<FixedPoint> {
    if place.gain_rad.abs() > NO_GAIN_RAD {
        return None;
    }
    let amplitude_rad = place.at_rad;
    let back = place.back.or_else(|| Place::at(clock, amplitude_rad)?.back)?;
    let multiplier = slope_at(clock, amplitude_rad)?;
    Some(FixedPoint { right_rad: amplitude_rad, left_rad: back.left_rad, least_rad: back.least_rad, multiplier })
}

/// The fixed point in a bracket; `None` if the sign changes by a jump of the map.
#[must_use]
pub fn refine(clock: &Clock<'_>, low: (f64, f64), high: (f64, f64)) -> Option<FixedPoint> {
    let [before, here] = [low, high].map(|(at_rad, gain_rad)| Place { at_rad, gain_rad, back: None });
    if let Some(point) = settle(clock, before, here).filter(|point| (low.0..=high.0).contains(&point.right_rad)) {
        return Some(point);
    }
    let gain = |at: f64| clock.passage(at).gain_rad(at).unwrap_or(f64::MIN_POSITIVE.copysign(low.1));
    let root = solve_bracketed(gain, low, high, AMPLITUDE_TOLERANCE_RAD).ok()?;
    finish(clock, Place::at(clock, root)?)
}

/// The smallest start on the right that is drawn to the stable point, rad: below it the amplitude falls or the wheel does
/// not come round. Bisected to 1e-10 rad between a start that is drawn to it and one that is not.
#[must_use]
pub fn least_start_rad(clock: &Clock<'_>, point: &FixedPoint, probes: &[Probe]) -> f64 {
    let drawn = |start: f64| clock.passage(start).gain_rad(start).is_some_and(|gain| gain > 0.0);
    let below: Vec<f64> = probes.iter().map(|probe| probe.start_rad).filter(|&start| start < point.right_rad).collect();
    let mut good = point.right_rad;
    let mut bad = 0.0;
    for &start in below.iter().rev() {
        if drawn(start) {
            good = start;
        } else {
            bad = start;
            break;
        }
    }
    if bad == 0.0 {
        // Drawn in from the smallest probe: go on down, for a clock may start itself.
        for _ in 0..40 {
            let next = 0.7 * good;
            if drawn(next) {
                good = next;
            } else {
                bad = next;
                break;
            }
        }
    }
    while good - bad > 1e-10 {
        let middle = 0.5 * (good + bad);
        if drawn(middle) { good = middle } else { bad = middle }
    }
    good
}
