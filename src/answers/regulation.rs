//! Bringing a clock to time and into beat, and how long it takes to come to its swing.

use crate::clock::build::{Built, build};
use crate::clock::design::PendulumDesign;
use crate::clock::environment::InRoom;
use crate::clock::environment::air::air_at;
use crate::clock::mechanism::EscapementModel;
use crate::clock::pendulum::compound::pendulum_from_parts;
use crate::clock::rate_s_per_day;

use super::measure::{Measured, measure};
use super::prediction::Prediction;
use super::return_map::{Clock, PeriodOutcome};
use super::solve::Solver;

/// Rate, s/day, that counts as on time.
const ON_TIME_S_PER_DAY: f64 = 1e-6;

/// Most steps of a secant.
const MOST_STEPS: usize = 30;

/// Share of the steady swing within which a swing counts as settled.
pub const SETTLED_WITHIN: f64 = 0.01;

/// What one period leaves of a distance where the swing creeps.
const CREEPING: f64 = 0.97;

/// What a stride leaves of it.
const STRIDE: f64 = 0.5;

/// Most periods and strides.
const MOST_STRIDES: usize = 500;

/// Samples of the period whose ticks are timed.
const SAMPLES: usize = 2;

/// Beat error, s, that counts as none.
const IN_BEAT_S: f64 = 1e-10;

/// Where the rating nut brings the clock to time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NutToTime {
    /// Turns from where it is; positive raises the bob.
    pub turns: f64,
    /// The same as a way, m, positive up.
    pub up_m: f64,
}

/// How far a clock is out of beat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BeatError {
    /// Half of the time from the tick on the entry pallet to that on the exit pallet less the time back, s.
    pub error_s: f64,
    /// Angle by which the pallets have to be turned against the pendulum to set it right, rad, in the sense of the pendulum's angle (positive:
    /// to the right below the axis); `None` where none was found.
    pub crutch_rad: Option<f64>,
    /// The same at the end of the crutch, m; `None` also where the scenario gives no length for it.
    pub crutch_m: Option<f64>,
}

/// How long the swing takes to come within [`SETTLED_WITHIN`] of its limit after the maker lets go.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settling {
    /// Periods.
    pub periods: f64,
    /// Time, s, counted in steady periods.
    pub time_s: f64,
}

/// What a maker does with a clock that has been hung up. `None` where it stops, or where the part that is asked for is not there.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Regulation {
    /// The rating nut.
    pub nut: Option<NutToTime>,
    /// The beat.
    pub beat: Option<BeatError>,
    /// The swing.
    pub settling: Option<Settling>,
}

/// Nut, beat and swing of a design, whose prediction is known.
#[must_use]
pub fn regulation(design: &InRoom, prediction: &Prediction) -> Regulation {
    let Some(steady) = &prediction.steady else { return Regulation::default() };
    Regulation {
        nut: nut_to_time(design, &prediction.built, steady.point.right_rad),
        beat: beat_error(design, &prediction.built, &steady.measured),
        settling: settling(design, prediction),
    }
}

/// The turns of the rating nut, with the bob on it, at which the steady period is the one that the train requires: a root of the rate over the
/// nut's place, each through the limit cycle. `None` without nut or train, or where no place was found.
#[must_use]
pub fn nut_to_time(design: &InRoom, built: &Built, guess_rad: f64) -> Option<NutToTime> {
    let required_s = built.train_period_s()?;
    let PendulumDesign::Parts(parts) = &design.pendulum else { return None };
    let nut = parts.nut?;
    let air = air_at(&design.place).ok()?;
    let mut guess_rad = guess_rad;
    let mut rate = |turns: f64| {
        let raised = parts.with_nut_raised(turns * nut.pitch_m);
        let (rigid, report) = pendulum_from_parts(&raised, built.gravity_m_s2, &air).ok()?;
        let pendulum = built.carried.with_pendulum(rigid, &report).model();
        let swing = Solver::new(built).with_pendulum(&pendulum).near(guess_rad).any_swing().ok()?;
        guess_rad = swing.point.right_rad;
        Some(rate_s_per_day(required_s, swing.measured.period_s))
    };
    let now = rate(0.0)?;
    let by_turn = built.pendulum.as_ref()?.nut_s_per_day_per_turn?;
    let turns = secant(&mut rate, (0.0, now), -now / by_turn, ON_TIME_S_PER_DAY)?;
    Some(NutToTime { turns, up_m: turns * nut.pitch_m })
}

/// Where a function falls to nothing within `enough`, by secants from a first step; `None` where it has no value on the way or does not settle.
fn secant(
    function: &mut impl FnMut(f64) -> Option<f64>,
    (mut before, mut value_before): (f64, f64),
    first: f64,
    enough: f64,
) -> Option<f64> {
    if value_before.abs() <= enough {
        return Some(before);
    }
    let mut here = first;
    for _ in 0..MOST_STEPS {
        let value = function(here)?;
        if value.abs() <= enough {
            return Some(here);
        }
        let slope = (value - value_before) / (here - before);
        if !slope.is_finite() || slope == 0.0 {
            return None;
        }
        (before, value_before) = (here, value);
        here -= value / slope;
    }
    None
}

/// How far the clock is out of beat, and the angle of the pallets on the pendulum that sets it right, solved through the limit cycle; `None`
/// without pallets, and for a wheel whose teeth differ, which has a beat of its own at every tooth.
#[must_use]
pub fn beat_error(design: &InRoom, built: &Built, measured: &Measured) -> Option<BeatError> {
    let EscapementModel::Contact(contact) = &built.mechanism.escapement else { return None };
    if contact.teeth_differ() {
        return None;
    }
    let error_s = beat_error_s(measured)?;
    let mean_rad = measured.semi_arc_rad();
    let mut error_at = |turned_rad: f64| {
        let turned = InRoom { escapement: design.escapement.turned_by(turned_rad), ..design.clone() };
        let built = build(&turned).ok()?;
        let clock = Clock::of(&built.mechanism)?;
        let point = Solver::new(&built).near(measured.right_rad).any_point().ok()?;
        beat_error_s(&measure(&clock, point.right_rad, Some(SAMPLES)).ok()?)
    };
    // A pendulum passes the middle at amplitude times angular frequency; each tick shifts by the angle over that.
    let first_rad = 0.5 * error_s * mean_rad * std::f64::consts::TAU / measured.period_s;
    let crutch_rad = secant(&mut error_at, (0.0, error_s), first_rad, IN_BEAT_S);
    let crutch_length_m = match &design.pendulum {
        PendulumDesign::Parts(parts) => parts.crutch_m,
        PendulumDesign::Lumped(_) => None,
    };
    Some(BeatError { error_s, crutch_rad, crutch_m: crutch_rad.zip(crutch_length_m).map(|(angle, arm)| angle * arm) })
}

fn beat_error_s(measured: &Measured) -> Option<f64> {
    measured.tick_intervals_s().map(|[to_exit, back]| 0.5 * (to_exit - back))
}

/// Periods until the swing, let go at the start arc, is within [`SETTLED_WITHIN`] of its limit, by the return map. `None` without a start
/// arc or a steady swing, and where the swing does not come there evenly.
///
/// While the map brings the swing much closer in one period it is followed period by period. Where it creeps, the periods from one distance to
/// half of it are the integral of `d ln(distance) / ln(ratio)`, `ratio` being what one period leaves of the distance there (Simpson's rule).
#[must_use]
pub fn settling(design: &InRoom, prediction: &Prediction) -> Option<Settling> {
    let start_rad = design.start_arc_rad?;
    let steady = prediction.steady.as_ref()?;
    let clock = Clock::of(&prediction.built.mechanism)?;
    let limit_rad = steady.point.right_rad;
    let next = |distance_rad: f64| match clock.period_from(limit_rad + distance_rad) {
        PeriodOutcome::Returned(back) => Some(back.right_rad - limit_rad),
        PeriodOutcome::Failed(_) => None,
    };
    let enough_rad = SETTLED_WITHIN * limit_rad;
    let mut distance_rad = start_rad - limit_rad;
    let mut returns = 0.0;
    for _ in 0..MOST_STRIDES {
        if distance_rad.abs() <= enough_rad {
            let periods = returns * clock.periods_per_return() as f64;
            return Some(Settling { periods, time_s: periods * steady.measured.period_s });
        }
        let there_rad = next(distance_rad)?;
        if there_rad / distance_rad < CREEPING {
            distance_rad = there_rad;
            returns += 1.0;
            continue;
        }
        let share = (enough_rad / distance_rad.abs()).max(STRIDE);
        let rate = |share: f64| Some((next(share * distance_rad)? / (share * distance_rad)).ln());
        let (first, middle, last) = (rate(1.0)?, rate(share.sqrt())?, rate(share)?);
        if !(first < 0.0 && middle < 0.0 && last < 0.0) {
            return None;
        }
        returns += share.ln() * (first.recip() + 4.0 * middle.recip() + last.recip()) / 6.0;
        distance_rad *= share;
    }
    None
}
