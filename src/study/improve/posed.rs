//! An escapement with a tooth that has just fallen on the entry pallet, for pictures that lay one over another.

use crate::clock::build::build;
use crate::clock::environment::InRoom;
use crate::clock::escapement::EscapementOutlines;
use crate::clock::mechanism::EscapementModel;
use crate::clock::side::Side;

/// An escapement in a position.
#[derive(Debug, Clone, PartialEq)]
pub struct PosedEscapement {
    /// Wheel and pallets as printed.
    pub outlines: EscapementOutlines,
    /// Angle of the pallets, rad.
    pub pallets_rad: f64,
    /// Advance of the wheel, rad.
    pub wheel_rad: f64,
}

/// The escapement of a clock where a tooth has just fallen on the entry pallet; `None` without outlines or an action.
#[must_use]
pub fn posed(in_room: &InRoom) -> Option<PosedEscapement> {
    let built = build(in_room).ok()?;
    let (outlines, action) = (built.outlines?, built.action?);
    let EscapementModel::Contact(contact) = &built.mechanism.escapement else { return None };
    let landing_rad = action.entry.landing_rad;
    let wheel_rad = contact.curves[Side::Entry].front_at(landing_rad)?.phi_rad;
    Some(PosedEscapement { outlines, pallets_rad: landing_rad + in_room.escapement.beat_error_rad(), wheel_rad })
}
