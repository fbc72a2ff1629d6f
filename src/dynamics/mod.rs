//! Modes, events, advance, energy ledger, trace.

mod change;
mod contact;
mod events;
pub mod flow;
pub mod ideal;
pub mod ledger;
mod motion;
pub mod observe;
mod stretch;
pub mod trace;
mod track;

pub use motion::{Motion, Stop, StopReason, Turning};
