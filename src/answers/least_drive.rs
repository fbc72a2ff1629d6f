//! The least drive with which a clock keeps going.

use super::all_starts::{Beside, beside, gaining_start, lasting_below, lowest_seen, stepped_down};
use super::even_teeth::{just_holds, known_of_even_teeth};
use super::gain_scan::{Probe, best_gain, climb, probe_starts};
use super::return_map::Clock;

/// Accuracy of the least drive, relative.
pub(super) const DRIVE_TOLERANCE: f64 = 1e-5;

/// The first start tried, in escaping arcs.
const FIRST_START: f64 = 1.1;

/// Most that a drive is raised above the first one.
const MOST_RAISED: f64 = 1000.0;

/// Drive, relative to the one at which all starts were probed, down to which the best start is followed from there.
const FOLLOWED_DOWN_TO: f64 = 0.8;

/// First step, relative, by which the best start is looked for again at the next drive.
pub(super) const NEIGHBOURHOOD: f64 = 1e-3;

/// A start so much larger than the best one comes round at the drives in question, too.
pub(super) const LARGER: f64 = 1.0 + 10.0 * NEIGHBOURHOOD;

/// The least drive, by any measure of it (weight, torque), with which some start gains amplitude; `None` if none up to a
/// thousand times `around` does.
///
/// `with` makes the clock for a drive.
/// Relative accuracy 1e-5; mostly 4e-5, seldom 1e-4, where the wheel of the best start only just creeps past, whose
/// gain is as the root of the start's distance from the smallest that comes round. The drive that just holds the swing from one start is the
/// zero of its gain, nearly linear in the drive. At that drive all starts are probed; the best of them is held by less, and
/// so on until none gains. Under the drive that is told some start was seen to gain or to keep its amplitude within that accuracy. Where
/// teeth differ the search begins with what a wheel whose teeth are alike has taught.
#[must_use]
pub fn least_drive<'m>(with: &impl Fn(f64) -> Clock<'m>, around: f64) -> Option<f64> {
    let near = known_of_even_teeth(with, around).and_then(|known| known.near(with));
    near.filter(|&found| just_holds(with, found)).or_else(|| searched(with, around))
}

/// The same with nothing known.
pub(super) fn searched<'m>(with: &impl Fn(f64) -> Clock<'m>, around: f64) -> Option<f64> {
    lowered(with, first_going(with, around)?)
}

/// The least drive, looked for from one under which the clock goes on downwards; `None` where it does not go under that.
fn least_drive_below<'m>(with: &impl Fn(f64) -> Clock<'m>, going: f64) -> Option<f64> {
    gaining_start(&with(going)).and_then(|_| lowered(with, going))
}

/// The least drive, `near` or looked for from `own`, that of the design: a clock that goes under its own drive needs no more than that,
/// whatever drives between do.
#[must_use]
pub(super) fn least_drive_from<'m>(with: &impl Fn(f64) -> Clock<'m>, near: Option<f64>, own: f64) -> Option<f64> {
    match near.or_else(|| least_drive(with, own)) {
        Some(found) if found <= own => Some(found),
        found => least_drive_below(with, own).or_else(|| lasting_below(with, own)).or(found),
    }
}

/// The least drive from one at which some start gains or just keeps its amplitude.
fn lowered<'m>(with: &impl Fn(f64) -> Clock<'m>, mut drive: f64) -> Option<f64> {
    const ROUNDS: usize = 60;
    for _ in 0..ROUNDS {
        let clock = with(drive);
        let best = best_gain(&clock, &probe_starts(&clock))?;
        if !(best.gain_rad? > 0.0) {
            return Some(drive);
        }
        let (followed, settled) = follow_down(with, drive, best);
        // Where it got no further the next round would find the same again.
        let no_further = (followed - drive).abs() <= 0.1 * DRIVE_TOLERANCE * drive;
        if no_further || settled && followed > FOLLOWED_DOWN_TO * drive {
            return Some(match beside(with, followed) {
                Beside::Least => followed,
                Beside::StillGains(gaining) => stepped_down(with, gaining),
                Beside::NoStartGains => lowest_seen(with, followed, drive),
            });
        }
        drive = followed;
    }
    Some(drive)
}

/// A drive with which some start gains amplitude or just keeps it.
fn first_going<'m>(with: &impl Fn(f64) -> Clock<'m>, around: f64) -> Option<f64> {
    let start = FIRST_START * with(around).widest_escaping_arc_rad();
    let gain = |drive: f64| with(drive).period_from(start).gain_rad(start);
    if let Some(held) = gain(around).and_then(|gain_around| holding_drive(&gain, (around, gain_around))) {
        return Some(held);
    }
    let mut drive = around;
    while drive <= MOST_RAISED * around {
        let clock = with(drive);
        if best_gain(&clock, &probe_starts(&clock)).and_then(|best| best.gain_rad).is_some_and(|gain| gain > 0.0) {
            return Some(drive);
        }
        drive *= 1.5;
    }
    None
}

/// Follows the best start from `drive`, where it gains, down to the drive at which it gains no more. False where the last drives did
/// not close in.
fn follow_down<'m>(with: &impl Fn(f64) -> Clock<'m>, drive: f64, best: Probe) -> (f64, bool) {
    // A start somewhat larger comes round on less drive, too: the drive that holds it is a first guess.
    let larger = LARGER * best.start_rad;
    let gain = |drive: f64| with(drive).period_from(larger).gain_rad(larger);
    let held = gain(drive).and_then(|excess| Some((holding_drive(&gain, (drive, excess))?, excess)));
    match held.filter(|&(held, _)| held < drive) {
        Some((held, excess)) => close_in(with, (drive, best), held, Some(excess / (drive - held))),
        None => close_in(with, (drive, best), 0.97 * drive, None),
    }
}

/// The secant's zero of the best start's gain over the drive, from a drive at which it gains and the `next` one to try. False where
/// the last drives did not close in.
///
/// The best start is found to a tolerance, next to which its gain may fall off steeply; `larger_slope`, the slope of a larger start's
/// gain, keeps two drives close to each other from making a slope of that.
pub(super) fn close_in<'m>(
    with: &impl Fn(f64) -> Clock<'m>,
    (drive, best): (f64, Probe),
    mut next: f64,
    larger_slope: Option<f64>,
) -> (f64, bool) {
    const ROUNDS: usize = 30;
    let Some(excess) = best.gain_rad else { return (drive, false) };
    let (mut going, mut start) = ((drive, excess), best.start_rad);
    let mut fails = 0.0;
    for _ in 0..ROUNDS {
        let top = best_near(&with(next), start);
        let Some((place, excess)) = top.and_then(|top| Some((top.start_rad, top.gain_rad?))) else {
            fails = next;
            if going.0 - fails <= 0.1 * DRIVE_TOLERANCE * going.0 {
                return (going.0, true);
            }
            next = 0.5 * (fails + going.0);
            continue;
        };
        start = place;
        let mut slope = (excess - going.1) / (next - going.0);
        if let Some(larger) = larger_slope.filter(|&larger| larger > 0.0 && slope > 0.0) {
            slope = slope.clamp(0.5 * larger, 2.0 * larger);
        }
        let root = next - excess / slope;
        // The secant's next error is of the order of the product of its last step and the one before.
        let (step, step_before) = ((root - next).abs(), (next - going.0).abs());
        let exact = 10.0 * step * step_before <= 0.1 * DRIVE_TOLERANCE * next * next;
        if excess == 0.0 || step <= 0.1 * DRIVE_TOLERANCE * next || slope > 0.0 && exact {
            return (if excess == 0.0 { next } else { root }, true);
        }
        if !(slope > 0.0) {
            return (going.0, false);
        }
        if excess > 0.0 || excess.abs() < going.1.abs() {
            going = (next, excess);
        }
        next = root.clamp(0.7 * next, 1.4 * next).max(0.5 * (fails + next));
    }
    (going.0, false)
}

/// The best start in the neighbourhood of `start_rad`: at the edge of the starts that come round, or a smooth top.
pub(super) fn best_near(clock: &Clock<'_>, start_rad: f64) -> Option<Probe> {
    const WIDEST: f64 = 0.3;
    let probe = |start_rad: f64| Probe { start_rad, gain_rad: clock.period_from(start_rad).gain_rad(start_rad) };
    let mut here = probe(start_rad);
    let mut low = here;
    let mut width = NEIGHBOURHOOD;
    // Up to a start that comes round, if this one does not.
    while here.gain_rad.is_none() {
        if width > WIDEST {
            return None;
        }
        low = here;
        here = probe(here.start_rad * (1.0 + width));
        width *= 2.0;
    }
    let mut high_rad = here.start_rad * (1.0 + width);
    // Down to one that does not, or gains less.
    while low.gain_rad.is_some() {
        low = probe(here.start_rad * (1.0 - width));
        if width > WIDEST || low.gain_rad < here.gain_rad {
            break;
        }
        high_rad = here.start_rad;
        here = low;
        width *= 2.0;
    }
    if low.gain_rad.is_some() {
        // Both sides of a smooth top.
        while width <= WIDEST {
            let high = probe(high_rad);
            if high.gain_rad < here.gain_rad {
                break;
            }
            (low, here) = (here, high);
            high_rad = here.start_rad * (1.0 + width);
            width *= 2.0;
        }
    }
    Some(climb(clock, low, here, high_rad))
}

/// The drive at which a start's gain is zero, from a `drive` and the gain there, or just above which the start comes round and
/// gains; `None` if it does not come round with more drive.
pub(super) fn holding_drive(gain: &impl Fn(f64) -> Option<f64>, (drive, gain_rad): (f64, f64)) -> Option<f64> {
    const STEPS: usize = 80;
    let mut here = (drive, gain_rad);
    // Highest drive known to fail on the small side, and lowest known to gain.
    let (mut fails, mut gains) = (0.0, if gain_rad > 0.0 { drive } else { f64::INFINITY });
    let mut next = if gain_rad > 0.0 { 0.97 * drive } else { 1.03 * drive };
    for _ in 0..STEPS {
        let Some(found) = gain(next) else {
            if next > here.0 {
                return None;
            }
            fails = next.max(fails);
            if gains - fails <= 0.1 * DRIVE_TOLERANCE * gains {
                return Some(gains);
            }
            next = 0.5 * (here.0 + next);
            continue;
        };
        if found > 0.0 {
            gains = gains.min(next);
        }
        let slope = (found - here.1) / (next - here.0);
        here = (next, found);
        let root = here.0 - here.1 / slope;
        if here.1 == 0.0 || (root - here.0).abs() <= 0.1 * DRIVE_TOLERANCE * here.0 {
            return Some(here.0);
        }
        if !(slope > 0.0) {
            return None;
        }
        next = root.clamp(0.5 * here.0, 2.0 * here.0);
        if next <= fails {
            next = 0.5 * (fails + here.0);
        }
        if next > MOST_RAISED * drive {
            return None;
        }
    }
    gains.is_finite().then_some(gains)
}
