//! The crutch, as far as it has play.

use super::Friction;
use crate::units::Kind;

/// Play between the crutch of the pallets and the rod that swings in it, from one side to the other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CrutchPlay {
    /// The play: along its way at the rod where `at_m` says where that is, m, else an angle, rad.
    pub play: Friction,
    /// Length of the crutch from the pallet arbor to the rod, m.
    pub at_m: Option<f64>,
}

impl CrutchPlay {
    /// The whole play as an angle about the pallet arbor, rad.
    #[must_use]
    pub fn play_rad(&self) -> f64 {
        self.play.value / self.at_m.unwrap_or(1.0)
    }

    /// What the play is stated in.
    #[must_use]
    pub const fn kind(&self) -> Kind {
        if self.at_m.is_some() { Kind::Length } else { Kind::Angle }
    }
}
