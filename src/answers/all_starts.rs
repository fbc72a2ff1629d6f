//! Whether the drive that just holds one start is the least of all starts.

use super::gain_scan::{Probe, best_gain, probe_starts, tops};
use super::lasting_swing::LastingSwing;
use super::least_drive::{DRIVE_TOLERANCE, NEIGHBOURHOOD};
use super::return_map::Clock;

/// Most, relative, that the least drive of one start may be off that of the best of all.
const HELD_TOGETHER: f64 = 1e-4;

/// Starts a little above the best one that are asked, too, where that gains nothing: least distance, relative, ratio and number. The map may
/// have a second top there, narrower than the distance of the probes.
const JUST_ABOVE: (f64, f64, i32) = (1e-4, 1.5, 12);

/// The start that gains most, if any gains.
pub(super) fn gaining_start(clock: &Clock<'_>) -> Option<Probe> {
    let gains = |probe: &Probe| probe.gain_rad.is_some_and(|gain| gain > 0.0);
    let best = best_gain(clock, &probe_starts(clock))?;
    if gains(&best) { Some(best) } else { just_above(clock, best.start_rad).find(gains) }
}

/// Starts just above one, with their gains.
fn just_above(clock: &Clock<'_>, start_rad: f64) -> impl Iterator<Item = Probe> {
    let (least, ratio, count) = JUST_ABOVE;
    (0..count).map(move |number| {
        let start_rad = start_rad * (1.0 + least * ratio.powi(number));
        Probe { start_rad, gain_rad: clock.period_from(start_rad).gain_rad(start_rad) }
    })
}

/// What all starts do at a drive to which one of them was followed.
pub(super) enum Beside {
    /// The best of all is held by this drive and no less.
    Least,
    /// Another one gains, beyond a jump of the map: under so much.
    StillGains(f64),
    /// None gains: the zero lies where the start that was followed does not come round, or the map jumps.
    NoStartGains,
}

/// Probes all starts at a drive at which the gain of one of them is zero.
pub(super) fn beside<'m>(with: &impl Fn(f64) -> Clock<'m>, drive: f64) -> Beside {
    let clock = with(drive);
    let probes = probe_starts(&clock);
    let Some((start, gain)) = best_gain(&clock, &probes).and_then(|best| Some((best.start_rad, best.gain_rad?))) else {
        return Beside::NoStartGains;
    };
    let more = with(drive * (1.0 + NEIGHBOURHOOD)).period_from(start).gain_rad(start);
    let off = more.map_or(f64::INFINITY, |more| NEIGHBOURHOOD * gain.abs() / (more - gain));
    if !(0.0..=HELD_TOGETHER).contains(&off) {
        return if gain > 0.0 { Beside::StillGains(drive) } else { Beside::NoStartGains };
    }
    // A map that jumps moves with the drive: a start of another branch may gain under less.
    let below = drive * (1.0 - NEIGHBOURHOOD);
    let under = with(below);
    let another = just_above(&under, start).any(|probe| probe.gain_rad.is_some_and(|gain| gain > 0.0));
    if another || tops(&probes).len() > 1 && gaining_start(&under).is_some() {
        return Beside::StillGains(below);
    }
    Beside::Least
}

/// The drive between one at which no start gains and a higher one at which some does, just above which some does.
pub(super) fn lowest_seen<'m>(with: &impl Fn(f64) -> Clock<'m>, fails: f64, goes: f64) -> f64 {
    lowest(&|drive| gaining_start(&with(drive)).is_some(), fails, goes)
}

/// The least drive by steps down from one under which some start gains, whichever start that is.
pub(super) fn stepped_down<'m>(with: &impl Fn(f64) -> Clock<'m>, goes: f64) -> f64 {
    down(&|drive| gaining_start(&with(drive)).is_some(), goes)
}

/// The least drive by steps down from the clock's own, where no start gains under that and a swing lasts all the same: one to which every
/// start beside it is drawn from above and from below in turn. `None` where none lasts.
pub(super) fn lasting_below<'m>(with: &impl Fn(f64) -> Clock<'m>, own: f64) -> Option<f64> {
    let near_rad = LastingSwing::near(&with(own), with(own).widest_escaping_arc_rad())?.right_rad;
    Some(down(&|drive| LastingSwing::near(&with(drive), near_rad).is_some(), own))
}

fn lowest(goes_under: &impl Fn(f64) -> bool, mut fails: f64, mut goes: f64) -> f64 {
    while goes - fails > DRIVE_TOLERANCE * goes {
        let middle = 0.5 * (fails + goes);
        if goes_under(middle) { goes = middle } else { fails = middle }
    }
    goes
}

fn down(goes_under: &impl Fn(f64) -> bool, mut goes: f64) -> f64 {
    const LONGEST_STEP: f64 = 0.2;
    let mut step = HELD_TOGETHER;
    while goes > 0.0 {
        let next = goes * (1.0 - step);
        if !goes_under(next) {
            return lowest(goes_under, next, goes);
        }
        goes = next;
        step = (2.0 * step).min(LONGEST_STEP);
    }
    goes
}
