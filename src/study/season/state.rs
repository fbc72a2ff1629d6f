//! The steady clock in one room.

use std::fmt;

use crate::answers::cycle::fixed_point_near;
use crate::answers::gain_scan::gain_scan;
use crate::answers::measure::measure;
use crate::answers::return_map::{Clock, Failure};
use crate::answers::verdict::{Reason, Verdict, verdict};
use crate::clock::build::{BuildError, Built, build};
use crate::clock::design::{Design, DriveDesign};
use crate::clock::environment::InRoom;
use crate::clock::environment::surroundings::{pendulum_and_drive, same_escapement};
use crate::clock::mechanism::{EscapementModel, PendulumModel};
use crate::clock::pendulum::compound::small_swing_period_s;
use crate::clock::{SECONDS_PER_DAY, rate_s_per_day};
use crate::dynamics::ideal::{Ideal, IdealMotion};
use crate::dynamics::observe::Unobserved;

use super::path::Room;

/// Why a clock has no season at all.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoSeason {
    /// It cannot be built in the mean room.
    #[error(transparent)]
    Build(BuildError),
    /// Without a train the rate has nothing to refer to but the period in the mean room, and there is none.
    #[error(
        "the clock stops in the mean of its rooms, and without a train there is nothing else to refer its rate to: {0}"
    )]
    Stops(StopCause),
}

/// Why a clock stops in a room.
#[derive(Debug, Clone, PartialEq)]
pub enum StopCause {
    /// Its parts no longer make a clock.
    Build(BuildError),
    /// It stops.
    Stops(Reason),
    /// Its swing does not settle.
    Wanders,
    /// The steady period did not come round.
    Lost(Failure),
}

impl fmt::Display for StopCause {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = match self {
            Self::Build(error) => return error.fmt(formatter),
            Self::Stops(Reason::NeverUnlocks) => "no tooth gets past any more",
            Self::Stops(Reason::LosesAmplitude) => "its swing dies away",
            Self::Stops(Reason::Jams) => "tooth and pallet jam",
            Self::Stops(Reason::RunsAway) => "teeth slip past without being held",
            Self::Stops(Reason::LosesSteps) => "the motor loses steps",
            Self::Wanders => "its swing does not settle",
            Self::Lost(_) => "its period does not come round",
        };
        formatter.write_str(text)
    }
}

/// The steady clock in a room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    /// Rate, s/day, positive gains.
    pub rate_s_per_day: f64,
    /// Semi-arc, mean of both sides, rad.
    pub semi_arc_rad: f64,
    /// Rate of the pendulum alone in very small swings, s/day.
    pub small_swing_s_per_day: f64,
    /// Rate of the pendulum alone, without losses, in swings of the semi-arc, s/day.
    pub free_s_per_day: f64,
}

impl State {
    /// The numbers in the order of the fields.
    #[must_use]
    pub const fn numbers(&self) -> [f64; 4] {
        [self.rate_s_per_day, self.semi_arc_rad, self.small_swing_s_per_day, self.free_s_per_day]
    }

    /// The state of these numbers.
    #[must_use]
    pub const fn of(numbers: [f64; 4]) -> Self {
        let [rate_s_per_day, semi_arc_rad, small_swing_s_per_day, free_s_per_day] = numbers;
        Self { rate_s_per_day, semi_arc_rad, small_swing_s_per_day, free_s_per_day }
    }
}

/// A clock made ready for any room: what the rooms leave alone is built once, in the mean room.
#[derive(Debug, Clone)]
pub struct Setting<'d> {
    made: &'d Design,
    cord_mass_kg: f64,
    /// The mean of the rooms.
    pub mean_room: Room,
    /// The design in the mean room.
    pub mean_design: InRoom,
    mean_built: Built,
    /// The steady clock in the mean room; `None` where it stops there.
    pub mean_state: Option<State>,
    /// Whether the rate refers to the train's period; else to that in the mean room.
    pub by_train: bool,
    required_s: f64,
    guess_rad: f64,
}

/// What the solver finds before it is set beside the required period.
struct Found {
    period_s: f64,
    right_rad: f64,
    semi_arc_rad: f64,
    small_swing_period_s: Option<f64>,
    free_period_s: Option<f64>,
}

impl<'d> Setting<'d> {
    /// The clock that was `made`, ready for rooms around `mean_room`.
    ///
    /// # Errors
    /// [`NoSeason`].
    pub fn of(made: &'d Design, cord_mass_kg: f64, mean_room: &Room) -> Result<Self, NoSeason> {
        let mean_design = in_room(made, cord_mass_kg, mean_room);
        let mean_built = build(&mean_design).map_err(NoSeason::Build)?;
        let clock = Clock::of(&mean_built.mechanism).ok_or(NoSeason::Build(BuildError::NoDrive))?;
        let found = steady(&clock, None, made.start_arc_rad);
        let train_s = mean_built.train.as_ref().and_then(|train| train.train_period_s);
        let required_s = match (train_s, &found) {
            (Some(train_s), _) => train_s,
            (None, Ok(found)) => found.period_s,
            (None, Err(cause)) => return Err(NoSeason::Stops(cause.clone())),
        };
        let (right, left) = clock.escaping_arcs_rad();
        let guess_rad = found.as_ref().map_or(1.5 * right.max(left).max(0.01), |found| found.right_rad);
        let mean_state = found.ok().map(|found| state_of(&found, required_s));
        Ok(Self {
            made,
            cord_mass_kg,
            mean_room: *mean_room,
            by_train: train_s.is_some(),
            mean_design,
            mean_built,
            mean_state,
            required_s,
            guess_rad,
        })
    }

    /// The steady clock in a room, by its limit cycle. It depends on nothing but the room.
    ///
    /// # Errors
    /// [`StopCause`].
    pub fn state(&self, room: &Room) -> Result<State, StopCause> {
        let design = in_room(self.made, self.cord_mass_kg, room);
        match self.solved(&design) {
            Err(StopCause::Stops(_)) if build(&design).is_ok_and(|built| built.train_jams()) => {
                Err(StopCause::Stops(Reason::Jams))
            }
            found => found,
        }
    }

    fn solved(&self, design: &InRoom) -> Result<State, StopCause> {
        if !same_escapement(design, &self.mean_design) {
            let built = build(design).map_err(StopCause::Build)?;
            let clock = Clock::of(&built.mechanism).ok_or(StopCause::Build(BuildError::NoDrive))?;
            return self.state_with(&clock);
        }
        let (pendulum, drive) = pendulum_and_drive(design, &self.mean_built).map_err(StopCause::Build)?;
        let clock = match &self.mean_built.mechanism.escapement {
            EscapementModel::Contact(escapement) => {
                let drive = drive.ok_or(StopCause::Build(BuildError::NoDrive))?;
                Clock::Contact { pendulum: &pendulum, escapement, drive }
            }
            EscapementModel::IdealTorque(torque) => Clock::Ideal { pendulum: &pendulum, ideal: Ideal::Torque(*torque) },
            EscapementModel::IdealKick(kick) => Clock::Ideal { pendulum: &pendulum, ideal: Ideal::Kick(*kick) },
        };
        self.state_with(&clock)
    }

    fn state_with(&self, clock: &Clock<'_>) -> Result<State, StopCause> {
        let found = steady(clock, Some(self.guess_rad), self.made.start_arc_rad)?;
        Ok(state_of(&found, self.required_s))
    }
}

/// The design in a room: its parts as large as there, in its air, the cord's hanging part added to the weight.
fn in_room(made: &Design, cord_mass_kg: f64, room: &Room) -> InRoom {
    let mut design = InRoom::of(made, &room.conditions());
    design.place = made.place.in_air_of(&room.air());
    if let Some(DriveDesign::Weight(weight)) = &mut design.drive {
        // Every part of the cord pulls at its upper end by its own weight more; the drum feels one part, the weight all.
        weight.weight_kg += cord_mass_kg * room.fallen;
    }
    design
}

/// The steady swing near a guess, else the one that the start arc (or a push as large as need be) ends in.
fn steady(clock: &Clock<'_>, guess_rad: Option<f64>, start_rad: Option<f64>) -> Result<Found, StopCause> {
    let near = guess_rad.and_then(|guess| fixed_point_near(clock, guess)).filter(|point| point.multiplier.abs() < 1.0);
    let point = match near {
        Some(point) => point,
        None => match verdict(clock, &gain_scan(clock), start_rad) {
            Verdict::KeepsGoing(point) => point,
            Verdict::Wanders(..) => return Err(StopCause::Wanders),
            Verdict::Stops(reason, _) => return Err(StopCause::Stops(reason)),
        },
    };
    let measured = measure(clock, point.right_rad, None).map_err(StopCause::Lost)?;
    let semi_arc_rad = 0.5 * (measured.right_rad + measured.left_rad);
    Ok(Found {
        period_s: measured.period_s,
        right_rad: point.right_rad,
        semi_arc_rad,
        small_swing_period_s: small_swing_period_s(clock.pendulum()),
        free_period_s: free_period_s(clock.pendulum(), semi_arc_rad),
    })
}

fn state_of(found: &Found, required_s: f64) -> State {
    let rate = |period_s: Option<f64>| period_s.map_or(0.0, |period_s| rate_s_per_day(required_s, period_s));
    State {
        rate_s_per_day: rate_s_per_day(required_s, found.period_s),
        semi_arc_rad: found.semi_arc_rad,
        small_swing_s_per_day: rate(found.small_swing_period_s),
        free_s_per_day: rate(found.free_period_s),
    }
}

/// Full period of the pendulum alone, without losses, at an amplitude, s.
fn free_period_s(pendulum: &PendulumModel, amplitude_rad: f64) -> Option<f64> {
    let undamped = pendulum.without_losses();
    let mut swing = IdealMotion::start(&undamped, Ideal::Free, amplitude_rad).ok()?;
    let half_s = swing.run_to_turning(&mut Unobserved).ok()?.time_s;
    (half_s > 0.0 && half_s < SECONDS_PER_DAY).then_some(2.0 * half_s)
}
