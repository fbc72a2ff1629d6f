//! Modes, events, advance, energy ledger, trace.

pub mod flow;
pub mod ideal;
pub mod ledger;
mod motion;
pub mod observe;
pub mod trace;
mod track;

pub use motion::{Motion, Stop, StopReason, Turning};
