//! What the ticks of a clock say.

pub mod csv;
pub mod json;
mod sentences;
pub mod text;

use crate::study::fit::ticks::{NoGeometry, TicksFit};

/// How a record of ticks came about.
#[derive(Debug, Clone, PartialEq)]
pub enum TickSource {
    /// Times in a table.
    Table,
    /// A recording.
    Sound {
        /// Samples a second.
        rate_hz: u32,
        /// Length, s.
        duration_s: f64,
        /// Damaged pieces.
        damaged: usize,
        /// The band in which the ticks stood out best, Hz; the upper limit is `None` where it is that of the recording.
        band_hz: (f64, Option<f64>),
    },
}

/// What the report of ticks is written from.
#[derive(Debug, Clone)]
pub struct TicksView<'v> {
    /// Name of the clock, or of the file where no scenario was given.
    pub name: &'v str,
    /// What was found.
    pub fit: &'v TicksFit,
    /// Where the ticks come from.
    pub source: TickSource,
    /// Whether a scenario was given, and why it has no geometry.
    pub scenario: Option<Option<NoGeometry>>,
}
