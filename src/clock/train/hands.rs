//! Torque that hands and motion work ask of the minute hand's arbor, over the time on the dial and in both senses of turning.

use std::f64::consts::{PI, TAU};
use std::sync::LazyLock;

use crate::clock::SECONDS_PER_HOUR;
use crate::clock::design::{DialShares, Hand, Hands, Train};

use super::counts::TrainError;
use super::mesh::{Mesh, involute_mesh};

/// Time in which the hands come back to where they were, s.
pub const DIAL_TURN_S: f64 = 12.0 * SECONDS_PER_HOUR;

/// Turns of the minute hand for one of the hour hand.
const HOUR_HAND_TURNS: f64 = 12.0;

/// Positions of the hands that are asked, in twelve hours: every ten seconds, a degree of the minute hand. Between them the torque
/// rises by no more than a 26,000th of the hand's own (`1 - cos(half a degree)`).
pub const POSITIONS: u32 = 4320;

/// Time after twelve of a position, s.
#[must_use]
pub fn position_time_s(number: u32) -> f64 {
    DIAL_TURN_S * f64::from(number) / f64::from(POSITIONS)
}

/// Angle of the minute hand at a time after twelve, clockwise from the top, rad.
#[must_use]
pub fn minute_angle_rad(time_s: f64) -> f64 {
    TAU * (time_s / SECONDS_PER_HOUR).rem_euclid(1.0)
}

/// Angle of the hour hand, likewise.
#[must_use]
pub fn hour_angle_rad(time_s: f64) -> f64 {
    TAU * (time_s / DIAL_TURN_S).rem_euclid(1.0)
}

/// Sines of the angles of minute and hour hand at every position asked: the same for all hands, while copies of a clock ask for theirs by the
/// thousand.
static POSITION_SINES: LazyLock<Vec<(f64, f64)>> = LazyLock::new(|| {
    let times_s = (0..POSITIONS).map(position_time_s);
    times_s.map(|time_s| (minute_angle_rad(time_s).sin(), hour_angle_rad(time_s).sin())).collect()
});

/// Torque that turns a hand clockwise against gravity, N m: `-m g r sin(angle)`, positive on the left of the dial, where it
/// rises; by the sine of its angle clockwise from the top.
fn lifting_torque_n_m(hand: &Hand, gravity_m_s2: f64, sine: f64) -> f64 {
    -hand.mass_kg * gravity_m_s2 * hand.centre_of_mass_m * sine
}

/// Inertia of a hand about its arbor, kg m^2: that of a uniform rod of its length, the centre of mass being where it may.
#[must_use]
pub fn hand_inertia_kg_m2(hand: &Hand) -> f64 {
    hand.mass_kg * hand.length_m * hand.length_m / 3.0
}

/// Way in which the hands are turned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turning {
    /// Clockwise, as the clock goes.
    Forward,
    /// Anticlockwise, as hands fall back that nothing holds, and as a recoil turns them.
    Backward,
}

/// Torque that turns hands and motion work, at the minute hand's arbor; below 0 where they fall by more than friction holds.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct HandsTorque {
    /// Clockwise, N m.
    pub forward_n_m: f64,
    /// Anticlockwise, N m.
    pub backward_n_m: f64,
}

/// Hands and motion work made ready to be asked for many positions.
#[derive(Debug, Clone, PartialEq)]
pub struct CarriedHands {
    hands: Hands,
    gravity_m_s2: f64,
    /// Of each pair, from the minute hand on: driver's teeth over the driven's, and the share of the power that passes.
    motion_work: Vec<(f64, f64)>,
    /// Least and largest forward torque over the dial, N m.
    range_n_m: (f64, f64),
}

impl CarriedHands {
    /// Made ready; all checks happen here.
    ///
    /// # Errors
    /// [`TrainError::MeshHolds`]: teeth of the motion work that hold fast.
    pub fn new(hands: &Hands, train: &Train, gravity_m_s2: f64) -> Result<Self, TrainError> {
        let mut motion_work = Vec::with_capacity(train.motion_work.len());
        for &(driver, driven) in &train.motion_work {
            let mesh = involute_mesh(driver, driven, train.pressure_angle_rad);
            check_that_it_passes(&mesh, train, "motion work")?;
            motion_work.push((f64::from(driver) / f64::from(driven), mesh.passed_share(train.tooth_friction.value)));
        }
        let mut carried = Self { hands: *hands, gravity_m_s2, motion_work, range_n_m: (0.0, 0.0) };
        carried.range_n_m = POSITION_SINES
            .iter()
            .map(|&sines| carried.torque_by_sines_n_m(sines, Turning::Forward))
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), torque| (least.min(torque), most.max(torque)));
        Ok(carried)
    }

    /// The hands.
    #[must_use]
    pub const fn hands(&self) -> &Hands {
        &self.hands
    }

    pub(super) const fn set_dial_shares(&mut self, shares: Option<DialShares>) {
        self.hands.dial_shares = shares;
    }

    /// Torque at the minute hand's arbor that turns hands and motion work at a time after twelve, N m, positive in the sense of
    /// `turning`; below 0 where the hands fall that way by more than friction holds.
    #[must_use]
    pub fn torque_n_m(&self, time_s: f64, turning: Turning) -> f64 {
        self.torque_by_sines_n_m((minute_angle_rad(time_s).sin(), hour_angle_rad(time_s).sin()), turning)
    }

    /// The same by the sines of the angles of minute and hour hand.
    fn torque_by_sines_n_m(&self, (minute_sine, hour_sine): (f64, f64), turning: Turning) -> f64 {
        let sense = match turning {
            Turning::Forward => 1.0,
            Turning::Backward => -1.0,
        };
        let lifting = |hand, sine| sense * lifting_torque_n_m(hand, self.gravity_m_s2, sine);
        let mut hour = self.hands.hour.as_ref().map_or(0.0, |hand| lifting(hand, hour_sine));
        for &(step, passed) in self.motion_work.iter().rev() {
            hour = handed_on(hour, step, passed);
        }
        lifting(&self.hands.minute, minute_sine) + hour + self.hands.friction_n_m.value
    }

    /// The torque at a time after twelve, in both senses.
    #[must_use]
    pub fn at(&self, time_s: f64) -> HandsTorque {
        HandsTorque {
            forward_n_m: self.torque_n_m(time_s, Turning::Forward),
            backward_n_m: self.torque_n_m(time_s, Turning::Backward),
        }
    }

    /// The mean torque over the twelve hours, the same in both senses: friction, and what the motion work loses of the hour hand's
    /// weight.
    ///
    /// What gravity takes it gives back, but for the motion work, which asks for `1/p` of what it passes up and gives `p` of what comes
    /// down (`p`: share of the power that passes): over a turn of a hand of torque `T`, `T (1/p - p)/pi` at its arbor.
    #[must_use]
    pub fn mean(&self) -> HandsTorque {
        let lost = self.hands.hour.as_ref().map_or(0.0, |hand| {
            let (step, passed) =
                self.motion_work.iter().fold((1.0, 1.0), |(step, passed), pair| (step * pair.0, passed * pair.1));
            let peak = (hand.mass_kg * self.gravity_m_s2 * hand.centre_of_mass_m).abs();
            peak * step * (1.0 / passed - passed) / PI
        });
        let mean_n_m = self.hands.friction_n_m.value + lost;
        HandsTorque { forward_n_m: mean_n_m, backward_n_m: mean_n_m }
    }

    /// The torque that goes with a forward one: as much below the mean backward as that lies above it.
    ///
    /// Gravity changes its sign with the sense of turning. Of what the motion work loses the mean stands for the moment's, which differs
    /// from it by at most the hour hand's torque at the minute arbor times the work's own loss.
    #[must_use]
    pub fn under(&self, forward_n_m: f64) -> HandsTorque {
        HandsTorque { forward_n_m, backward_n_m: 2.0 * self.mean().forward_n_m - forward_n_m }
    }

    /// Least and largest forward torque over the dial, N m, at the positions asked.
    #[must_use]
    pub const fn range_n_m(&self) -> (f64, f64) {
        self.range_n_m
    }

    /// The torque at a share of the way from the mean to the largest.
    #[must_use]
    pub fn at_share(&self, share: f64) -> HandsTorque {
        let mean_n_m = self.mean().forward_n_m;
        self.under(mean_n_m + share * (self.range_n_m.1 - mean_n_m))
    }

    /// Mass that hangs on the minute hand's arbor, kg.
    #[must_use]
    pub fn mass_kg(&self) -> f64 {
        self.hands.minute.mass_kg + self.hands.hour.map_or(0.0, |hand| hand.mass_kg)
    }

    /// Inertia of both hands at the minute hand's arbor, kg m^2; the hour hand turns a twelfth as fast.
    #[must_use]
    pub fn inertia_kg_m2(&self) -> f64 {
        let hour = self.hands.hour.map_or(0.0, |hand| hand_inertia_kg_m2(&hand));
        hand_inertia_kg_m2(&self.hands.minute) + hour / (HOUR_HAND_TURNS * HOUR_HAND_TURNS)
    }
}

/// Torque at a driver for `torque_n_m` at what it drives; `step` is the driver's teeth over the driven's. The loss adds to what
/// must be given and takes from what comes back.
pub(in crate::clock) fn handed_on(torque_n_m: f64, step: f64, passed_share: f64) -> f64 {
    if torque_n_m > 0.0 { torque_n_m * step / passed_share } else { torque_n_m * step * passed_share }
}

pub(in crate::clock) fn check_that_it_passes(mesh: &Mesh, train: &Train, arbor: &str) -> Result<(), TrainError> {
    if mesh.passed_share(train.tooth_friction.value) > 0.0 {
        return Ok(());
    }
    Err(TrainError::MeshHolds { arbor: arbor.to_owned(), friction: train.tooth_friction.value })
}
