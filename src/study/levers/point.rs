//! What a lever moves: rate, amplitude, least drive, margin and run time of one design, by the shortest way.

use crate::answers::gain_scan::gain_scan;
use crate::answers::measure::measure;
use crate::answers::prediction::{bare_least, own_drive, run_time_of};
use crate::answers::return_map::{Clock, Failure};
use crate::answers::verdict::{Reason, Verdict, verdict_of};
use crate::clock::build::{BuildError, build};
use crate::clock::drive_level::DriveLevel;
use crate::clock::environment::InRoom;
use crate::clock::rate_s_per_day;

/// An answer that levers move.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Answer {
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

impl Answer {
    /// All, in the order in which an array of answers holds them.
    pub const ALL: [Self; 5] = [Self::Rate, Self::Amplitude, Self::Least, Self::Margin, Self::RunTime];

    /// Place in an array of answers.
    #[must_use]
    pub const fn index(self) -> usize {
        self as usize
    }
}

/// One number for each of [`Answer::ALL`]; `None` where there is none.
pub type Answers = [Option<f64>; Answer::ALL.len()];

/// Why a design has not all answers.
#[derive(Debug, Clone, PartialEq)]
pub enum Trouble {
    /// The scenario has no such value, or does not allow it.
    Refused(String),
    /// There is no such clock.
    Unbuilt(BuildError),
    /// It stops.
    Stops(Reason),
    /// Its swing does not settle.
    Wanders,
    /// The limit cycle was found but its period did not come round.
    Unmeasured(Failure),
}

/// The answers of one design, raw: the rate needs a period to compare with.
#[derive(Debug, Clone, PartialEq)]
pub struct Point {
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
    pub trouble: Option<Trouble>,
}

impl Point {
    /// The answers; `reference_period_s` stands in for the train's period where there is none.
    #[must_use]
    pub fn answers(&self, reference_period_s: Option<f64>) -> Answers {
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

/// The answers of a design as `answers::prediction::predict` finds them, without all that takes longer.
///
/// # Errors
/// [`BuildError`].
pub fn point(design: &InRoom) -> Result<Point, BuildError> {
    let built = build(design)?;
    let Some(clock) = Clock::of(&built.mechanism) else { return Err(BuildError::NoDrive) };
    let (measured, trouble) = match verdict_of(&built, &clock, &gain_scan(&clock), design.start_arc_rad) {
        Verdict::KeepsGoing(cycle) => match measure(&clock, cycle.right_rad, None) {
            Ok(measured) => (Some(measured), None),
            Err(failure) => (None, Some(Trouble::Unmeasured(failure))),
        },
        Verdict::Wanders(..) => (None, Some(Trouble::Wanders)),
        Verdict::Stops(reason, _) => (None, Some(Trouble::Stops(reason))),
    };
    let period_s = measured.as_ref().map(|measured| measured.period_s);
    Ok(Point {
        period_s,
        train_period_s: built.train.as_ref().and_then(|train| train.train_period_s),
        semi_arc_rad: measured.map(|measured| 0.5 * (measured.right_rad + measured.left_rad)),
        least: bare_least(design, &built),
        drive: own_drive(design, &built),
        run_time_s: run_time_of(design, &built, period_s).map(|run| run.run_time_s),
        trouble,
    })
}
