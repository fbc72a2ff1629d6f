//! What a lever moves: rate, amplitude, least drive, margin and run time of one design, by the shortest way.

use crate::answers::measure::Measured;
use crate::answers::no_answer::NoAnswer;
use crate::answers::solve::{Solution, Solver, Wanted};
use crate::clock::build::{BuildError, Built, build};
use crate::clock::drive_level::DriveLevel;
use crate::clock::environment::InRoom;
use crate::clock::rate_s_per_day;

/// An answer that levers move.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LeverAnswer {
    /// Rate, s/day, positive gains.
    Rate,
    /// Mean semi-arc of both sides, rad.
    Amplitude,
    /// Bare least drive, kg or N m.
    Least,
    /// Drive over bare least drive.
    Margin,
    /// Run from one winding to the next, s.
    RunTime,
}

impl LeverAnswer {
    /// All, in the order in which an array of answers holds them.
    pub const ALL: [Self; 5] = [Self::Rate, Self::Amplitude, Self::Least, Self::Margin, Self::RunTime];

    /// Place in an array of answers.
    #[must_use]
    pub const fn index(self) -> usize {
        self as usize
    }
}

/// One number for each of [`LeverAnswer::ALL`]; `None` where there is none.
pub type LeverAnswers = [Option<f64>; LeverAnswer::ALL.len()];

/// The answers of one design, raw: the rate needs a period to compare with.
#[derive(Debug, Clone, PartialEq)]
pub struct ClockAnswers {
    /// Full period, s.
    pub period_s: Option<f64>,
    /// Full period that the train requires, s.
    pub train_period_s: Option<f64>,
    /// Mean semi-arc, rad.
    pub semi_arc_rad: Option<f64>,
    /// Bare least drive.
    pub least: Option<DriveLevel>,
    /// Its own drive.
    pub drive: Option<DriveLevel>,
    /// Run from one winding to the next, s.
    pub run_time_s: Option<f64>,
    /// Why rate and amplitude are missing, where they are.
    pub missing: Option<NoAnswer>,
}

impl ClockAnswers {
    /// The answers of a built clock.
    ///
    /// # Errors
    /// [`BuildError::NoDrive`].
    pub fn of(built: &Built) -> Result<Self, BuildError> {
        let Solution { steady, least, run_time, .. } = Solver::new(built).wanted(Wanted::LEAST).solve()?;
        let measured = steady.as_ref().ok().map(|steady| &steady.measured);
        Ok(Self {
            period_s: measured.map(|measured| measured.period_s),
            train_period_s: built.train_period_s(),
            semi_arc_rad: measured.map(Measured::semi_arc_rad),
            least: least.ok().map(|least| least.bare),
            drive: built.own_drive(),
            run_time_s: run_time.map(|run| run.run_time_s),
            missing: steady.err(),
        })
    }

    /// The answers; `reference_period_s` stands in for the train's period where there is none.
    #[must_use]
    pub fn answers(&self, reference_period_s: Option<f64>) -> LeverAnswers {
        let required = self.train_period_s.or(reference_period_s);
        [
            required.zip(self.period_s).map(|(required, period)| rate_s_per_day(required, period)),
            self.semi_arc_rad,
            self.least.map(DriveLevel::value),
            self.drive.zip(self.least).map(|(drive, least)| drive.value() / least.value()),
            self.run_time_s,
        ]
    }
}

/// The answers of a clock as `answers::prediction::predict` finds them, without all that takes longer.
///
/// # Errors
/// [`BuildError`].
pub fn clock_answers(in_room: &InRoom) -> Result<ClockAnswers, BuildError> {
    ClockAnswers::of(&build(in_room)?)
}
