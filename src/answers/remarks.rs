//! What a prediction leaves open, and why; the words are the report's.

use crate::clock::notes::Note;

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
