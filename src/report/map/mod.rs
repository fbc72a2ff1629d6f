//! Sweeps over one or two quantities.

pub mod csv;
pub mod json;
pub mod text;
mod view;

pub use view::{MapView, in_words, named, no_clock_in_words, outcome_words, reason_text, verdict_key};
