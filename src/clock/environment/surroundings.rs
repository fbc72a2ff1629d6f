//! A clock in other surroundings that leave its escapement as it is.

use crate::clock::build::{BuildError, Built, build_pendulum, weight_drive};
use crate::clock::design::{Design, DriveDesign};
use crate::clock::mechanism::{DriveModel, PendulumModel};

/// Whether wheel and pallets of two designs are drawn, printed and strained alike, so that one's contact curves serve the other.
#[must_use]
pub fn same_escapement(one: &Design, other: &Design) -> bool {
    one.escapement_strain == other.escapement_strain
        && one.escapement == other.escapement
        && one.printer == other.printer
        && one.frame == other.frame
}

/// Pendulum and drive of `design`, as a whole build makes them; gravity is that of `built`.
///
/// # Errors
/// [`BuildError`] of place, pendulum or drive.
pub fn pendulum_and_drive(design: &Design, built: &Built) -> Result<(PendulumModel, Option<DriveModel>), BuildError> {
    let (pendulum, _, _) = build_pendulum(design, built.gravity_m_s2)?;
    let drive = match (&design.drive, &design.train) {
        (Some(DriveDesign::Weight(weight)), Some(train)) => Some(weight_drive(weight, train, built.gravity_m_s2)?.1),
        _ => built.mechanism.drive,
    };
    Ok((pendulum, drive))
}
