//! The escapement's parts in their room.

use crate::clock::design::{Conditions, MadeOf};
use crate::clock::environment::InRoom;

use super::strain::EscapementStrain;
use super::train::{flat_strain, frame_strain, grown, grown_flat};

/// How much larger than drawn wheel, pallets and frame are under `now`. The wheel is of the material of its body or, where it
/// has none, of that of the last arbor's wheel.
pub(in crate::clock) fn strained(in_room: &InRoom, now: &Conditions) -> EscapementStrain {
    let (then, before) = (&in_room.sizes.under, in_room.sizes.escapement);
    let body = in_room.escape_wheel.as_ref().map(|body| MadeOf { material: body.material.clone(), cut: body.cut });
    let on_arbor = || in_room.train.as_ref()?.arbors.last()?.wheel.clone();
    let wheel = body.or_else(on_arbor);
    EscapementStrain {
        wheel: grown_flat(before.wheel, flat_strain(wheel.as_ref(), then, now)),
        pallets: grown_flat(before.pallets, flat_strain(in_room.pallets.as_ref(), then, now)),
        frame: grown(before.frame, frame_strain(in_room.frame.as_ref(), then, now)),
    }
}
