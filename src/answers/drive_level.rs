//! The clock under other drives: one number, a weight or a torque, to the clock that it drives.

use crate::clock::build::Built;
use crate::clock::design::IdealTorque;
use crate::clock::mechanism::{DriveModel, EscapementModel, Mechanism};
use crate::clock::train::drive::PreparedDrive;
use crate::dynamics::ideal::Ideal;

use super::return_map::Clock;

/// What the drive is measured by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Measure<'b> {
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
    measure: Measure<'b>,
}

impl<'b> Drivable<'b> {
    /// The built clock with its drive's measure; `None` for a kick, which has no drive.
    #[must_use]
    pub fn of(built: &'b Built) -> Option<Self> {
        let measure = match (&built.mechanism.escapement, &built.prepared_drive) {
            (EscapementModel::IdealKick(_), _) => return None,
            (EscapementModel::IdealTorque(torque), _) => Measure::IdealTorque(*torque),
            (EscapementModel::Contact(_), Some(prepared)) => Measure::Weight(prepared),
            (EscapementModel::Contact(_), None) => Measure::EscapeTorque(built.mechanism.drive?),
        };
        Some(Self { mechanism: &built.mechanism, measure })
    }

    /// The same mechanism under another weight drive.
    #[must_use]
    pub fn driven_by(self, prepared: &'b PreparedDrive) -> Self {
        Self { measure: Measure::Weight(prepared), ..self }
    }

    /// Whether drives are weights.
    #[must_use]
    pub fn by_weight(&self) -> bool {
        matches!(self.measure, Measure::Weight(_))
    }

    /// The drive model at a drive; `None` for an ideal escapement.
    #[must_use]
    pub fn model(&self, drive: f64) -> Option<DriveModel> {
        match self.measure {
            Measure::Weight(prepared) => Some(prepared.model(drive)),
            Measure::EscapeTorque(model) => Some(DriveModel { ideal_torque_n_m: drive, ..model }),
            Measure::IdealTorque(_) => None,
        }
    }

    /// Torque at the escape wheel (or of the ideal escapement) at a drive, N m, cord and mesh losses taken off.
    #[must_use]
    pub fn torque_n_m(&self, drive: f64) -> f64 {
        self.model(drive).map_or(drive, |model| model.torque_n_m())
    }

    /// The clock at a drive.
    #[must_use]
    pub fn clock(&self, drive: f64) -> Clock<'b> {
        let pendulum = &self.mechanism.pendulum;
        match (&self.mechanism.escapement, self.model(drive), self.measure) {
            (EscapementModel::Contact(escapement), Some(drive), _) => Clock::Contact { pendulum, escapement, drive },
            (_, _, Measure::IdealTorque(torque)) => {
                Clock::Ideal { pendulum, ideal: Ideal::Torque(IdealTorque { torque_n_m: drive, ..torque }) }
            }
            _ => Clock::Ideal { pendulum, ideal: Ideal::Free },
        }
    }
}
