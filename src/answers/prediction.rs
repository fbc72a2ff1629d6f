//! All that a maker asks of one clock: verdict, amplitude, rate, least drive, run time, where the energy goes, and remarks.

use crate::clock::build::{BuildError, Built, build};
use crate::clock::environment::InRoom;
use crate::clock::escapement::action::Action;
use crate::clock::notes::Note;
use crate::clock::side::{PerPallet, Side};
use crate::clock::train::losses::RunTime;

use super::dial::{TwelveHours, dial_solved};
use super::drivable::Drivable;
use super::friction_reserve::{FrictionReserve, friction_reserve, friction_reserve_of_going};
use super::gain_scan::GainScan;
use super::life::{Lasting, Life};
use super::measure::Measured;
use super::no_answer::NoAnswer;
use super::remarks::{Remark, remarks};
use super::return_map::{Clock, PeriodFailure};
use super::solve::{LeastDrive, Solution, Solver, Wanted};
use super::steady::Steady;
use super::support::SupportAnswer;
use super::verdict::{Reason, Verdict};
use super::wandering::WanderingSwing;
use super::warm_start::WarmStart;

/// A prediction could not be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PredictError {
    /// The design cannot be built.
    #[error(transparent)]
    Build(#[from] BuildError),
    /// The steady period could not be measured although the limit cycle was found.
    #[error("the steady swing at {:.3} deg was found, but its period could not be measured: {failure:?}", amplitude_rad.to_degrees())]
    Measure {
        /// Amplitude of the cycle.
        amplitude_rad: f64,
        /// What happened.
        failure: PeriodFailure,
    },
}

/// Everything about one design.
#[derive(Debug, Clone)]
pub struct Prediction {
    /// The design come together.
    pub built: Built,
    /// Probed starts and stable points.
    pub scan: GainScan,
    /// The verdict.
    pub verdict: Verdict,
    /// The steady state, where there is one.
    pub steady: Option<Steady>,
    /// The mean of a swing that does not settle; `None` where it does, or stops.
    pub wandering: Option<WanderingSwing>,
    /// By how much the least swing exceeds the escaping arcs, rad, the lesser of both sides; `None` where it stops.
    pub arc_margin_rad: Option<f64>,
    /// By how much all frictions may grow before it stops, or why that has no value.
    pub friction_reserve: Result<FrictionReserve, NoAnswer>,
    /// The least drive; `None` where none was found or none has a meaning.
    pub least: Option<LeastDrive>,
    /// The twelve hours of the dial; `None` without hands, where nobody asked, and where the clock stops under the mean of their torque.
    pub dial: Option<TwelveHours>,
    /// How long a winding lasts; `None` without a weight drive or a time base.
    pub run_time: Option<RunTime>,
    /// What wall and hanging weight do to it; `None` where nobody asked.
    pub support: Option<SupportAnswer>,
    /// How it does over the years, or why that has no value.
    pub life: Result<Life, NoAnswer>,
    /// Remarks on what has no value, and warnings.
    pub notes: Vec<Remark>,
}

impl Prediction {
    /// What a built clock comes to, without remarks.
    ///
    /// # Errors
    /// [`PredictError::Measure`].
    pub fn of(built: Built, solution: Solution) -> Result<Self, PredictError> {
        let Solution { scan, verdict, steady, wandering, arc_margin_rad, least, dial, run_time } = solution;
        let friction_reserve = Err(NoAnswer::NotAsked);
        let steady = match steady {
            Ok(steady) => Some(steady),
            Err(NoAnswer::Unmeasured { amplitude_rad, failure }) => {
                return Err(PredictError::Measure { amplitude_rad, failure });
            }
            Err(_) => None,
        };
        Ok(Self {
            built,
            scan,
            verdict,
            steady,
            wandering,
            arc_margin_rad,
            friction_reserve,
            least: least.ok(),
            dial,
            run_time,
            support: None,
            life: Err(NoAnswer::NotAsked),
            notes: Vec::new(),
        })
    }

    /// Action with its recoil at the steady swing (else at the start arc): pallet and wheel arcs for entry and exit, rad.
    #[must_use]
    pub fn recoil_rad(&self, design: &InRoom) -> Option<PerPallet<(f64, f64)>> {
        let action = self.built.action?;
        let (right, left) = match (self.measured(), design.start_arc_rad) {
            (Some(measured), _) => (measured.right_rad, measured.left_rad),
            (None, Some(start)) => (start, start),
            (None, None) => (action.entry.landing_rad, -action.exit.landing_rad),
        };
        self.built.recoil_rad(right, left)
    }

    /// With all that takes the design, as far as it is wanted: friction reserve, wall and hanging weight, the years.
    #[must_use]
    pub fn with_rest_of(self, in_room: &InRoom, wanted: Wanted) -> Self {
        self.with_friction_reserve(in_room, wanted).with_support(wanted).with_life(in_room, wanted)
    }

    /// With the friction reserve where it is wanted, and what there is to remark on it.
    fn with_friction_reserve(mut self, in_room: &InRoom, wanted: Wanted) -> Self {
        if wanted.friction_reserve {
            self.friction_reserve = match self.verdict {
                Verdict::Stops(..) => friction_reserve(in_room, &self.built),
                Verdict::KeepsGoing(_) | Verdict::Wanders(..) => friction_reserve_of_going(in_room, &self.built, None),
            };
            if self.friction_reserve == Ok(FrictionReserve::NeverStops) {
                self.notes.push(Remark::FrictionNeverStopsIt);
            }
        }
        self
    }

    /// With what wall and hanging weight do to it, where that is wanted.
    fn with_support(mut self, wanted: Wanted) -> Self {
        self.support = wanted.support.then(|| SupportAnswer::of(&self));
        let worst = self.support.as_ref().and_then(|answer| answer.on_support.as_ref()?.worst);
        if let Some(worst) = worst.filter(|worst| worst.stops.is_some() && self.reason().is_none()) {
            let (days, hangs_m) = (worst.place.days, worst.place.hangs_m);
            self.notes.push(Remark::StopsAsTheWeightSinks { days, hangs_m });
        }
        self
    }

    /// With how it does over the years, where that is wanted.
    fn with_life(mut self, in_room: &InRoom, wanted: Wanted) -> Self {
        if wanted.life {
            self.life = Life::of(in_room, &self);
            if self.life.as_ref().is_ok_and(|life| life.going == Lasting::Longer) {
                self.notes.push(Remark::OutlastsTheYears);
            }
        }
        self
    }

    /// Whether the swing has the margin that is asked of it; `None` where it stops.
    #[must_use]
    pub fn meets_margin(&self) -> Option<bool> {
        Some(self.beyond_margin_rad()? >= 0.0)
    }

    /// By how much the swing exceeds the margin that is asked of it, rad, below 0 where it falls short; `None` where it stops.
    #[must_use]
    pub fn beyond_margin_rad(&self) -> Option<f64> {
        Some(self.arc_margin_rad? - self.built.margin_rad)
    }

    /// Pallets past whose lock a tooth falls.
    #[must_use]
    pub fn locks_missed(&self) -> Vec<Side> {
        let missed = self.built.notes().into_iter().filter_map(|note| match note {
            Note::LockMissed { pallet, .. } => Some(pallet),
            _ => None,
        });
        missed.collect()
    }

    /// The measured period: the steady one, or the mean one of a swing that does not settle.
    #[must_use]
    pub fn measured(&self) -> Option<&Measured> {
        let steady = self.steady.as_ref().map(|steady| &steady.measured);
        steady.or(self.wandering.as_ref().map(|swing| &swing.measured))
    }

    /// Rate, s/day: of the steady swing, or the mean one of a swing that does not settle.
    #[must_use]
    pub fn rate_s_per_day(&self) -> Option<f64> {
        match &self.steady {
            Some(steady) => steady.rate_s_per_day,
            None => self.wandering.as_ref()?.rate_s_per_day,
        }
    }

    /// The action.
    #[must_use]
    pub fn action(&self) -> Option<Action> {
        self.built.action
    }

    /// Reason of a stop.
    #[must_use]
    pub fn reason(&self) -> Option<Reason> {
        match self.verdict {
            Verdict::Stops(reason, _) => Some(reason),
            _ => None,
        }
    }

    /// Smallest swings, right and left, that let a tooth escape, rad; `None` without a drive.
    #[must_use]
    pub fn escaping_arcs_rad(&self) -> Option<(f64, f64)> {
        Some(Clock::of(&self.built.mechanism)?.escaping_arcs_rad())
    }

    /// Torque at the escape wheel for the least drive with the margin, N m.
    #[must_use]
    pub fn torque_with_margin_n_m(&self) -> Option<f64> {
        Drivable::of(&self.built)?.torque_n_m(self.least?.with_margin?)
    }
}

/// The prediction for a clock in its room.
///
/// # Errors
/// [`PredictError`].
pub fn predict(in_room: &InRoom) -> Result<Prediction, PredictError> {
    predict_all_of(in_room, Wanted::EVERYTHING)
}

/// The same for a clock that is already some years old: its years are not told once more.
///
/// # Errors
/// [`PredictError`].
pub fn predict_aged(in_room: &InRoom) -> Result<Prediction, PredictError> {
    predict_all_of(in_room, Wanted { life: false, ..Wanted::EVERYTHING })
}

fn predict_all_of(in_room: &InRoom, wanted: Wanted) -> Result<Prediction, PredictError> {
    Ok(predict_from(None, build(in_room)?)?.with_rest_of(in_room, wanted))
}

/// The prediction for a clock that was built, by other prints of its parts than the mean ones if need be, the searches begun
/// where those of a clock much like it ended. What takes the design is not among it ([`Prediction::with_rest_of`]).
///
/// # Errors
/// [`PredictError`].
pub fn predict_from(warm: Option<&WarmStart>, built: Built) -> Result<Prediction, PredictError> {
    let built = dial_solved(built);
    let solution = Solver::new(&built).wanted(Wanted::EVERYTHING).warm(warm).solve()?;
    let notes = remarks(&built, &solution);
    Ok(Prediction { notes, ..Prediction::of(built, solution)? })
}

/// The prediction as far as it is wanted, without remarks.
///
/// # Errors
/// [`PredictError`].
pub fn predict_only(in_room: &InRoom, wanted: Wanted) -> Result<Prediction, PredictError> {
    let built = dial_solved(build(in_room)?);
    let solution = Solver::new(&built).wanted(wanted).solve()?;
    Ok(Prediction::of(built, solution)?.with_rest_of(in_room, wanted))
}
