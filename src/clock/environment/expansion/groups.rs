//! What moves: the parts of a clock by what they do in their room.

use crate::clock::design::{DriveDesign, MaterialRef, PendulumDesign, Suspension};
use crate::clock::environment::InRoom;

/// Parts that a room moves together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RoomGroup {
    /// Rod and columns.
    Rod,
    /// Bob.
    Bob,
    /// Suspension spring, its size and its modulus.
    Suspension,
    /// Frame, wheels, pinions, pallets and drum.
    Works,
}

impl RoomGroup {
    /// All groups.
    pub const ALL: [Self; 4] = [Self::Rod, Self::Bob, Self::Suspension, Self::Works];

    /// The clock made as if nothing but this group felt heat and damp.
    pub(in crate::clock) fn alone_in(self, in_room: &InRoom) -> InRoom {
        let mut held = in_room.clone();
        let hold = |material: &mut MaterialRef, of: RoomGroup| {
            if of != self {
                *material = material.unmoved();
            }
        };
        if let PendulumDesign::Parts(parts) = &mut held.pendulum {
            hold(&mut parts.rod.material, RoomGroup::Rod);
            parts.columns.iter_mut().for_each(|column| hold(&mut column.material, RoomGroup::Rod));
            hold(&mut parts.bob.material, RoomGroup::Bob);
            parts.bob.shell.iter_mut().for_each(|shell| hold(shell, RoomGroup::Bob));
            if let Suspension::StripSpring { material, .. } = &mut parts.suspension {
                hold(material, RoomGroup::Suspension);
            }
        }
        let arbors = held.train.iter_mut().flat_map(|train| &mut train.arbors);
        arbors
            .flat_map(|arbor| arbor.wheel.iter_mut().chain(&mut arbor.pinion))
            .chain(&mut held.pallets)
            .for_each(|made_of| hold(&mut made_of.material, RoomGroup::Works));
        held.frame.iter_mut().for_each(|frame| hold(&mut frame.material, RoomGroup::Works));
        held.escape_wheel.iter_mut().for_each(|wheel| hold(&mut wheel.material, RoomGroup::Works));
        if let Some(DriveDesign::Weight(weight)) = &mut held.drive {
            weight.drum.iter_mut().for_each(|drum| hold(drum, RoomGroup::Works));
        }
        held
    }
}
