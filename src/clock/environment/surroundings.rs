//! A clock in other surroundings that leave its escapement as it is.

use crate::clock::build::{BuildError, Built, build_pendulum, weight_drive};
use crate::clock::design::DriveDesign;
use crate::clock::environment::InRoom;
use crate::clock::mechanism::{DriveModel, PendulumModel};
use crate::clock::train::train_made::TrainMade;

/// Whether wheel and pallets of two clocks are drawn, printed and strained alike, so that one's contact curves serve the other.
#[must_use]
pub fn same_escapement(one: &InRoom, other: &InRoom) -> bool {
    one.sizes.escapement == other.sizes.escapement
        && one.escapement == other.escapement
        && one.printer == other.printer
        && one.frame == other.frame
}

/// What surroundings change of a mechanism whose escapement they leave as it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surrounded {
    /// Pendulum.
    pub pendulum: PendulumModel,
    /// Drive; `None` for an ideal escapement.
    pub drive: Option<DriveModel>,
    /// The drive with hands that take the constant torque that stands for the twelve hours of the dial; `None` without hands.
    pub over_the_dial: Option<DriveModel>,
    /// Whether the train binds.
    pub jams: bool,
}

/// Pendulum and drive of a clock, as a whole build makes them; gravity is that of `built`, which also tells whether a train that no
/// weight drives binds.
///
/// # Errors
/// [`BuildError`] of place, pendulum or drive.
pub fn surrounded(in_room: &InRoom, built: &Built) -> Result<Surrounded, BuildError> {
    let pendulum = build_pendulum(in_room, built.gravity_m_s2)?.model;
    let mut over_the_dial = None;
    let (drive, jams) = match (&in_room.drive, &in_room.train) {
        (Some(DriveDesign::Weight(weight)), Some(train)) => {
            let (prepared, model) = weight_drive(weight, train, &TrainMade::mean_of(in_room), built.gravity_m_s2)?;
            over_the_dial = prepared.hands().and_then(|hands| {
                let share = hands.hands().dial_shares?.bare;
                Some(prepared.model_with_hands(weight.weight_kg, hands.at_share(share)))
            });
            (Some(model), prepared.jams())
        }
        _ => (built.mechanism.drive, built.mechanism.jams),
    };
    Ok(Surrounded { pendulum, drive, over_the_dial, jams })
}
