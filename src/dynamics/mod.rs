//! Modes, events, advance, energy ledger, trace.

pub mod budget;
mod contact;
mod crutch;
mod events;
pub mod ideal;
pub mod ledger;
mod motion;
pub mod observe;
pub mod segment;
mod step;
pub mod trace;
mod track;
mod transitions;

pub use motion::{Motion, Stop, StopReason, TurningPoint};
