//! `InRoom`: what printer and air make of a design.

use crate::clock::design::{AsMade, Conditions, Design, DriveDesign, PendulumClock, PendulumDesign, Place};

use super::expansion::{ArborStrain, EscapementStrain, RoomGroup, TrainStrain, escapement, pendulum, train};

/// A clock in its room: every part as large and as heavy as the air makes it. This is what is built and asked.
///
/// A design is no clock in its room, nor the reverse. What is not conditioned cannot be built,
///
/// ```compile_fail
/// use beatwright::clock::{build::build, design::Design};
///
/// fn built(design: &Design) -> bool {
///     build(design).is_ok()
/// }
/// ```
///
/// and what is conditioned is not conditioned once more as if it had just been made; it can only go from one room to another
/// ([`InRoom::moved_to`]).
///
/// ```compile_fail
/// use beatwright::clock::environment::InRoom;
///
/// fn twice(in_room: &InRoom) -> InRoom {
///     InRoom::at_home(in_room)
/// }
/// ```
pub type InRoom = PendulumClock<Conditioned>;

/// Sizes that parts have taken in a room.
#[derive(Debug, Clone, PartialEq)]
pub struct Conditioned {
    /// Temperature and humidity with which the parts have come to terms.
    pub under: Conditions,
    /// How much larger than made the gears are, and the frame between them. Pendulum and drum have their new sizes themselves.
    pub train: TrainStrain,
    /// How much larger than drawn the parts of the escapement are.
    pub escapement: EscapementStrain,
}

impl Conditions {
    /// Those of parts that have stood long in the air of a place.
    #[must_use]
    pub const fn of(place: &Place) -> Self {
        Self {
            temperature_c: place.temperature_c,
            rod_temperature_c: place.temperature_c,
            relative_humidity: place.relative_humidity,
        }
    }
}

impl InRoom {
    /// The clock in balance with the air of its own place.
    #[must_use]
    pub fn at_home(design: &Design) -> Self {
        Self::of(design, &Conditions::of(&design.place))
    }

    /// The clock with every part as large as it is under `now`. A part whose material is not stated keeps its size; under the
    /// conditions in which it was made every part does, bit for bit.
    #[must_use]
    pub fn of(design: &Design, now: &Conditions) -> Self {
        Self::as_made(design).moved_to(now)
    }

    /// The clock under the very conditions in which it was made.
    #[must_use]
    pub fn as_made(design: &Design) -> Self {
        let AsMade { under } = design.sizes;
        let arbors = design.train.as_ref().map_or(0, |train| train.arbors.len());
        let strain = TrainStrain { frame: 0.0, arbors: vec![ArborStrain::default(); arbors] };
        let sizes = Conditioned { under, train: strain, escapement: EscapementStrain::default() };
        let Design {
            name,
            start_arc_rad,
            margin_rad,
            place,
            pendulum,
            crutch_play,
            train,
            drive,
            escapement,
            escape_wheel,
            printer,
            frame,
            pallets,
            support,
            ageing,
            plates,
            anchor,
            sizes: _,
        } = design.clone();
        Self {
            name,
            start_arc_rad,
            margin_rad,
            place,
            pendulum,
            crutch_play,
            train,
            drive,
            escapement,
            escape_wheel,
            printer,
            frame,
            pallets,
            support,
            ageing,
            plates,
            anchor,
            sizes,
        }
    }

    /// The clock brought into other conditions, and its parts as large as they then are. Under its own it stays as it is, bit for bit.
    #[must_use]
    pub fn moved_to(&self, now: &Conditions) -> Self {
        let before = self.sizes.under;
        let mut moved = self.clone();
        if before == *now {
            return moved;
        }
        if let PendulumDesign::Parts(parts) = &mut moved.pendulum {
            pendulum::condition(parts, &before, now);
        }
        if let Some(DriveDesign::Weight(weight)) = &mut moved.drive {
            train::condition_drum(weight, &before, now);
        }
        moved.sizes =
            Conditioned { under: *now, train: train::strained(self, now), escapement: escapement::strained(self, now) };
        moved
    }

    /// The same as if only `group` were moved by heat and damp; all else keeps its size.
    #[must_use]
    pub fn moved_to_by(&self, now: &Conditions, group: RoomGroup) -> Self {
        group.alone_in(self).moved_to(now)
    }
}
