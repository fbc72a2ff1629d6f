//! The same clock with its escapement printed once more.

use crate::clock::build::{BuildError, Built, acting, contact_numbers};
use crate::clock::environment::InRoom;
use crate::clock::mechanism::{EscapementModel, Mechanism};

use super::printed_outline::{Assembly, PartPrint, PrintedEscapement, assembled, bead_off_tip_m};

/// The clock of `in_room`, built as `other`, with its drawn escapement printed and assembled anew; pendulum, train and drive are
/// those of `other`.
///
/// # Errors
/// [`BuildError::Printer`], [`BuildError::Curve`], [`BuildError::Action`]; [`BuildError::NoDrive`] without outlines.
pub fn reprinted(
    in_room: &InRoom,
    other: &Built,
    wheel: &PartPrint,
    pallets: &PartPrint,
    assembly: &Assembly,
) -> Result<Built, BuildError> {
    let (Some(drawn), Some(numbers)) = (&other.drawn, contact_numbers(&in_room.escapement)) else {
        return Err(BuildError::NoDrive);
    };
    let strain = in_room.sizes.escapement;
    let printed = assembled(drawn, wheel, pallets, assembly, &strain)?;
    let bead_off_tip_m = bead_off_tip_m(&drawn.tooth, &printed.outlines.tooth, wheel, 1.0 + strain.wheel.mean())?;
    let (contact, action) = acting(&printed, numbers)?;
    let PrintedEscapement { outlines, out_of_true, notes } = printed;
    let escapement = EscapementModel::Contact(contact);
    Ok(Built {
        mechanism: Mechanism {
            pendulum: other.mechanism.pendulum,
            drive: other.mechanism.drive,
            escapement,
            jams: other.mechanism.jams,
        },
        start_arc_rad: other.start_arc_rad,
        margin_rad: other.margin_rad,
        weight_drive: other.weight_drive.clone(),
        gravity_m_s2: other.gravity_m_s2,
        air: other.air,
        pendulum: other.pendulum.clone(),
        train: other.train.clone(),
        drive: other.drive.clone(),
        prepared_drive: other.prepared_drive.clone(),
        outlines: Some(outlines),
        action: Some(action),
        drawn: Some(drawn.clone()),
        drawn_action: other.drawn_action,
        out_of_true,
        strain,
        bead_off_tip_m,
        print_notes: notes,
        friction_notes: other.friction_notes.clone(),
    })
}
