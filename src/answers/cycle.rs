//! The limit cycle: the fixed point of the return map, its slope and the starts that are drawn to it.

use crate::numerics::root::solve_bracketed;

use super::gain_scan::Probe;
use super::return_map::{Clock, PeriodOutcome, Return};

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

/// Slope of the return map at an amplitude, by central difference; just above the smallest start that comes round by three places from
/// there on upwards (the parabola's slope).
#[must_use]
pub fn slope_at(clock: &Clock<'_>, amplitude_rad: f64) -> Option<f64> {
    let span = SLOPE_SPAN * amplitude_rad;
    let value = |at: f64| clock.period_from(at).gain_rad(at);
    let high = value(amplitude_rad + span)?;
    let difference = match value(amplitude_rad - span) {
        Some(low) => high - low,
        None => 4.0 * high - 3.0 * value(amplitude_rad)? - value(amplitude_rad + 2.0 * span)?,
    };
    Some(1.0 + difference / (2.0 * span))
}

/// Step, relative, after which the secant's next error is below the map's rounding.
const LAST_STEP: f64 = 1e-9;

/// Step, relative, that need not be taken where the one before was at most [`CLOSE_STEP`]: the line through the last two places is
/// as good as one more period, the error being of the order of the product of the two.
const KNOWN_STEP: f64 = 1e-8;
const CLOSE_STEP: f64 = 1e-4;

/// Most that one step changes the amplitude, relative.
const LONGEST_STEP: f64 = 0.3;

/// The fixed point that a secant method finds from `guess_rad`; `None` if it leaves the starts that come round, or finds
/// none. Stable and unstable ones alike.
#[must_use]
pub fn fixed_point_near(clock: &Clock<'_>, guess_rad: f64) -> Option<FixedPoint> {
    let here = TriedStart::at(clock, guess_rad)?;
    // The first slope: the loss per period of a free pendulum would do; a difference costs one more period and is safe.
    let beside = |share: f64| TriedStart::at(clock, guess_rad * share);
    // Just above the smallest start that comes round the one below it does not.
    let before = beside(1.0 - 1e-4).or_else(|| beside(1.0 + 1e-4))?;
    converge(clock, before, here)
}

/// Product of the last two steps, relative, from which on the line through the last two places is as good as another period: the error is that
/// product times the bend of the energy's gain over the energy, which is next to none.
const LAST_STEPS: f64 = 1e-9;

/// A slope of the map this near 1 is taken anew before a fixed point counts as stable.
const NEARLY_NEUTRAL: f64 = 0.01;

/// The stable fixed point near a guess, by secants from the slope that the map of a clock much like it has; `None` where there is none. Its
/// multiplier is that of the last two places, good to some 1e-3, its amplitude good to 1e-9 of itself.
#[must_use]
pub(super) fn stable_point_sloped(clock: &Clock<'_>, guess_rad: f64, multiplier: f64) -> Option<FixedPoint> {
    let mut here = TriedStart::at(clock, guess_rad)?;
    // Of the energy's gain `a g` over the energy `a^2`.
    let mut slope = 0.5 * (multiplier - 1.0 + here.gain_rad / guess_rad);
    let mut before = None::<TriedStart>;
    for _ in 0..12 {
        let (energy, gain) = here.as_energy();
        let root_rad = (energy - gain / slope).max(0.0).sqrt();
        let step_rad = root_rad - here.at_rad;
        if !(slope < 0.0) || step_rad.abs() > here.at_rad * LONGEST_STEP {
            return None;
        }
        let product = |before: &TriedStart| step_rad * (here.at_rad - before.at_rad);
        if let Some(before) = before.filter(|before| product(before).abs() <= LAST_STEPS * here.at_rad * here.at_rad) {
            let back = between(&before, &here, root_rad)?.back?;
            let found = 1.0 + 2.0 * slope;
            let certain = found.abs() < 1.0 - NEARLY_NEUTRAL;
            let multiplier = if certain { found } else { slope_at(clock, root_rad)? };
            let (left_rad, least_rad) = (back.left_rad, back.least_rad);
            return (multiplier.abs() < 1.0).then_some(FixedPoint {
                right_rad: root_rad,
                left_rad,
                least_rad,
                multiplier,
            });
        }
        let there = TriedStart::at(clock, root_rad)?;
        let (next_energy, next_gain) = there.as_energy();
        slope = (next_gain - gain) / (next_energy - energy);
        (before, here) = (Some(here), there);
    }
    None
}

/// An amplitude and its gain in one period.
#[derive(Clone, Copy)]
struct TriedStart {
    at_rad: f64,
    gain_rad: f64,
    /// The period itself, where it is known.
    back: Option<Return>,
}

impl TriedStart {
    /// The period from an amplitude; `None` if it is not completed.
    fn at(clock: &Clock<'_>, at_rad: f64) -> Option<Self> {
        let PeriodOutcome::Returned(back) = clock.period_from(at_rad) else { return None };
        Some(Self { at_rad, gain_rad: back.right_rad - at_rad, back: Some(back) })
    }

    /// The amplitude squared, which is as the swing's energy, and the gain times the amplitude, which is as the energy's gain.
    /// Work of the drive and losses in proportion to the speed make the second linear in the first.
    fn as_energy(&self) -> (f64, f64) {
        (self.at_rad * self.at_rad, self.at_rad * self.gain_rad)
    }
}

/// The fixed point by secants of the energy's gain over the energy.
fn converge(clock: &Clock<'_>, mut before: TriedStart, mut here: TriedStart) -> Option<FixedPoint> {
    let mut passed = vec![before, here];
    for _ in 0..40 {
        let ((x, y), (x_before, y_before)) = (here.as_energy(), before.as_energy());
        let slope = (y - y_before) / (x - x_before);
        if here.gain_rad == 0.0 {
            return finish(clock, here, &passed);
        }
        if slope == 0.0 || !slope.is_finite() {
            return None;
        }
        let far = here.at_rad * LONGEST_STEP;
        let root = (x - y / slope).max(0.0).sqrt();
        if here.gain_rad.abs() <= NO_GAIN_RAD
            && (root - here.at_rad).abs() <= KNOWN_STEP * here.at_rad
            && (here.at_rad - before.at_rad).abs() <= CLOSE_STEP * here.at_rad
            && let Some(there) = between(&before, &here, root)
        {
            return finish(clock, there, &passed);
        }
        let mut next = root.clamp(here.at_rad - far, here.at_rad + far);
        let mut found = TriedStart::at(clock, next);
        let mut tries = 0;
        while found.is_none() && tries < 12 {
            next = 0.5 * (here.at_rad + next);
            found = TriedStart::at(clock, next);
            tries += 1;
        }
        let there = found?;
        let moved = (next - here.at_rad).abs();
        if moved <= AMPLITUDE_TOLERANCE_RAD || moved <= LAST_STEP * next && there.gain_rad.abs() <= NO_GAIN_RAD {
            return finish(clock, there, &passed);
        }
        passed.push(there);
        (before, here) = (here, there);
    }
    finish(clock, here, &passed)
}

/// The place without gain a little beyond two places, its period by the straight line through theirs; `None` where theirs are not known.
fn between(before: &TriedStart, here: &TriedStart, at_rad: f64) -> Option<TriedStart> {
    let (back, back_before) = (here.back?, before.back?);
    let share = (at_rad - here.at_rad) / (here.at_rad - before.at_rad);
    let line = |value: f64, value_before: f64| value + share * (value - value_before);
    let back = Return {
        right_rad: at_rad,
        left_rad: line(back.left_rad, back_before.left_rad),
        least_rad: (line(back.least_rad.0, back_before.least_rad.0), line(back.least_rad.1, back_before.least_rad.1)),
        beyond_rad: line(back.beyond_rad, back_before.beyond_rad),
        rested: back.rested,
    };
    Some(TriedStart { at_rad, gain_rad: 0.0, back: Some(back) })
}

/// Distances, relative, at which a place passed on the way to a fixed point serves for the slope there: nearer ones are rounding.
const SLOPE_REACH: std::ops::RangeInclusive<f64> = 1e-6..=2e-4;

/// Error of the slope that passes.
const SLOPE_TOLERANCE: f64 = 1e-9;

/// Slope of the return map at a fixed point by the polynomial of the energy's gain through it and the three nearest places passed on
/// the way; `None` where the last of them still matters.
fn slope_by(root: &TriedStart, passed: &[TriedStart]) -> Option<f64> {
    let away = |place: &TriedStart| (place.at_rad - root.at_rad).abs() / root.at_rad;
    let mut near: Vec<&TriedStart> = passed.iter().filter(|place| away(place) >= *SLOPE_REACH.start()).collect();
    near.sort_by(|a, b| away(a).total_cmp(&away(b)));
    let [first, second, third, ..] = near[..] else { return None };
    if !SLOPE_REACH.contains(&away(first)) {
        return None;
    }
    // Divided differences from the root on, where the gain is none; half the gain's slope is that of the energy's.
    let [at_root, first, second, third] = [root, first, second, third].map(TriedStart::as_energy);
    let chord = |a: (f64, f64), b: (f64, f64)| (a.1 - b.1) / (a.0 - b.0);
    let (slope, bend_near, bend_far) = {
        let (one, two, three) = (chord(at_root, first), chord(first, second), chord(second, third));
        (one, (one - two) / (at_root.0 - second.0), (two - three) / (first.0 - third.0))
    };
    let twist = (bend_near - bend_far) / (at_root.0 - third.0);
    let last = twist * (at_root.0 - first.0) * (at_root.0 - second.0);
    let found = 1.0 + 2.0 * (slope + bend_near * (at_root.0 - first.0) + last);
    (2.0 * last.abs() <= SLOPE_TOLERANCE && found.is_finite()).then_some(found)
}

fn finish(clock: &Clock<'_>, place: TriedStart, passed: &[TriedStart]) -> Option<FixedPoint> {
    if place.gain_rad.abs() > NO_GAIN_RAD {
        return None;
    }
    let amplitude_rad = place.at_rad;
    let back = place.back.or_else(|| TriedStart::at(clock, amplitude_rad)?.back)?;
    let multiplier = slope_by(&place, passed).or_else(|| slope_at(clock, amplitude_rad))?;
    Some(FixedPoint { right_rad: amplitude_rad, left_rad: back.left_rad, least_rad: back.least_rad, multiplier })
}

/// The fixed point in a bracket; `None` if the sign changes by a jump of the map.
#[must_use]
pub fn refine(clock: &Clock<'_>, low: (f64, f64), high: (f64, f64)) -> Option<FixedPoint> {
    let [before, here] = [low, high].map(|(at_rad, gain_rad)| TriedStart { at_rad, gain_rad, back: None });
    if let Some(point) = converge(clock, before, here).filter(|point| (low.0..=high.0).contains(&point.right_rad)) {
        return Some(point);
    }
    let gain = |at: f64| clock.period_from(at).gain_rad(at).unwrap_or(f64::MIN_POSITIVE.copysign(low.1));
    let root = solve_bracketed(gain, low, high, AMPLITUDE_TOLERANCE_RAD).ok()?;
    finish(clock, TriedStart::at(clock, root)?, &[])
}

/// The smallest start on the right that is drawn to the stable point, rad: below it the amplitude falls or the wheel does
/// not come round. Bisected to 1e-10 rad between a start that is drawn to it and one that is not.
#[must_use]
pub fn least_start_rad(clock: &Clock<'_>, point: &FixedPoint, probes: &[Probe]) -> f64 {
    let drawn = |start: f64| clock.period_from(start).gain_rad(start).is_some_and(|gain| gain > 0.0);
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
