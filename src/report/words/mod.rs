//! Words that stand in more than one report.

pub mod action;
pub mod cautions;
pub mod dial_time;
pub(in crate::report) mod gaps;
pub mod meshes;
pub mod no_answer;
pub mod notes;
pub mod numbers;
pub mod parts;
pub mod quantities;
pub mod reasons;
pub mod room_limits;
pub(in crate::report) mod setting_up;
pub mod spans;
pub mod spread_inputs;
pub(in crate::report) mod workshop;
