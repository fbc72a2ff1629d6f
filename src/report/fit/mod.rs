//! What a fit found: words, JSON, tables, and the scenario that predicts with it.

pub mod csv;
pub mod fitted_toml;
pub mod free_swing;
pub mod free_swing_picture;
pub mod json;
pub mod rate_log;
pub mod recovery;
pub mod table_notes;
pub mod ticks;
pub mod weights;
