//! What a clock's room does to it.

pub mod csv;
pub mod json;
pub mod text;
mod view;

pub use view::RoomView;
