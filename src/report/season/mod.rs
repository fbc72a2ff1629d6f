//! A season in the room.

pub mod csv;
pub mod json;
mod motor;
pub mod text;
mod view;

pub use view::{AnySeason, SeasonRow, SeasonView};
