//! The return map: the amplitude on the right after one period, from the amplitude before. Where the teeth of the wheel are
//! not all alike, the maps of all teeth are composed: one whole turn of the wheel.

use crate::clock::mechanism::{ContactEscapement, DriveModel, EscapementModel, Mechanism, PendulumModel};
use crate::clock::side::Side;
use crate::dynamics::budget::within_a_period;
use crate::dynamics::ideal::{Ideal, IdealMotion};
use crate::dynamics::observe::{Observer, Unobserved};
use crate::dynamics::{Motion, Stop};
use crate::geometry::COVERED_RAD;

/// A clock that can be let go: the mechanism with one drive.
#[derive(Debug, Clone, Copy)]
pub enum Clock<'m> {
    /// Pendulum and wheel in contact.
    Contact {
        /// Pendulum.
        pendulum: &'m PendulumModel,
        /// Wheel and pallets.
        escapement: &'m ContactEscapement,
        /// Drive.
        drive: DriveModel,
    },
    /// Pendulum under an ideal escapement.
    Ideal {
        /// Pendulum.
        pendulum: &'m PendulumModel,
        /// Escapement.
        ideal: Ideal,
    },
}

/// What became of a start from rest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PeriodOutcome {
    /// One period later the wheel rests again where it did, one tooth on.
    Returned(Return),
    /// It does not come round.
    Failed(PeriodFailure),
}

/// A completed period.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Return {
    /// Amplitude on the right after the period: the turning point if the wheel rests there, else the turning point that
    /// stands for the state in which the wheel came to rest.
    pub right_rad: f64,
    /// Amplitude on the left, positive.
    pub left_rad: f64,
    /// Smallest amplitudes on the way, right and left: those above, unless the teeth differ.
    pub least_rad: (f64, f64),
    /// By how much the swing exceeds the arcs that let a tooth escape, least of all teeth that do so on the way.
    pub beyond_rad: f64,
    /// Whether the wheel rested on the pallet at the right turning point, and the pallet on the rod.
    pub rested: bool,
}

/// Why a period was not completed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PeriodFailure {
    /// No tooth got past the entry pallet.
    NotUnlocked,
    /// A tooth got past the entry pallet but not past the exit pallet.
    HalfBeat,
    /// More than one tooth got past.
    Skipped,
    /// The drive does not set the train going when a tooth is let go.
    TrainSticks,
    /// The motion stopped.
    Stopped(Stop),
}

impl Return {
    /// This return and one that follows it.
    fn followed_by(self, next: Self) -> Self {
        Self {
            least_rad: (self.least_rad.0.min(next.least_rad.0), self.least_rad.1.min(next.least_rad.1)),
            beyond_rad: self.beyond_rad.min(next.beyond_rad),
            ..next
        }
    }
}

impl PeriodOutcome {
    /// Gain of amplitude from `start_rad`, or `None` if the period was not completed.
    #[must_use]
    pub fn gain_rad(&self, start_rad: f64) -> Option<f64> {
        match self {
            Self::Returned(back) => Some(back.right_rad - start_rad),
            Self::Failed(_) => None,
        }
    }
}

/// A run under way, whichever the escapement.
#[derive(Debug, Clone)]
pub(super) enum RunningClock<'m> {
    Contact(Box<Motion<'m>>),
    Ideal(Box<IdealMotion<'m>>),
}

/// Turning points of one period.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Period {
    pub left_time_s: f64,
    pub left_rad: f64,
    pub right_time_s: f64,
    pub right_rad: f64,
    pub rested: bool,
}

impl RunningClock<'_> {
    /// Runs one period, from right turning point to right turning point.
    pub fn period(&mut self, observer: &mut impl Observer) -> Result<Period, PeriodFailure> {
        within_a_period(|| self.whole_period(observer))
    }

    fn whole_period(&mut self, observer: &mut impl Observer) -> Result<Period, PeriodFailure> {
        match self {
            Self::Ideal(motion) => {
                let escaping = motion.escaping_arc_rad();
                let left = motion.run_to_turning(observer).map_err(PeriodFailure::Stopped)?;
                if -left.theta_rad < escaping {
                    return Err(PeriodFailure::NotUnlocked);
                }
                let right = motion.run_to_turning(observer).map_err(PeriodFailure::Stopped)?;
                if right.theta_rad < escaping {
                    return Err(PeriodFailure::HalfBeat);
                }
                Ok(Period {
                    left_time_s: left.time_s,
                    left_rad: -left.theta_rad,
                    right_time_s: right.time_s,
                    right_rad: right.theta_rad,
                    rested: true,
                })
            }
            Self::Contact(motion) => {
                let left = motion.run_to_turning(observer).map_err(PeriodFailure::Stopped)?;
                let right = motion.run_to_turning(observer).map_err(PeriodFailure::Stopped)?;
                let rested = match right.resting_on {
                    Some(resting) => tooth_passed(resting).map(|()| motion.resting_on().is_some())?,
                    None => false,
                };
                motion.rebase_tooth_count(1);
                Ok(Period {
                    left_time_s: left.state.time_s,
                    left_rad: -left.state.theta_rad,
                    right_time_s: right.state.time_s,
                    right_rad: right.state.theta_rad,
                    rested,
                })
            }
        }
    }
}

/// Whether resting on this pallet and tooth at the right turning point completes a period.
fn tooth_passed((pallet, tooth): (Side, i64)) -> Result<(), PeriodFailure> {
    match (pallet, tooth) {
        (Side::Entry, 1) => Ok(()),
        (Side::Entry, ..=0) => Err(PeriodFailure::NotUnlocked),
        (Side::Exit, ..=1) => Err(PeriodFailure::HalfBeat),
        _ => Err(PeriodFailure::Skipped),
    }
}

impl<'m> Clock<'m> {
    /// The mechanism's clock with its own drive; `None` if it has contact but no drive.
    #[must_use]
    pub fn of(mechanism: &'m Mechanism) -> Option<Self> {
        Some(match &mechanism.escapement {
            EscapementModel::Contact(escapement) => {
                Self::Contact { pendulum: &mechanism.pendulum, escapement, drive: mechanism.drive? }
            }
            EscapementModel::IdealTorque(torque) => {
                Self::Ideal { pendulum: &mechanism.pendulum, ideal: Ideal::Torque(*torque) }
            }
            EscapementModel::IdealKick(kick) => {
                Self::Ideal { pendulum: &mechanism.pendulum, ideal: Ideal::Kick(*kick) }
            }
        })
    }

    /// The same clock with another pendulum.
    #[must_use]
    pub const fn with_pendulum(self, pendulum: &'m PendulumModel) -> Self {
        match self {
            Self::Contact { escapement, drive, .. } => Self::Contact { pendulum, escapement, drive },
            Self::Ideal { ideal, .. } => Self::Ideal { pendulum, ideal },
        }
    }

    /// The same clock with another wheel and pallets; an ideal one stays as it is.
    pub(super) const fn with_escapement<'e>(self, escapement: &'e ContactEscapement) -> Clock<'e>
    where
        'm: 'e,
    {
        match self {
            Self::Contact { pendulum, drive, .. } => Clock::Contact { pendulum, escapement, drive },
            Self::Ideal { pendulum, ideal } => Clock::Ideal { pendulum, ideal },
        }
    }

    /// The same clock with another drive at the escape wheel; `None` if it has contact but no drive.
    pub(super) fn with_drive(self, drive: Option<DriveModel>) -> Option<Self> {
        match self {
            Self::Contact { pendulum, escapement, .. } => Some(Self::Contact { pendulum, escapement, drive: drive? }),
            Self::Ideal { .. } => Some(self),
        }
    }

    /// The pendulum.
    #[must_use]
    pub fn pendulum(&self) -> &'m PendulumModel {
        match self {
            Self::Contact { pendulum, .. } | Self::Ideal { pendulum, .. } => pendulum,
        }
    }

    /// Net torque on the advancing wheel, N m; `None` without a wheel.
    pub(super) fn forward_n_m(&self) -> Option<f64> {
        match self {
            Self::Contact { drive, .. } => Some(drive.forward_n_m()),
            Self::Ideal { .. } => None,
        }
    }

    pub(super) fn let_go(&self, tooth: i64, theta_rad: f64) -> Result<RunningClock<'m>, Stop> {
        Ok(match self {
            Self::Contact { pendulum, escapement, drive } => {
                RunningClock::Contact(Box::new(Motion::start_on_tooth(pendulum, drive, escapement, tooth, theta_rad)?))
            }
            Self::Ideal { pendulum, ideal } => {
                RunningClock::Ideal(Box::new(IdealMotion::start(pendulum, *ideal, theta_rad)?))
            }
        })
    }

    /// Periods after which everything comes again: 1, or a whole turn of a wheel whose teeth differ.
    #[must_use]
    pub fn periods_per_return(&self) -> usize {
        match self {
            Self::Contact { escapement, .. } if escapement.teeth_differ() => escapement.teeth as usize,
            _ => 1,
        }
    }

    /// Whether the drive does not set the resting train going.
    #[must_use]
    pub fn sticks(&self) -> bool {
        matches!(self, Self::Contact { drive, .. } if drive.sticks())
    }

    /// Pendulum angles, right and left and both positive, at which a tooth escapes: the least a going clock must swing.
    /// For an ideal torque the end of its arc; for a kick its place.
    #[must_use]
    pub fn escaping_arcs_rad(&self) -> (f64, f64) {
        match self {
            Self::Contact { escapement, .. } => escaping_arcs_rad(escapement),
            Self::Ideal { ideal, .. } => (ideal.reach_rad(), ideal.reach_rad()),
        }
    }

    /// Escaping arcs, right and left, of the teeth that escape in the period that begins with a tooth resting on the entry pallet, rad:
    /// that tooth, and the one before the exit pallet.
    fn arcs_passed_rad(&self, tooth: i64) -> (f64, f64) {
        match self {
            Self::Contact { escapement, .. } => {
                let right = escapement.escaping_rad(Side::Exit, tooth + 1).unwrap_or(0.0);
                (right, escapement.escaping_rad(Side::Entry, tooth).unwrap_or(0.0))
            }
            Self::Ideal { ideal, .. } => (ideal.reach_rad(), ideal.reach_rad()),
        }
    }

    /// Periods from the start of a return to the one in which the tooth escapes that needs the widest swing.
    pub(super) fn hardest_period(&self) -> usize {
        let wanted_rad = |period: usize| {
            let (right_rad, left_rad) = self.arcs_passed_rad(period as i64);
            right_rad.max(left_rad)
        };
        (0..self.periods_per_return()).max_by(|&a, &b| wanted_rad(a).total_cmp(&wanted_rad(b))).unwrap_or(0)
    }

    /// The larger of the two escaping arcs, rad.
    #[must_use]
    pub fn widest_escaping_arc_rad(&self) -> f64 {
        let (right, left) = self.escaping_arcs_rad();
        right.max(left)
    }

    /// Largest amplitude that makes sense: the angles for which the pallets are known, or just short of upside down.
    #[must_use]
    pub fn largest_arc_rad(&self) -> f64 {
        match self {
            Self::Contact { .. } => COVERED_RAD * (1.0 - 1e-9),
            Self::Ideal { .. } => 0.99 * std::f64::consts::PI,
        }
    }

    /// From rest at `start_rad` on the right, tooth no. 0 resting on the entry pallet, to where everything comes again.
    #[must_use]
    pub fn period_from(&self, start_rad: f64) -> PeriodOutcome {
        if self.sticks() {
            return PeriodOutcome::Failed(PeriodFailure::TrainSticks);
        }
        let mut right = start_rad;
        let mut whole: Option<Return> = None;
        for tooth in 0..self.periods_per_return() {
            match self.one_period(tooth as i64, right, false) {
                Ok((back, _)) => {
                    right = back.right_rad;
                    whole = Some(whole.map_or(back, |whole| whole.followed_by(back)));
                }
                Err(failure) => return PeriodOutcome::Failed(failure),
            }
        }
        whole.map_or(PeriodOutcome::Failed(PeriodFailure::NotUnlocked), PeriodOutcome::Returned)
    }

    /// The same with the time that it takes, s, each period shown on the way. Where the wheel is still in its drop at the turning point, and another start stands for
    /// it, the time is that of one more period of the motion itself.
    ///
    /// # Errors
    /// [`PeriodFailure`].
    pub(super) fn timed_period_from(
        &self,
        start_rad: f64,
        on_the_way: &mut impl FnMut(&Return),
    ) -> Result<(Return, f64), PeriodFailure> {
        if self.sticks() {
            return Err(PeriodFailure::TrainSticks);
        }
        let (mut whole, mut duration_s) = self.one_period(0, start_rad, true)?;
        on_the_way(&whole);
        for tooth in 1..self.periods_per_return() {
            let (back, took_s) = self.one_period(tooth as i64, whole.right_rad, true)?;
            on_the_way(&back);
            whole = whole.followed_by(back);
            duration_s += took_s;
        }
        Ok((whole, duration_s))
    }

    /// One period and, where it is asked, its time; without meaning where not.
    fn one_period(&self, tooth: i64, start_rad: f64, timed: bool) -> Result<(Return, f64), PeriodFailure> {
        let mut run = self.let_go(tooth, start_rad).map_err(PeriodFailure::Stopped)?;
        let period = run.period(&mut Unobserved)?;
        let mut right_rad = period.right_rad;
        let mut duration_s = period.right_time_s;
        if let RunningClock::Contact(motion) = &mut run
            && !period.rested
        {
            // In its drop at the turning point: run on until the wheel rests and take the turning point that stands for it.
            let turning = motion.run_to_rest_or_turning(&mut Unobserved).map_err(PeriodFailure::Stopped)?;
            let resting = motion.resting_on().filter(|_| turning.is_none()).ok_or(PeriodFailure::HalfBeat)?;
            // The tooth count was set back by one at the end of the period.
            tooth_passed((resting.0, resting.1 + 1))?;
            right_rad = motion.equivalent_turning_rad().ok_or(PeriodFailure::HalfBeat)?;
            if timed {
                duration_s = run.period(&mut Unobserved)?.right_time_s - period.right_time_s;
            }
        }
        let (right_arc_rad, left_arc_rad) = self.arcs_passed_rad(tooth);
        let back = Return {
            right_rad,
            left_rad: period.left_rad,
            least_rad: (right_rad, period.left_rad),
            beyond_rad: (right_rad - right_arc_rad).min(period.left_rad - left_arc_rad),
            rested: period.rested,
        };
        Ok((back, duration_s))
    }
}

/// Angles at which the exit (right) and the entry pallet (left, given positive) let every tooth escape.
#[must_use]
pub fn escaping_arcs_rad(escapement: &ContactEscapement) -> (f64, f64) {
    let teeth = if escapement.teeth_differ() { i64::from(escapement.teeth) } else { 1 };
    (0..teeth)
        .map(|tooth| {
            let arc_rad = |pallet| escapement.escaping_rad(pallet, tooth).unwrap_or(0.0);
            (arc_rad(Side::Exit), arc_rad(Side::Entry))
        })
        .fold((f64::NEG_INFINITY, f64::NEG_INFINITY), |widest, arcs| (widest.0.max(arcs.0), widest.1.max(arcs.1)))
}
