//! The clock with the teeth of its wheel alike: there the searches of one whose teeth differ begin, for its every return takes a whole turn.

use std::cell::OnceCell;

use super::cycle::refine;
use super::gain_scan::{Probe, first_gaining};
use super::known_least::KnownLeast;
use super::least_drive::searched;
use super::return_map::Clock;
use super::solve::Solver;

/// Starts asked whether the swing is drawn from them, between the steady one and the maker's own.
const ASKED: usize = 4;

/// Ratio of neighbouring starts above one that gains, until one loses, and most of them.
const RATIO: f64 = 1.02;
const MOST_STARTS: i32 = 60;

/// What the least drive of the same clock with teeth alike teaches for one whose teeth differ; `None` where they do not, and where there is
/// nothing to learn. The clock has the same escapement under every drive.
pub(super) fn known_of_even_teeth<'m>(with: &impl Fn(f64) -> Clock<'m>, around: f64) -> Option<KnownLeast> {
    let uneven = with(around);
    let alike = OnceCell::new();
    let even = |drive: f64| {
        let clock = with(drive);
        match clock {
            Clock::Contact { escapement, .. } => {
                clock.with_escapement(alike.get_or_init(|| escapement.with_teeth_alike()))
            }
            Clock::Ideal { .. } => clock,
        }
    };
    learnt(&even, around, &uneven)
}

/// The same from a clock with teeth alike that is there already.
pub(super) fn learnt<'m>(even: &impl Fn(f64) -> Clock<'m>, around: f64, uneven: &Clock<'_>) -> Option<KnownLeast> {
    let periods = uneven.periods_per_return();
    if periods == 1 {
        return None;
    }
    let least = searched(even, around)?;
    let more_swing = uneven.widest_escaping_arc_rad() / even(least).widest_escaping_arc_rad() - 1.0;
    Some(KnownLeast::of(even, least)?.over_a_turn(periods, uneven.hardest_period(), more_swing))
}

/// Share of a least drive above and below which it is asked whether some start gains.
const AROUND: f64 = 1e-4;

/// Whether a drive found so is the least one: a little more makes the smallest starts that come round gain, a little less does not.
pub(super) fn just_holds<'m>(with: &impl Fn(f64) -> Clock<'m>, drive: f64) -> bool {
    let gains = |drive: f64| first_gaining(&with(drive)).is_some();
    gains(drive * (1.0 + AROUND)) && !gains(drive * (1.0 - AROUND))
}

impl Solver<'_> {
    /// Whether a clock whose teeth differ goes, told by few turns; false says nothing.
    pub(super) fn surely_goes(&self) -> bool {
        let differ = |clock: &&Clock<'_>| !self.jams && clock.periods_per_return() > 1;
        let Some(clock) = self.clock.as_ref().filter(differ) else { return false };
        goes_from(clock, self.built.start_arc_rad) && self.dial_clock.is_none_or(|clock| goes_from(&clock, None))
    }
}

/// Whether a stable swing is found just above the starts that come round to which the start is drawn, or any if there is none: the starts between
/// that are asked all gain below it and lose above.
fn goes_from(clock: &Clock<'_>, start_rad: Option<f64>) -> bool {
    let Some(Probe { start_rad: low_rad, gain_rad: Some(gain_rad) }) = first_gaining(clock) else { return false };
    let gain = |start_rad: f64| clock.period_from(start_rad).gain_rad(start_rad);
    let mut low = (low_rad, gain_rad);
    let mut high = None;
    for number in 1..=MOST_STARTS {
        let start_rad = low_rad * RATIO.powi(number);
        match gain(start_rad) {
            Some(found) if found > 0.0 => low = (start_rad, found),
            Some(found) => {
                high = Some((start_rad, found));
                break;
            }
            None => return false,
        }
    }
    let point = high.and_then(|high| refine(clock, low, high)).filter(|point| point.multiplier.abs() < 1.0);
    let Some(point) = point else { return false };
    let Some(start_rad) = start_rad else { return true };
    (0..ASKED).all(|number| {
        let share = number as f64 / ASKED as f64;
        let asked_rad = start_rad * (point.right_rad / start_rad).powf(share);
        gain(asked_rad).is_some_and(|gain| gain * (point.right_rad - asked_rad) > 0.0)
    })
}
