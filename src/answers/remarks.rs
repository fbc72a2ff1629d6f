//! What a prediction leaves open, and why; the words are the report's.

use crate::clock::build::Built;
use crate::clock::notes::Note;

use super::no_answer::NoAnswer;
use super::solve::Solution;
use super::verdict::Verdict;

/// A remark on a prediction.
#[derive(Debug, Clone, PartialEq)]
pub enum Remark {
    /// The swing does not settle on one amplitude.
    Wanders {
        /// Least amplitude, rad.
        least_rad: f64,
        /// Largest amplitude, rad.
        largest_rad: f64,
    },
    /// A kick has no torque of which there could be a least one.
    KickWithoutTorque,
    /// The train jams under any weight.
    NoWeightFreesTheTrain,
    /// No drive that was tried keeps the clock going.
    NoLeastDrive,
    /// No drive that was tried gives the margin asked for.
    NoDriveWithMargin,
    /// No weight drives the clock.
    WithoutWeight,
    /// No train requires a period.
    WithoutMinuteHand,
    /// An ideal escapement has no action.
    WithoutPallets,
    /// It goes with all frictions as large as was tried.
    FrictionNeverStopsIt,
    /// The swing has less than the margin asked for.
    BelowMargin {
        /// By how much the swing exceeds the escaping arc, rad.
        arc_margin_rad: f64,
        /// What is asked, rad.
        asked_rad: f64,
    },
    /// What stands for the steady swing are means over one that wanders.
    MeansOfWandering,
    /// There is no steady swing.
    WithoutSteadySwing,
    /// Something to look at in the clock itself.
    Clock(Note),
}

impl From<Note> for Remark {
    fn from(note: Note) -> Self {
        Self::Clock(note)
    }
}

/// What there is to remark on the solution of a built clock of which everything was wanted.
pub(super) fn remarks(built: &Built, solution: &Solution) -> Vec<Remark> {
    let mut notes = Vec::new();
    if let Verdict::Wanders(least_rad, largest_rad) = solution.verdict {
        notes.push(Remark::Wanders { least_rad, largest_rad });
    }
    match &solution.least {
        Ok(least) if least.with_margin.is_some() => {}
        Ok(_) => notes.push(Remark::NoDriveWithMargin),
        Err(NoAnswer::NoDriveTorque) => notes.push(Remark::KickWithoutTorque),
        Err(NoAnswer::Stops(_)) => notes.push(Remark::NoWeightFreesTheTrain),
        Err(_) => notes.push(Remark::NoLeastDrive),
    }
    if built.weight_drive.is_none() {
        notes.push(Remark::WithoutWeight);
    }
    if built.train_period_s().is_none() {
        notes.push(Remark::WithoutMinuteHand);
    }
    if built.action.is_none() {
        notes.push(Remark::WithoutPallets);
    }
    if let Some(arc_margin_rad) = solution.arc_margin_rad.filter(|&margin| margin < built.margin_rad) {
        notes.push(Remark::BelowMargin { arc_margin_rad, asked_rad: built.margin_rad });
    }
    if solution.wandering.is_some() {
        notes.push(Remark::MeansOfWandering);
    } else if solution.steady.is_err() {
        notes.push(Remark::WithoutSteadySwing);
    }
    notes.extend(built.notes().into_iter().map(Remark::from));
    notes
}
