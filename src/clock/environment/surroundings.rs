//! A clock in other surroundings that leave its escapement as it is.

use crate::clock::build::{BuildError, Built, build_pendulum, weight_drive};
use crate::clock::design::DriveDesign;
use crate::clock::environment::InRoom;
use crate::clock::mechanism::{DriveModel, PendulumModel};

/// Whether wheel and pallets of two clocks are drawn, printed and strained alike, so that one's contact curves serve the other.
#[must_use]
pub fn same_escapement(one: &InRoom, other: &InRoom) -> bool {
    one.sizes.escapement == other.sizes.escapement
        && one.escapement == other.escapement
        && one.printer == other.printer
        && one.frame == other.frame
}

/// Pendulum and drive of a clock, as a whole build makes them; gravity is that of `built`.
///
/// # Errors
/// [`BuildError`] of place, pendulum or drive.
pub fn pendulum_and_drive(in_room: &InRoom, built: &Built) -> Result<(PendulumModel, Option<DriveModel>), BuildError> {
    let (pendulum, _, _) = build_pendulum(in_room, built.gravity_m_s2)?;
    let drive = match (&in_room.drive, &in_room.train) {
        (Some(DriveDesign::Weight(weight)), Some(train)) => {
            Some(weight_drive(weight, train, &in_room.sizes.train, built.gravity_m_s2)?.1)
        }
        _ => built.mechanism.drive,
    };
    Ok((pendulum, drive))
}
