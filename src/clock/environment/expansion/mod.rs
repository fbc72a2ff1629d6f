//! The design in its room: every part as large as temperature and humidity make it.

pub(in crate::clock) mod escapement;
pub(in crate::clock) mod groups;
pub(in crate::clock) mod pendulum;
pub(in crate::clock) mod strain;
pub(in crate::clock) mod train;

pub use groups::{Group, settled_only};
pub use strain::{mass_factor, strain};

use crate::clock::design::{Conditions, Design, DriveDesign, PendulumDesign, Place};

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

/// The design with every part as large as it is under `now`, its sizes holding under `design.made`.
///
/// The sizes of the result hold under `now`, so that the same again changes nothing. Under the very conditions in which it
/// was made a design comes back bit for bit. A part whose material is not stated keeps its size.
#[must_use]
pub fn settled(design: &Design, now: &Conditions) -> Design {
    let made = design.made;
    let mut settled = design.clone();
    if made == *now {
        return settled;
    }
    settled.made = *now;
    if let PendulumDesign::Parts(parts) = &mut settled.pendulum {
        pendulum::settle(parts, &made, now);
    }
    if let Some(train) = &mut settled.train {
        train::settle(train, design.frame.as_ref(), &made, now);
    }
    if let Some(DriveDesign::Weight(weight)) = &mut settled.drive {
        train::settle_drum(weight, &made, now);
    }
    settled.escapement_strain = escapement::strained(design, &made, now);
    settled
}
