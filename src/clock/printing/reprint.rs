//! The same clock with its escapement printed once more.

use crate::clock::build::{BuildError, Built, BuiltDrive, acting, build_drive, contact_numbers};
use crate::clock::environment::InRoom;
use crate::clock::mechanism::{EscapementModel, Mechanism};
use crate::clock::train::counts::{TrainReport, train_report};
use crate::clock::train::train_made::TrainMade;

use super::printed_outline::{Assembly, PartPrint, PrintedEscapement, assembled, bead_off_tip_m};
use super::train_print::TrainPrint;

/// The clock of `in_room`, built as `other`, with the gears of its train and its drawn escapement printed and assembled anew; the
/// pendulum is that of `other`.
///
/// # Errors
/// [`BuildError::Printer`], [`BuildError::Curve`], [`BuildError::Action`]; [`BuildError::Train`] where teeth miss each other;
/// [`BuildError::NoDrive`] without outlines.
pub fn reprinted(
    in_room: &InRoom,
    other: &Built,
    wheel: &PartPrint,
    pallets: &PartPrint,
    assembly: &Assembly,
    train: &TrainPrint,
) -> Result<Built, BuildError> {
    let (Some(drawn), Some(numbers)) = (&other.drawn, contact_numbers(in_room)) else {
        return Err(BuildError::NoDrive);
    };
    let strain = in_room.sizes.escapement;
    let printed = assembled(drawn, wheel, pallets, assembly, &strain)?;
    let bead_off_tip_m = bead_off_tip_m(&drawn.tooth, &printed.outlines.tooth, wheel, 1.0 + strain.wheel.mean())?;
    let (contact, action) = acting(&printed, numbers)?;
    let PrintedEscapement { outlines, out_of_true, notes } = printed;
    let escapement = EscapementModel::Contact(contact);
    let train_made = TrainMade { strain: in_room.sizes.train.clone(), print: train.clone() };
    let BuiltDrive { model: drive, prepared: prepared_drive, losses } =
        build_drive(in_room, &train_made, other.gravity_m_s2)?.with_dial_of(other);
    let report = in_room.train.as_ref().map(|train| train_report(train, &train_made, Some(outlines.teeth)));
    let train = report.transpose()?;
    let jams = train.as_ref().is_some_and(TrainReport::jams);
    Ok(Built {
        mechanism: Mechanism { pendulum: other.mechanism.pendulum, drive, escapement, jams },
        start_arc_rad: other.start_arc_rad,
        margin_rad: other.margin_rad,
        weight_drive: other.weight_drive.clone(),
        gravity_m_s2: other.gravity_m_s2,
        air: other.air,
        pendulum: other.pendulum.clone(),
        carried: other.carried,
        train,
        train_made,
        drive: losses,
        prepared_drive,
        outlines: Some(outlines),
        action: Some(action),
        drawn: Some(drawn.clone()),
        drawn_action: other.drawn_action,
        out_of_true,
        strain,
        bead_off_tip_m,
        print_notes: notes,
        friction_notes: other.friction_notes.clone(),
        workshop_notes: other.workshop_notes.clone(),
    })
}
