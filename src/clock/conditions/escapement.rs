//! The escapement's parts in their room.

use crate::clock::design::{Conditions, Design, EscapementStrain};

/// How much larger than drawn wheel, pallets and frame are under `now`.
pub(super) fn strained(design: &Design, _made: &Conditions, _now: &Conditions) -> EscapementStrain {
    design.escapement_strain
}
