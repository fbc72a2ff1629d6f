//! The least drive with which the swing exceeds the escaping arcs by a margin.

use std::cell::Cell;

use nalgebra::{Matrix2, Vector2};

use crate::numerics::root::solve_bracketed;

use super::lasting_swing::LastingSwing;
use super::least_drive::DRIVE_TOLERANCE;
use super::return_map::{Clock, PeriodOutcome};

/// Drives below the one with the margin that are looked at where the swing wanders under some.
const LOOKED_AT_BELOW: usize = 24;

/// Most steps of start and drive together, the first differences and the longest step, as shares of the square of the swing and of the drive.
const MOST_TRIED: usize = 12;
const FIRST_STEP: f64 = 2e-3;
const LONGEST_STEP: f64 = 2.0;

/// The drive between `low` and `high` at which `excess` becomes positive, to a relative accuracy of `tolerance`; it may be infinitely
/// negative below some drive, where no start comes round at all.
pub(super) fn zero_of(
    mut excess: impl FnMut(f64) -> f64,
    mut low: (f64, f64),
    mut high: (f64, f64),
    tolerance: f64,
) -> Option<f64> {
    while !low.1.is_finite() && high.0 - low.0 > tolerance * high.0 {
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
    solve_bracketed(excess, low, high, tolerance * high.0).ok()
}

/// The least drive with which the swing exceeds the escaping arcs by `margin_rad` on both sides: the steady one, or the least of
/// one that wanders.
///
/// `least` is the bare least drive, `going` a drive and its steady amplitude on the right, rad. `None` if up to a thousand times `least` is not
/// enough.
#[must_use]
pub fn least_drive_with_margin<'m>(
    with: &impl Fn(f64) -> Clock<'m>,
    least: f64,
    going: (f64, f64),
    margin_rad: f64,
) -> Option<f64> {
    if with(going.0).periods_per_return() > 1
        && let Some(found) = by_start_and_drive(with, least, going, margin_rad)
    {
        return Some(found);
    }
    let mut guess = going.1;
    let wandered = Cell::new(false);
    let mut excess = |drive: f64| {
        let clock = with(drive);
        let Some(swing) = LastingSwing::near(&clock, guess) else { return f64::NEG_INFINITY };
        guess = swing.right_rad;
        wandered.set(wandered.get() || swing.wanders);
        swing.beyond_escaping_rad(&clock) - margin_rad
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
    let found = zero_of(&mut excess, (low, at_low), (high, at_high), DRIVE_TOLERANCE)?;
    // Where the swing wanders under some drives it need not grow with the drive: the margin may be cleared by less, too.
    if wandered.get() {
        let ratio = (found / low).powf(1.0 / LOOKED_AT_BELOW as f64);
        for _ in 1..LOOKED_AT_BELOW {
            let next = low * ratio;
            let there = excess(next);
            if there > 0.0 {
                return zero_of(excess, (low, at_low), (next, there), DRIVE_TOLERANCE);
            }
            (low, at_low) = (next, there);
        }
    }
    Some(found)
}

/// The same by start and drive together, from the drive under which the clock goes steadily; `None` where that does not lead to a steady swing.
///
/// The square of the swing is as its energy: the energy's gain is nearly linear in it and in the drive, and so is the square of what the swing has
/// beyond the escaping arcs. Two steps of Newton's method with Broyden's first update (as in [`edge_start`](super::edge_start)) are near enough
/// already, where each swing by itself takes half a dozen returns.
fn by_start_and_drive<'m>(
    with: &impl Fn(f64) -> Clock<'m>,
    least: f64,
    (drive, right_rad): (f64, f64),
    margin_rad: f64,
) -> Option<f64> {
    let scale = Vector2::new(right_rad * right_rad, drive);
    let at = |place: Vector2<f64>| {
        let (clock, start_rad) = (with(place[1] * scale[1]), (place[0] * scale[0]).sqrt());
        let PeriodOutcome::Returned(back) = clock.period_from(start_rad) else { return None };
        let swing = LastingSwing { right_rad: start_rad, least_rad: back.least_rad, wanders: false };
        let excess_rad = swing.beyond_escaping_rad(&clock) - margin_rad;
        let beyond = excess_rad * (2.0 * start_rad - excess_rad);
        Some(Vector2::new(start_rad * (back.right_rad - start_rad), beyond) / scale[0])
    };
    let mut place = Vector2::new(1.0, 1.0);
    let mut found = at(place)?;
    let by = |step: Vector2<f64>| Some((at(place + step)? - found) / step.sum());
    let mut slopes = Matrix2::from_columns(&[by(Vector2::new(-FIRST_STEP, 0.0))?, by(Vector2::new(0.0, -FIRST_STEP))?]);
    for _ in 0..MOST_TRIED {
        let step = -(slopes.try_inverse()? * found);
        if !(step.amax() <= LONGEST_STEP) {
            return None;
        }
        place += step;
        if step.amax() <= 0.1 * DRIVE_TOLERANCE {
            // Twice the first slope is what the return map's lacks of 1.
            let steady = (-1.0..0.0).contains(&slopes[(0, 0)]);
            return Some(place[1] * scale[1]).filter(|&drive| steady && drive > least);
        }
        let next = at(place)?;
        slopes += (next - found - slopes * step) * step.transpose() / step.norm_squared();
        found = next;
    }
    None
}
