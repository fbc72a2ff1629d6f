//! The steady clock in one room.

use crate::answers::lasting_swing::LastingSwing;
use crate::answers::no_answer::NoAnswer;
use crate::answers::return_map::Clock;
use crate::answers::solve::Solver;
use crate::answers::steady::SteadySwing;
use crate::clock::build::{BuildError, Built, build};
use crate::clock::design::Design;
use crate::clock::environment::InRoom;
use crate::clock::environment::surroundings::{same_escapement, surrounded};
use crate::clock::mechanism::PendulumModel;
use crate::clock::pendulum::compound::small_swing_period_s;
use crate::clock::{SECONDS_PER_DAY, rate_s_per_day};
use crate::dynamics::ideal::{Ideal, IdealMotion};
use crate::dynamics::observe::Unobserved;

use super::fall::WeightFall;
use super::path::Room;

/// Why a clock has no season at all.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoSeason {
    /// It cannot be built in the mean room.
    #[error(transparent)]
    Build(BuildError),
    /// Without a train the rate has nothing to refer to but the period in the mean room, and there is none.
    #[error("the clock stops in its mean room, and without a train its rate has no other reference: {0}")]
    Stops(#[source] NoAnswer),
}

/// The steady clock in a room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SteadyState {
    /// Rate, s/day, positive gains.
    pub rate_s_per_day: f64,
    /// Semi-arc, mean of both sides, rad.
    pub semi_arc_rad: f64,
    /// Rate of the pendulum alone in very small swings, s/day.
    pub small_swing_s_per_day: f64,
    /// Rate of the pendulum alone, without losses, in swings of the semi-arc, s/day.
    pub free_s_per_day: f64,
    /// By how much the swing exceeds the escaping arcs, the lesser of both sides, rad.
    pub arc_margin_rad: f64,
}

impl SteadyState {
    /// How many numbers it has.
    pub const COUNT: usize = 5;

    /// The numbers in the order of the fields.
    #[must_use]
    pub const fn numbers(&self) -> [f64; Self::COUNT] {
        let Self { rate_s_per_day, semi_arc_rad, small_swing_s_per_day, free_s_per_day, arc_margin_rad } = *self;
        [rate_s_per_day, semi_arc_rad, small_swing_s_per_day, free_s_per_day, arc_margin_rad]
    }

    /// The state of these numbers.
    #[must_use]
    pub const fn of(numbers: [f64; Self::COUNT]) -> Self {
        let [rate_s_per_day, semi_arc_rad, small_swing_s_per_day, free_s_per_day, arc_margin_rad] = numbers;
        Self { rate_s_per_day, semi_arc_rad, small_swing_s_per_day, free_s_per_day, arc_margin_rad }
    }
}

/// A clock made ready for any room: what the rooms leave alone is built once, in the mean room.
#[derive(Debug, Clone)]
pub struct Setting<'d> {
    made: &'d Design,
    fall: Option<WeightFall>,
    /// The mean of the rooms.
    pub mean_room: Room,
    /// The design in the mean room.
    pub mean_design: InRoom,
    mean_built: Built,
    /// The steady clock in the mean room; `None` where it stops there.
    pub mean_state: Option<SteadyState>,
    /// Whether the rate refers to the train's period; else to that in the mean room.
    pub by_train: bool,
    required_s: f64,
    guess_rad: f64,
}

impl<'d> Setting<'d> {
    /// The clock that was `made`, ready for rooms around `mean_room`; `fall` where the fall of its weight changes something.
    ///
    /// # Errors
    /// [`NoSeason`].
    pub fn of(made: &'d Design, fall: Option<WeightFall>, mean_room: &Room) -> Result<Self, NoSeason> {
        let mean_design = in_room(made, fall.as_ref(), mean_room);
        let mean_built = build(&mean_design).map_err(NoSeason::Build)?;
        let clock = Clock::of(&mean_built.mechanism).ok_or(NoSeason::Build(BuildError::NoDrive))?;
        let found = Solver::new(&mean_built).steady_swing();
        let train_s = mean_built.train_period_s();
        let required_s = match (train_s, &found) {
            (Some(train_s), _) => train_s,
            (None, Ok(swing)) => swing.measured.period_s,
            (None, Err(cause)) => return Err(NoSeason::Stops(cause.clone())),
        };
        let guess_rad = match &found {
            Ok(swing) => swing.point.right_rad,
            Err(_) => 1.5 * clock.widest_escaping_arc_rad().max(0.01),
        };
        let mean_state = found.ok().map(|swing| state_of(&swing, &clock, required_s));
        Ok(Self {
            made,
            fall,
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
    /// [`NoAnswer`].
    pub fn state(&self, room: &Room) -> Result<SteadyState, NoAnswer> {
        let design = in_room(self.made, self.fall.as_ref(), room);
        if same_escapement(&design, &self.mean_design) {
            let surrounded = surrounded(&design, &self.mean_built)?;
            let solver = Solver::new(&self.mean_built).in_surroundings(&surrounded);
            let clock = Clock::of(&self.mean_built.mechanism).ok_or(BuildError::NoDrive)?;
            return self.state_in(solver, &clock.with_pendulum(&surrounded.pendulum));
        }
        let built = build(&design)?;
        self.state_in(Solver::new(&built), &Clock::of(&built.mechanism).ok_or(BuildError::NoDrive)?)
    }

    fn state_in(&self, solver: Solver<'_>, clock: &Clock<'_>) -> Result<SteadyState, NoAnswer> {
        Ok(state_of(&solver.near(self.guess_rad).steady_swing()?, clock, self.required_s))
    }
}

/// The design in a room: its parts as large as there, in its air, its weight as far down as there.
fn in_room(made: &Design, fall: Option<&WeightFall>, room: &Room) -> InRoom {
    let mut design = InRoom::of(made, &room.conditions());
    design.place = made.place.in_air_of(&room.air());
    if let Some(fall) = fall {
        fall.lower(&mut design, room.fallen);
    }
    design
}

/// The state of a steady swing of a clock, whose drive does not count here.
fn state_of(swing: &SteadySwing, clock: &Clock<'_>, required_s: f64) -> SteadyState {
    let pendulum = clock.pendulum();
    let rate = |period_s: Option<f64>| period_s.map_or(0.0, |period_s| rate_s_per_day(required_s, period_s));
    let semi_arc_rad = swing.measured.semi_arc_rad();
    SteadyState {
        rate_s_per_day: rate_s_per_day(required_s, swing.measured.period_s),
        semi_arc_rad,
        small_swing_s_per_day: rate(small_swing_period_s(pendulum)),
        free_s_per_day: rate(free_period_s(pendulum, semi_arc_rad)),
        arc_margin_rad: LastingSwing::steady(&swing.point).beyond_escaping_rad(clock),
    }
}

/// Full period of the pendulum alone, without losses, at an amplitude, s.
fn free_period_s(pendulum: &PendulumModel, amplitude_rad: f64) -> Option<f64> {
    let undamped = pendulum.without_losses();
    let mut swing = IdealMotion::start(&undamped, Ideal::Free, amplitude_rad).ok()?;
    let half_s = swing.run_to_turning(&mut Unobserved).ok()?.time_s;
    (half_s > 0.0 && half_s < SECONDS_PER_DAY).then_some(2.0 * half_s)
}
