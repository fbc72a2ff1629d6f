//! The pendulum: bob, suspension, what the air does to it, its small swing.

pub mod bob;
pub mod compound;
pub mod fluid_drag;
pub(in crate::clock) mod small_oscillation;
pub mod suspension;
