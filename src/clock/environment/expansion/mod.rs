//! What heat and damp do to the sizes and masses of parts.

pub(in crate::clock) mod escapement;
mod groups;
pub(in crate::clock) mod pendulum;
pub(in crate::clock) mod strain;
pub(in crate::clock) mod train;

pub use groups::RoomGroup;
pub use strain::{ArborStrain, EscapementStrain, FlatStrain, MeshStrain, TrainStrain, mass_factor, strain};
