//! Roots: of a power series over a step, and of a function in a bracket.

use super::series::{Series, TERMS, value_and_slope};

/// Half-width below which an interval is taken for its middle: far below any event time's accuracy (1e-12 s).
const NARROWEST_S: f64 = 1e-16;

/// First time in `(0, t_max]` at which the series falls from zero or above to below zero; `None` if it never does.
///
/// Sound for the polynomial itself: an interval is dropped only when a bound by its first derivative at the middle and
/// the largest second derivative excludes a root, and a root is polished only where the series is monotone or rounding.
/// A series that starts below zero crosses at once and gives 0.
#[must_use]
pub fn first_fall_through_zero(series: &Series, t_max: f64) -> Option<f64> {
    if series[0] < 0.0 {
        return Some(0.0);
    }
    first_fall_after(series, 0.0, t_max)
}

/// First time in `(t_min, t_max]`, `t_min >= 0`, at which the series falls from zero or above to below zero. Where it is
/// below zero at `t_min` it has to rise first.
#[must_use]
pub fn first_fall_after(series: &Series, t_min: f64, t_max: f64) -> Option<f64> {
    if !(t_max > t_min) {
        return None;
    }
    if lowest(series, t_max) > 0.0 {
        return None;
    }
    let bounds = Bounds::of(series, t_max);
    if bounds.lowest_slope > 0.0 {
        return None;
    }
    if bounds.highest_slope < 0.0 {
        return falls_once(series, bounds.second, t_min, t_max);
    }
    isolate(series, bounds.second, t_min, t_max)
}

/// The time in `(t_min, t_max]` at which a series that is known to fall all the way falls through zero; `None` if it is
/// below zero at `t_min` already, or not yet at `t_max`.
#[must_use]
pub fn fall_of_falling(series: &Series, t_min: f64, t_max: f64) -> Option<f64> {
    falls_once(series, Bounds::of(series, t_max).second, t_min, t_max)
}

/// A bound that the series does not fall below over `[0, t_max]`: the sum of its falling terms.
#[inline]
fn lowest(series: &Series, t_max: f64) -> f64 {
    // Even and odd powers apart, that fewer operations wait for one another.
    let square = t_max * t_max;
    let mut powers = [square, square * t_max];
    let mut sums = [series[0], (series[1] * t_max).min(0.0)];
    for n in 2..TERMS {
        sums[n % 2] += (series[n] * powers[n % 2]).min(0.0);
        powers[n % 2] *= square;
    }
    sums[0] + sums[1]
}

/// Bounds of a series over `[0, t_max]`, from its coefficients.
struct Bounds {
    lowest_slope: f64,
    highest_slope: f64,
    /// Largest second derivative, either sign.
    second: f64,
}

impl Bounds {
    #[inline]
    fn of(series: &Series, t_max: f64) -> Self {
        // Slopes times `t_max`, second derivative times `t_max^2`.
        let first = series[1] * t_max;
        let (mut lowest_slope, mut highest_slope, mut second) = (first, first, 0.0);
        // Even and odd powers apart, that fewer operations wait for one another.
        let square = t_max * t_max;
        let mut powers = [square, square * t_max];
        for n in 2..TERMS {
            let term = series[n] * powers[n % 2];
            powers[n % 2] *= square;
            let order = n as f64;
            lowest_slope += order * term.min(0.0);
            highest_slope += order * term.max(0.0);
            second += order * (order - 1.0) * term.abs();
        }
        Self { lowest_slope, highest_slope, second: second / (t_max * t_max) }
    }
}

/// Halves the step until every part is without a root or monotone.
fn isolate(series: &Series, second_bound: f64, t_min: f64, t_max: f64) -> Option<f64> {
    // Left-first search with an explicit stack of right halves; each split halves the width, so 60 levels reach any width.
    let mut pending = [(0.0, 0.0); 64];
    let mut depth = 0;
    let (mut from, mut to) = (t_min, t_max);
    loop {
        let half = 0.5 * (to - from);
        let middle = from + half;
        let (height, slope) = value_and_slope(series, middle);
        let bend = second_bound * half;
        let reach = slope.abs() * half + 0.5 * bend * half;
        let rounding = 4.0 * f64::EPSILON * size(series, to);
        // Above zero all over, or below it all over, rounding or not: no two neighbours can lose a root between them.
        let mut settled = height.abs() - reach > rounding;
        let noise = height.abs() + reach <= rounding;
        if !settled && (slope.abs() >= bend || noise || half < NARROWEST_S) {
            if let Some(t) = falls_once(series, second_bound, from, to) {
                return Some(t);
            }
            settled = true;
        }
        if settled {
            if depth == 0 {
                return None;
            }
            depth -= 1;
            (from, to) = pending[depth];
        } else {
            pending[depth.min(63)] = (middle, to);
            depth = (depth + 1).min(63);
            to = middle;
        }
    }
}

/// Sum of the terms' sizes at `t >= 0`, by which the value is rounded.
fn size(series: &Series, t: f64) -> f64 {
    series.iter().rev().fold(0.0, |sum, term| sum * t + term.abs())
}

/// The fall through zero of a monotone stretch, if it starts at zero or above and ends below: Newton's method kept inside
/// the shrinking bracket.
fn falls_once(series: &Series, second_bound: f64, mut from: f64, mut to: f64) -> Option<f64> {
    let (low, slope_low) = value_and_slope(series, to);
    if !(low < 0.0) {
        return None;
    }
    let (high, slope_high) = if from == 0.0 { (series[0], series[1]) } else { value_and_slope(series, from) };
    if !(high >= 0.0) {
        return None;
    }
    let mut t = first_guess((from, high, slope_high), (to, low, slope_low));
    for _ in 0..80 {
        let (height, slope) = value_and_slope(series, t);
        if height >= 0.0 {
            from = t;
        } else {
            to = t;
        }
        let newton = t - height / slope;
        let next = if newton > from && newton < to { newton } else { 0.5 * (from + to) };
        let moved = (next - t).abs();
        // Newton's next error is at most the second derivative's bound over twice the slope times the square of this step.
        let exact = 0.5 * second_bound * moved * moved <= f64::EPSILON * t.abs() * slope.abs() && next == newton;
        if exact || moved <= f64::EPSILON * t.abs() || next == from || next == to {
            return Some(next);
        }
        t = next;
    }
    Some(t)
}

/// Where a stretch that falls from `high >= 0` to `low < 0` is about zero, inside it: by the cubic of the time over the value
/// with the slopes at both ends, or by the straight line where they are none.
fn first_guess((from, high, slope_high): (f64, f64, f64), (to, low, slope_low): (f64, f64, f64)) -> f64 {
    let span = high - low;
    let share = high / span;
    let line = from + (to - from) * share;
    if !(slope_high < 0.0 && slope_low < 0.0) {
        return from + (to - from) * share.clamp(0.01, 0.99);
    }
    let rest = 1.0 - share;
    let (bend_high, bend_low) = (-span / slope_high - (to - from), -span / slope_low - (to - from));
    let cubic = line + share * rest * (rest * bend_high - share * bend_low);
    if cubic > from && cubic < to { cubic } else { line.clamp(from + 0.01 * (to - from), to - 0.01 * (to - from)) }
}

/// Why a bracketed solve failed.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum BracketError {
    /// Both ends have the same sign.
    #[error("no sign change between {low} and {high}")]
    NoSignChange {
        /// Lower end.
        low: f64,
        /// Upper end.
        high: f64,
    },
    /// The bracket did not shrink to the tolerance.
    #[error("no convergence in {steps} steps")]
    Slow {
        /// Steps taken.
        steps: usize,
    },
}

/// The two numbers above 0, `below` where something `holds` and `above` where it does not, brought together to within `width` of the lower one:
/// halved in ratio, as fits a quantity of unknown size.
pub fn parted_in_ratio(
    (mut below, mut above): (f64, f64),
    width: f64,
    mut holds: impl FnMut(f64) -> bool,
) -> (f64, f64) {
    while above - below > width * below {
        let between = (below * above).sqrt();
        if holds(between) { below = between } else { above = between }
    }
    (below, above)
}

/// A root of `function` between `low` and `high` to within `tolerance` in the argument.
///
/// Brent's method (R. P. Brent 1973, "Algorithms for Minimization without Derivatives", chapter 4). `low_value` and
/// `high_value` are the function's values at the ends. The tolerance bounds the argument, not the function.
///
/// # Errors
/// [`BracketError`] if the ends have the same sign or 200 steps do not suffice.
pub fn solve_bracketed(
    mut function: impl FnMut(f64) -> f64,
    (low, low_value): (f64, f64),
    (high, high_value): (f64, f64),
    tolerance: f64,
) -> Result<f64, BracketError> {
    const STEPS: usize = 200;
    let (mut a, mut fa, mut b, mut fb) = (low, low_value, high, high_value);
    if fa == 0.0 {
        return Ok(a);
    }
    if fb == 0.0 {
        return Ok(b);
    }
    if !(fa * fb < 0.0) {
        return Err(BracketError::NoSignChange { low, high });
    }
    let (mut c, mut fc) = (a, fa);
    let (mut last, mut before) = (b - a, b - a);
    for _ in 0..STEPS {
        if fc.abs() < fb.abs() {
            (a, b, c) = (b, c, b);
            (fa, fb, fc) = (fb, fc, fb);
        }
        let width = 0.5 * (c - b);
        let enough = 2.0 * f64::EPSILON * b.abs() + 0.5 * tolerance;
        if width.abs() <= enough || fb == 0.0 {
            return Ok(b);
        }
        let bisect = || (width, width);
        (last, before) = if before.abs() < enough || fa.abs() <= fb.abs() {
            bisect()
        } else {
            let ratio = fb / fa;
            let (mut p, mut q) = if a == c {
                (2.0 * width * ratio, 1.0 - ratio)
            } else {
                let (u, v) = (fa / fc, fb / fc);
                (ratio * (2.0 * width * u * (u - v) - (b - a) * (v - 1.0)), (u - 1.0) * (v - 1.0) * (ratio - 1.0))
            };
            if p > 0.0 {
                q = -q;
            }
            p = p.abs();
            if 2.0 * p < (3.0 * width * q - (enough * q).abs()).min((before * q).abs()) {
                (p / q, last)
            } else {
                bisect()
            }
        };
        (a, fa) = (b, fb);
        b += if last.abs() > enough { last } else { enough.copysign(width) };
        fb = function(b);
        if fb * fc > 0.0 {
            (c, fc) = (a, fa);
            (last, before) = (b - a, b - a);
        }
    }
    Err(BracketError::Slow { steps: STEPS })
}
