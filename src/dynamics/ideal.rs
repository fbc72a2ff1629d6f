//! The pendulum under the papers' ideal escapements: a constant torque between two angles, or a kick.

use crate::clock::design::{IdealKick, IdealTorque, KickSides, KickSize, Outside};
use crate::clock::mechanism::PendulumModel;
use crate::numerics::root::{fall_of_falling, first_fall_through_zero};
use crate::numerics::series::{Series, trusted_step, value};

use super::budget::take_one;
use super::motion::{ANGLE_TOLERANCE_RAD, SPEED_SHARE_S, Stop, StopReason, longest_swing_s};
use super::observe::{Jump, JumpKind, Mode, Observer, TakenSegment, WheelWay};
use super::segment::{State, TaylorSegment};

/// Which ideal escapement acts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ideal {
    /// Nothing: a free pendulum.
    Free,
    /// Constant torque.
    Torque(IdealTorque),
    /// Kick.
    Kick(IdealKick),
}

impl Ideal {
    /// Smallest swing, rad, over which it acts as meant: to the end of a torque's arc, to a kick's place.
    #[must_use]
    pub fn reach_rad(&self) -> f64 {
        match self {
            Self::Free => 0.0,
            Self::Torque(torque) => torque.after_rad.max(0.0),
            Self::Kick(kick) => kick.at_rad.abs(),
        }
    }
}

/// Stretches in one swing after which the motion is given up.
const MOST_STRETCHES: usize = 5_000;

/// A pendulum without a wheel on its way.
#[derive(Debug, Clone)]
pub struct IdealMotion<'m> {
    pendulum: &'m PendulumModel,
    ideal: Ideal,
    state: State,
    direction: f64,
    /// Sign of a torque that is always on.
    way: f64,
    /// Next mark that the swing meets, already passed ones left out.
    passed: usize,
    series: Box<TaylorSegment>,
}

/// A swing that counts as none: a picometre, a metre down. One that dies away by viscous friction alone never ends, and far
/// below this the accuracy asked of a step sets it no length.
const AT_REST_RAD: f64 = 1e-12;

impl<'m> IdealMotion<'m> {
    /// The pendulum let go at rest at `theta_rad > 0`.
    ///
    /// # Errors
    /// [`Stop`] if it does not move.
    pub fn start(pendulum: &'m PendulumModel, ideal: Ideal, theta_rad: f64) -> Result<Self, Stop> {
        let mut motion = Self {
            pendulum,
            ideal,
            state: State { time_s: 0.0, theta_rad, omega_rad_s: 0.0, phi_rad: 0.0, nu_rad_s: 0.0 },
            direction: 1.0,
            way: -1.0,
            passed: 0,
            series: Box::default(),
        };
        motion.turn(-1.0)?;
        Ok(motion)
    }

    /// The state now.
    #[must_use]
    pub fn state(&self) -> State {
        self.state
    }

    /// Swing that must be reached for a tooth to escape, rad; none for a kick, which a smaller swing simply misses.
    #[must_use]
    pub fn escaping_arc_rad(&self) -> f64 {
        match self.ideal {
            Ideal::Torque(_) => self.ideal.reach_rad(),
            Ideal::Free | Ideal::Kick(_) => 0.0,
        }
    }

    /// Angles in the direction of motion, in order, at which the escapement changes.
    fn marks(&self) -> [f64; 2] {
        match self.ideal {
            Ideal::Free => [f64::INFINITY; 2],
            Ideal::Torque(torque) => match torque.outside {
                Outside::None => [-torque.before_rad, torque.after_rad],
                Outside::Reversed => [torque.after_rad, f64::INFINITY],
            },
            Ideal::Kick(kick) => [kick.at_rad, f64::INFINITY],
        }
    }

    fn torque_n_m(&self) -> f64 {
        match self.ideal {
            Ideal::Torque(torque) => match torque.outside {
                Outside::None if self.passed == 1 => torque.torque_n_m * self.direction,
                Outside::None => 0.0,
                Outside::Reversed => torque.torque_n_m * self.way,
            },
            _ => 0.0,
        }
    }

    fn turn(&mut self, towards: f64) -> Result<(), Stop> {
        self.direction = towards;
        self.state.omega_rad_s = 0.0;
        let along = self.state.theta_rad * towards;
        self.passed = self.marks().iter().filter(|&&mark| mark <= along).count();
        let pendulum = self.pendulum;
        let torque = -pendulum.restoring_torque_n_m(self.state.theta_rad) + self.torque_n_m();
        if !(torque * towards > pendulum.friction_torque_n_m) || self.state.theta_rad.abs() < AT_REST_RAD {
            return Err(self.stop(StopReason::AtRest));
        }
        Ok(())
    }

    fn stop(&self, reason: StopReason) -> Stop {
        Stop { reason, time_s: self.state.time_s, theta_rad: self.state.theta_rad }
    }

    /// Runs to the next turning point; gives the state there.
    ///
    /// # Errors
    /// [`Stop`] if the pendulum stops before or goes over the top.
    pub fn run_to_turning(&mut self, observer: &mut impl Observer) -> Result<State, Stop> {
        let began = self.state.time_s;
        let longest = longest_swing_s(self.pendulum);
        for _ in 0..MOST_STRETCHES {
            if !take_one() {
                return Err(self.stop(StopReason::OutOfWork));
            }
            let torque = self.torque_n_m();
            self.series.fill_apart(self.pendulum, &self.state, self.direction, torque, 0.0, None);
            let (theta, omega) = (&self.series.theta, &self.series.omega);
            let errors: Series = std::array::from_fn(|n| theta[n].abs().max(SPEED_SHARE_S * omega[n].abs()));
            let mut duration = trusted_step(&errors, ANGLE_TOLERANCE_RAD).min(longest);
            let outward: Series = std::array::from_fn(|n| self.direction * self.series.omega[n]);
            let mut turned = false;
            if let Some(t) = first_fall_through_zero(&outward, duration) {
                (duration, turned) = (t, true);
            }
            let mark = self.marks().get(self.passed).copied().unwrap_or(f64::INFINITY);
            let mut marked = false;
            if mark.is_finite() && value(&self.series.theta, duration) * self.direction > mark {
                let mut left: Series = std::array::from_fn(|n| -self.direction * self.series.theta[n]);
                left[0] += mark;
                if let Some(t) = fall_of_falling(&left, 0.0, duration) {
                    (duration, turned, marked) = (t, false, true);
                }
            }
            let mode = if torque == 0.0 { Mode::Apart } else { Mode::Driven };
            if duration > 0.0 {
                observer.segment(&TakenSegment {
                    series: &self.series,
                    start_s: self.state.time_s,
                    duration_s: duration,
                    mode,
                    way: WheelWay::Still,
                    direction: self.direction,
                });
            }
            self.state = self.series.state_at(self.state.time_s, duration);
            if self.state.theta_rad.abs() > std::f64::consts::PI || !self.state.theta_rad.is_finite() {
                return Err(self.stop(StopReason::BeyondFaces));
            }
            if marked {
                self.state.theta_rad = mark * self.direction;
                self.pass_mark(observer);
            }
            if turned {
                let state = self.state;
                self.turn(-self.direction)?;
                return Ok(State { omega_rad_s: 0.0, ..state });
            }
            if self.state.time_s - began > longest {
                return Err(self.stop(StopReason::AtRest));
            }
        }
        Err(self.stop(StopReason::Chatter))
    }

    fn pass_mark(&mut self, observer: &mut impl Observer) {
        self.passed += 1;
        match self.ideal {
            Ideal::Free => {}
            Ideal::Torque(torque) => {
                if torque.outside == Outside::Reversed {
                    self.way = -self.direction;
                }
            }
            Ideal::Kick(kick) => {
                if kick.sides == KickSides::Right && self.direction < 0.0 {
                    return;
                }
                let inertia = self.pendulum.inertia_kg_m2;
                let before = self.state.omega_rad_s.abs();
                let after = match kick.size {
                    KickSize::Energy(energy) => (before * before + 2.0 * energy / inertia).max(0.0).sqrt(),
                    KickSize::Speed(speed) => before + speed,
                };
                self.state.omega_rad_s = after * self.direction;
                observer.jump(&Jump {
                    kind: JumpKind::Kick,
                    state: self.state,
                    energy_j: 0.5 * inertia * (after * after - before * before),
                });
            }
        }
    }
}
