//! The escapement's parts in their room.

use crate::clock::design::{Conditions, Design, EscapementStrain, MadeOf};

use super::train::{flat_strain, frame_strain, grown, grown_flat};

/// How much larger than drawn wheel, pallets and frame are under `now`. The wheel is of the material of its body or, where it
/// has none, of that of the last arbor's wheel.
pub(in crate::clock) fn strained(design: &Design, made: &Conditions, now: &Conditions) -> EscapementStrain {
    let before = design.escapement_strain;
    let body = design.escape_wheel.as_ref().map(|body| MadeOf { material: body.material.clone(), cut: body.cut });
    let on_arbor = || design.train.as_ref()?.arbors.last()?.wheel.clone();
    let wheel = body.or_else(on_arbor);
    EscapementStrain {
        wheel: grown_flat(before.wheel, flat_strain(wheel.as_ref(), made, now)),
        pallets: grown_flat(before.pallets, flat_strain(design.pallets.as_ref(), made, now)),
        frame: grown(before.frame, frame_strain(design.frame.as_ref(), made, now)),
    }
}
