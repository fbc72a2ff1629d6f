//! The clock under other drives: a weight or a torque, to the clock that it drives.

use crate::clock::build::Built;
use crate::clock::design::IdealTorque;
use crate::clock::drive_level::DriveLevel;
use crate::clock::mechanism::{ContactEscapement, DriveModel, EscapementModel, Mechanism};
use crate::clock::train::drive::PreparedDrive;
use crate::clock::train::hands::HandsTorque;
use crate::dynamics::ideal::Ideal;

use super::return_map::Clock;

/// What the drive is measured by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DriveMeasure<'b> {
    /// Driving weight, kg.
    Weight(&'b PreparedDrive),
    /// Drive torque at the escape wheel, N m; train friction and inertia stay.
    EscapeTorque(DriveModel),
    /// Torque of an ideal escapement, N m.
    IdealTorque(IdealTorque),
}

/// A mechanism whose drive can be changed.
#[derive(Debug, Clone, Copy)]
pub struct Drivable<'b> {
    mechanism: &'b Mechanism,
    measure: DriveMeasure<'b>,
    /// Torque that the hands take; `None`: the mean over the dial.
    hands: Option<HandsTorque>,
    /// Another wheel with pallets; `None`: the mechanism's own.
    escapement: Option<&'b ContactEscapement>,
}

impl<'b> Drivable<'b> {
    /// The built clock with its drive's measure; `None` for a kick, which has no drive.
    #[must_use]
    pub fn of(built: &'b Built) -> Option<Self> {
        let measure = match (&built.mechanism.escapement, &built.prepared_drive) {
            (EscapementModel::IdealKick(_), _) => return None,
            (EscapementModel::IdealTorque(torque), _) => DriveMeasure::IdealTorque(*torque),
            (EscapementModel::Contact(_), Some(prepared)) => DriveMeasure::Weight(prepared),
            (EscapementModel::Contact(_), None) => DriveMeasure::EscapeTorque(built.mechanism.drive?),
        };
        Some(Self { mechanism: &built.mechanism, measure, hands: None, escapement: None })
    }

    /// The same mechanism under another weight drive.
    #[must_use]
    pub fn driven_by(self, prepared: &'b PreparedDrive) -> Self {
        Self { measure: DriveMeasure::Weight(prepared), ..self }
    }

    /// The same with so much torque taken by the hands all the time.
    #[must_use]
    pub const fn with_hands(self, hands: HandsTorque) -> Self {
        Self { hands: Some(hands), ..self }
    }

    /// The same with another wheel and pallets in contact.
    #[must_use]
    pub(super) const fn with_escapement(self, escapement: &'b ContactEscapement) -> Self {
        Self { escapement: Some(escapement), ..self }
    }

    /// The weight drive, if the clock has one.
    #[must_use]
    pub const fn prepared(&self) -> Option<&'b PreparedDrive> {
        match self.measure {
            DriveMeasure::Weight(prepared) => Some(prepared),
            DriveMeasure::EscapeTorque(_) | DriveMeasure::IdealTorque(_) => None,
        }
    }

    /// So much of the drive, kg or N m.
    #[must_use]
    pub const fn level(&self, value: f64) -> DriveLevel {
        match self.measure {
            DriveMeasure::Weight(_) => DriveLevel::Weight(value),
            DriveMeasure::EscapeTorque(_) | DriveMeasure::IdealTorque(_) => DriveLevel::Torque(value),
        }
    }

    fn value(&self, level: DriveLevel) -> Option<f64> {
        Some(level.value()).filter(|&value| self.level(value).is_weight() == level.is_weight())
    }

    /// Torque at the escape wheel (or of the ideal escapement) at a drive, N m, cord and mesh losses taken off; `None` for a weight
    /// where the clock is driven by a torque, and the other way round.
    #[must_use]
    pub fn torque_n_m(&self, level: DriveLevel) -> Option<f64> {
        let value = self.value(level)?;
        Some(self.model(value).map_or(value, |model| model.torque_n_m()))
    }

    /// The clock at a drive; `None` likewise.
    #[must_use]
    pub fn clock(&self, level: DriveLevel) -> Option<Clock<'b>> {
        Some(self.clock_at(self.value(level)?))
    }

    /// The drive model at so much of the drive; `None` for an ideal escapement.
    fn model(&self, drive: f64) -> Option<DriveModel> {
        match self.measure {
            DriveMeasure::Weight(prepared) => Some(match self.hands {
                Some(hands) => prepared.model_with_hands(drive, hands),
                None => prepared.model(drive),
            }),
            DriveMeasure::EscapeTorque(model) => Some(DriveModel { ideal_torque_n_m: drive, ..model }),
            DriveMeasure::IdealTorque(_) => None,
        }
    }

    /// The clock at so much of the drive, in its own measure: what the searches move.
    pub(crate) fn clock_at(&self, drive: f64) -> Clock<'b> {
        let pendulum = &self.mechanism.pendulum;
        match (&self.mechanism.escapement, self.model(drive), self.measure) {
            (EscapementModel::Contact(own), Some(drive), _) => {
                Clock::Contact { pendulum, escapement: self.escapement.unwrap_or(own), drive }
            }
            (_, _, DriveMeasure::IdealTorque(torque)) => {
                Clock::Ideal { pendulum, ideal: Ideal::Torque(IdealTorque { torque_n_m: drive, ..torque }) }
            }
            _ => Clock::Ideal { pendulum, ideal: Ideal::Free },
        }
    }
}
