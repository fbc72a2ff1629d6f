//! The same clock with other frictions.

use super::build::{BuildError, Built, BuiltPendulum, build_drive, build_pendulum, contact_numbers};
use super::environment::InRoom;
use super::mechanism::EscapementModel;

/// The clock of `in_room`, which differs from the one that `other` was built from in nothing but frictions: losses of the pendulum,
/// drive and contact are made anew, all else is that of `other`.
///
/// # Errors
/// [`BuildError::Drive`] where friction holds teeth or a pulley fast; [`BuildError::Pendulum`] where losses are no numbers.
pub fn with_frictions_of(in_room: &InRoom, other: Built) -> Result<Built, BuildError> {
    let mut built = other;
    let BuiltPendulum { model, carried, air, report } = build_pendulum(in_room, built.gravity_m_s2)?;
    (built.mechanism.pendulum, built.carried, built.air, built.pendulum) = (model, carried, air, report);
    let drive = build_drive(in_room, &built.train_made, built.gravity_m_s2)?.with_dial_of(&built);
    (built.mechanism.drive, built.prepared_drive, built.drive) = (drive.model, drive.prepared, drive.losses);
    if let (EscapementModel::Contact(contact), Some(numbers)) =
        (&mut built.mechanism.escapement, contact_numbers(in_room))
    {
        contact.friction = numbers.friction;
        if contact.crutch_play_rad() != numbers.crutch_play_rad {
            *contact = contact.clone().with_crutch_play(numbers.crutch_play_rad);
        }
    }
    Ok(built)
}
