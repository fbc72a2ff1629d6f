//! The hands of a pendulum clock, and its swing and rate over the twelve hours of the dial.

pub mod csv;
pub mod json;
pub mod text;
